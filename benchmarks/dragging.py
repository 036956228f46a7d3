"""`python -m benchmarks.dragging`: how soon the picture follows the finger, and the proof an edit.

A page of its own on a copy of a job, in the machine's Chromium without a window. The bar's slider
is dragged with the mouse to and fro, in a stretch where the job is clear and
in one where it strikes. Timed in the browser: from the pointer's move to the second frame after the
new picture has been put in place, so to one that has been painted; and of the whole, how long the
answer took in the page's process. Then a block is edited, there and back, and timed from the key
that sets it to the frame that shows the full proof.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

PIN = Path(__file__).parents[1] / "examples" / "demo-pin"
STRETCHES = {"clear": (47.0, 50.0), "struck": (51.5, 54.0)}
"""Bar of the pin, mm: struck from 50.8 on (the sum stands in its job file)."""
LINE, WORDS = 10, ("G00 X51. Z5. M08", "G00 X55. Z5. M08")
"""A clearance point of the pin, as it stands and further out."""
GOALS_MS = {"drag": 50, "edit": 500}

WATCH = """async () => {
  const { bench } = await import("/static/bench.js");
  const took = window.took = [];
  const painted = (since) => requestAnimationFrame(() => requestAnimationFrame(
    () => took.push([performance.now() - since, bench.answer.ms])));
  let moved = null;
  const begin = () => { moved ??= performance.now(); };
  for (const name of ["pointermove", "click"]) window.addEventListener(name, begin, true);
  new MutationObserver(() => {
    if (moved === null) return;
    painted(moved);
    moved = null;
  }).observe(document.querySelector('[data-setup="0"] [data-drawing]'), { childList: true });
  window.forget = () => { took.length = 0; moved = null; };
}"""


def main() -> None:
    """Measure and print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--drags", type=int, default=100)
    options.add_argument("--edits", type=int, default=20)
    asked = options.parse_args()
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        raise SystemExit("no Chromium here: on Debian, apt-get install chromium")
    load, cores = os.getloadavg()[0], os.cpu_count() or 1
    if load > cores / 2:
        print(f"load {load:.1f} on {cores} cores: these times are those of a busy machine")
    print(f"{'what':12} {'times':>6} {'median ms':>10} {'95th ms':>8} {'in process':>11}  goal ms")
    with serving(PIN) as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.goto(f"{address}/job/{PIN.name}/")
        page.wait_for_function("() => document.getElementById('bench').dataset.answered")
        page.wait_for_timeout(3000)  # glances are got ready after the first answer
        page.evaluate(WATCH)
        for name, stretch in STRETCHES.items():
            row(f"drag, {name}", drags(page, stretch, asked.drags), GOALS_MS["drag"])
        row("edit a block", edits(page, asked.edits), GOALS_MS["edit"])
        browser.close()


def row(what: str, took: Sequence[Sequence[float]], goal: int) -> None:
    """One line of the table: of `took`, (whole, in the process) each, ms."""
    whole, inner = (sorted(column) for column in zip(*took, strict=True))
    late = whole[min(len(whole) - 1, int(0.95 * len(whole)))]
    print(
        f"{what:12} {len(whole):6d} {statistics.median(whole):10.1f} {late:8.1f} "
        f"{statistics.median(inner):11.1f}  {goal}",
        flush=True,
    )


def drags(page: Page, stretch: tuple[float, float], count: int) -> list[list[float]]:
    """The slider dragged to and fro over `stretch`, `count` times by a tenth of it."""
    slider = page.locator("#handle-bar")
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    assert box is not None
    least, most, value = (
        float(slider.evaluate(f"each => each.{name}")) for name in ("min", "max", "value")
    )
    thumb = 22.0
    y = box["y"] + box["height"] / 2

    def at(size: float) -> float:
        return box["x"] + thumb / 2 + (size - least) / (most - least) * (box["width"] - thumb)

    page.mouse.move(at(value), y)
    page.mouse.down()
    page.mouse.move(at(stretch[0]), y)
    page.wait_for_timeout(500)
    took: list[list[float]] = []
    for step in range(1, count + 1):
        share = 1 - abs(step % 20 - 10) / 10
        page.evaluate("forget()")
        page.mouse.move(at(stretch[0] + share * (stretch[1] - stretch[0])), y)
        page.wait_for_function("() => took.length > 0")
        took.append(page.evaluate("took[0]"))
    page.mouse.up()
    page.wait_for_timeout(1500)
    return took


def edits(page: Page, count: int) -> list[list[float]]:
    """The block of LINE set to one of WORDS and to the other in turn, `count` times."""
    page.locator("#as-job").click()
    page.wait_for_timeout(1000)
    took = []
    for number in range(1, count + 1):
        words = WORDS[number % len(WORDS)]
        page.locator(f'#program [data-line="{LINE}"]').click()
        page.locator("#edit-block").fill(words)
        page.wait_for_timeout(800)
        page.evaluate("forget()")
        page.get_by_role("button", name="Set block").click()
        page.wait_for_function("() => took.length > 0")
        took.append(page.evaluate("took[0]"))
        page.locator(f'#program [data-line="{LINE}"]', has_text=words).wait_for()
    return took


@contextmanager
def serving(job: Path) -> Iterator[str]:
    """The page on a copy of `job`; gives its address."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(job, Path(folder) / job.name)
        command = [sys.executable, "-m", "standclear", "page", folder, "--no-browse", "--port", "0"]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert process.stdout is not None
        found = re.match(r"page: (http://[\d.:]+)/", process.stdout.readline())
        assert found is not None
        try:
            yield found[1]
        finally:
            process.terminate()
            process.wait()


if __name__ == "__main__":
    main()
