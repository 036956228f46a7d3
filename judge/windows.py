"""Holds the edges of stock windows against a bisection of replays: `python -m judge.windows`.

Along rays in the plane of a window, the judge's own replays are bisected to where a blank stops
being good; the window's edge must lie there to a pixel and a half. With `judge.compare` the only
module of the judge that calls the tool, by its public functions.
"""

from __future__ import annotations

import argparse
import json
import math
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, field
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

from judge.compare import write_job
from judge.generate import BAND_MM, make_job
from judge.motion import Undecided
from judge.other_blanks import OVER_CORNERS, Asked, Ways, is_good, read_ways

if TYPE_CHECKING:
    from standclear.plan.windows.stock import Window

PIXEL_MM = 0.2
FINER_MM = (0.04, 0.02)
"""A disagreement is judged again with pixels as fine as these before it counts: what is struck, or
stays raw, may be thinner than a pixel however far beyond the edge a blank lies."""
NEAR_PIXELS = 1.5
"""An edge of a window and one of the judge's agree where they lie no further apart."""
RAYS = 4
"""Of each window, from a blank that it holds out to where it looks no further."""
BLIND = 6
"""Blanks asked of the judge where the window holds none."""
MEETS_MM = 1.0
"""By how much the turning of both ends overlaps in every second job, so that the diameter cleans
up; in the others a band is left."""
NARROWER_ON_PURPOSE = ("comes loose",)
"""Sides of an edge that the judge does not look for."""
ABOUT = """Draws the stock windows of random jobs and looks along rays of each where the judge, by
replays alone, has a blank stop being good."""
CLOSING = """Counts of rays: agree (to a pixel and a half); agree by finer pixels (what is struck or
stays raw is thinner than a pixel, and only finer ones tell); narrower on purpose (the
edge is one that the judge does not look for); narrower; wider (the judge has a blank of the window
strike or stay raw: a defect); undecided. Exit status 0 when nothing is wider, else 1."""
KINDS = ("agree", "agree by finer pixels", "narrower on purpose", "narrower", "wider", "undecided")


@dataclass(frozen=True)
class Ray:
    """What was found along one ray, or of one blank where the window holds none."""

    window: str
    kind: str
    """`agree`, `narrower on purpose`, `narrower`, `wider`, `undecided`."""
    side: str
    """Of the window's edge there."""
    blank: tuple[float, float]
    """(across, size) at the judge's edge."""
    apart: float
    """How far the two edges lie from each other, mm across or on radius."""


@dataclass(frozen=True)
class Outcome:
    """One job."""

    seed: int
    rays: tuple[Ray, ...]
    note: str
    """Why the job is left out; empty where it is not."""
    left_out: tuple[str, ...]
    """What the windows say they leave out."""
    window_seconds: float
    judge_seconds: float


def held_against(seed: int, pixel: float = PIXEL_MM, rays: int = RAYS) -> Outcome:
    """One random job: its windows, and the judge along rays of each."""
    files = make_job(seed, meet=MEETS_MM if seed % 2 else BAND_MM)
    # The jaws close on the bar that is there, whatever its size.
    whole, line = files["job.toml"], "grip_diameter = "
    begin = whole.index(line)
    files["job.toml"] = whole[:begin] + whole[whole.index("\n", begin) + 1 :]
    begun = time.perf_counter()
    try:
        ways = read_ways(files, pixel)
        finer = tuple(read_ways(files, each) for each in FINER_MM)
    except Undecided as reason:
        return Outcome(seed, (), str(reason), (), 0.0, 0.0)
    read = time.perf_counter()
    windows = _windows_of(files)
    drawn = time.perf_counter()
    found = [
        ray
        for window in windows
        for ray in _rays((ways, *finer), window, Random(f"{seed} {window.setup}"), rays)
    ]
    judged = time.perf_counter()
    notes = tuple(sorted({note for window in windows for note in window.notes}))
    return Outcome(seed, tuple(found), "", notes, drawn - read, judged - drawn + read - begun)


def _windows_of(files: dict[str, str]) -> tuple[Window, ...]:
    import standclear
    from standclear.plan.windows.stock import stock_windows

    folder = Path(tempfile.mkdtemp(prefix="judge-"))
    try:
        write_job(folder, files)
        held = standclear.hold(standclear.read_job(folder))
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return stock_windows(held, held.files.job, standclear.judge(held, held.files.job))


def _asked(window: Window, names: list[str]) -> Asked:
    """What the window says that it answers."""
    from standclear.plan.windows.clean_up import BAND_STAYS, FACE_STAYS, FLATS_STAY, SEAT_STAYS

    index = names.index(window.setup) if window.setup else 0
    diameter = not {BAND_STAYS, FLATS_STAY} & set(window.notes)
    asked = FACE_STAYS not in window.notes
    across = "face" if window.setup else "length"
    # The second end's window asks for the first end's face too: the part lies on it.
    second = not window.setup or index == 1
    seat = asked and SEAT_STAYS not in window.notes
    return Asked(across, index, diameter, (seat, asked and second))


def _rays(levels: tuple[Ways, ...], window: Window, rng: Random, count: int) -> Iterator[Ray]:
    ways = levels[0]
    asked = _asked(window, [setup.name for setup in ways.job.setups])
    name = window.setup or "job"
    half = OVER_CORNERS[ways.shape] / 2
    x0, y0, x1, y1 = window.looked
    inner = window.region.buffer(-2 * ways.pixel)
    if inner.is_empty:
        for _ in range(BLIND):
            blank = rng.uniform(x0, x1), rng.uniform(y0, y1)
            yield _blind(levels, asked, window, name, blank, half)
        return
    start = window.stated if _inside(window, window.stated) > ways.pixel else _middle(inner)
    for k in range(count):
        angle = 2 * math.pi * (k + rng.random()) / count
        way = (math.cos(angle), math.sin(angle) / half)
        long = min(
            ((x1 if d > 0 else x0) - at) / d if axis == 0 else ((y1 if d > 0 else y0) - at) / d
            for axis, (at, d) in enumerate(zip(start, way, strict=True))
            if abs(d) > 1e-9
        )
        try:
            yield _along(levels, asked, window, name, start, way, long, half)
        except Undecided:
            yield Ray(name, "undecided", "", start, 0.0)


def _middle(region: object) -> tuple[float, float]:
    point = region.representative_point()  # type: ignore[attr-defined]
    return float(point.x), float(point.y)


def _blind(levels: tuple[Ways, ...], asked: Asked, window: Window, name: str,
           blank: tuple[float, float], half: float) -> Ray:  # fmt: skip
    try:
        if not is_good(levels[0], asked, *blank):
            return Ray(name, "agree", "", blank, 0.0)
    except Undecided:
        return Ray(name, "undecided", "", blank, 0.0)
    apart = -_inside(window, blank, half)
    side = _side(window, blank)
    return Ray(name, _narrower(levels, asked, window, side, blank), side, blank, min(apart, 1e3))


def _narrower(levels: tuple[Ways, ...], asked: Asked, window: Window, side: str,
              blank: tuple[float, float]) -> str:  # fmt: skip
    """What it amounts to that the judge has a blank good that the window leaves out."""
    if side in NARROWER_ON_PURPOSE:
        return "narrower on purpose"
    # Good blanks no further from bad ones on either side than an edge may be off are none.
    near = NEAR_PIXELS * levels[0].pixel
    # Nor are those on the border of what is looked at whose neighbours within it are bad.
    low = window.looked[0] + near
    if blank[0] < low and not is_good(levels[0], asked, low, blank[1]):
        return "agree"
    for across, size in ((near, 0.0), (0.0, near)):
        beside = [
            is_good(levels[0], asked, blank[0] + sign * across, blank[1] + sign * size)
            for sign in (-1.0, 1.0)
        ]
        if not any(beside):
            return "agree"
    good = all(is_good(ways, asked, *blank) for ways in levels[1:])
    return "narrower" if good else "agree by finer pixels"


def _wider(levels: tuple[Ways, ...], asked: Asked, blank: tuple[float, float]) -> str:
    """What it amounts to that the judge does not have a blank good that the window holds: a cell
    between two cuts that just meet may be left by coarse pixels."""
    good = any(is_good(ways, asked, *blank) for ways in levels[1:])
    return "agree by finer pixels" if good else "wider"


def _along(levels: tuple[Ways, ...], asked: Asked, window: Window, name: str,
           start: tuple[float, float], way: tuple[float, float], long: float, half: float
           ) -> Ray:  # fmt: skip
    """Bisects from a blank of the window outwards, and compares where the judge stops."""

    def at(share: float) -> tuple[float, float]:
        return start[0] + way[0] * share, start[1] + way[1] * share

    ways = levels[0]
    near = NEAR_PIXELS * ways.pixel
    good, bad = 0.0, long
    if not is_good(ways, asked, *start):
        apart = _inside(window, start, half)
        return Ray(name, _wider(levels, asked, start), _side(window, start), start, apart)
    if is_good(ways, asked, *at(long)):
        good = long
    while bad - good > ways.pixel / 4:
        middle = (good + bad) / 2
        if is_good(ways, asked, *at(middle)):
            good = middle
        else:
            bad = middle
    edge = at(good)
    apart = _inside(window, edge, half)
    if good < long and apart > near:
        return Ray(name, _wider(levels, asked, at(bad)), _side(window, edge), edge, apart)
    if apart < -near:
        side = _crossed(window, start, edge)
        return Ray(name, _narrower(levels, asked, window, side, edge), side, edge, -apart)
    if good == long:
        return Ray(name, "agree", "not looked further", edge, 0.0)
    return Ray(name, "agree", _side(window, edge), edge, abs(apart))


def _inside(window: Window, blank: tuple[float, float], half: float = 0.5) -> float:
    """How far a blank lies inside the window, below 0 outside; mm across or on radius."""
    import shapely

    def on_radius(xy: object) -> object:
        return xy * (1.0, half)  # type: ignore[operator]

    region = shapely.transform(window.region, on_radius)
    point = shapely.Point(blank[0], blank[1] * half)
    if region.is_empty:
        return -1e3
    # Where the window looks no further is no edge of it.
    x0, y0, x1, y1 = window.looked
    frame = shapely.box(x0, y0 * half, x1, y1 * half).exterior
    border = region.boundary.difference(frame.buffer(1e-6))
    away = 1e3 if border.is_empty else float(border.distance(point))
    return away if region.covers(point) else -float(region.distance(point))


def _side(window: Window, blank: tuple[float, float]) -> str:
    """Side of the edge nearest to a blank."""
    import shapely

    point = shapely.Point(blank)
    nearest = min(
        window.edges,
        key=lambda edge: shapely.LineString([edge.start, edge.end]).distance(point),
        default=None,
    )
    return nearest.side if nearest is not None else ""


def _crossed(window: Window, start: tuple[float, float], end: tuple[float, float]) -> str:
    """Side of the first edge that the way from one blank to another crosses."""
    import shapely

    way = shapely.LineString([start, end])
    crossed = [
        (shapely.Point(start).distance(met), edge.side)
        for edge in window.edges
        if not (met := way.intersection(shapely.LineString([edge.start, edge.end]))).is_empty
    ]
    return min(crossed)[1] if crossed else _side(window, end)


@dataclass
class Tally:
    """Counts over a run."""

    jobs: Counter[str] = field(default_factory=Counter)
    rays: Counter[str] = field(default_factory=Counter)
    sides: dict[str, Counter[str]] = field(default_factory=dict)
    left_out: Counter[str] = field(default_factory=Counter)
    furthest: float = 0.0
    """Between two edges that agree."""
    seconds: list[float] = field(default_factory=lambda: [0.0, 0.0])

    def add(self, outcome: Outcome) -> None:
        """Counts one job."""
        self.seconds[0] += outcome.window_seconds
        self.seconds[1] += outcome.judge_seconds
        if outcome.note:
            self.jobs["left out"] += 1
            return
        kinds = {ray.kind for ray in outcome.rays}
        worst = next((k for k in KINDS[4:0:-1] if k in kinds), "")
        self.jobs[worst or "agree"] += 1
        self.left_out.update(outcome.left_out)
        for ray in outcome.rays:
            self.rays[ray.kind] += 1
            self.sides.setdefault(ray.side or "none there", Counter())[ray.kind] += 1
            if ray.kind == "agree":
                self.furthest = max(self.furthest, ray.apart)

    @property
    def count(self) -> int:
        """Jobs so far."""
        return sum(self.jobs.values())

    def table(self) -> str:
        """The summary, one line a row."""
        lines = [f"{self.count} jobs"]
        lines += [f"  {kind:<40}{self.jobs[kind]:>8}" for kind in (*KINDS[:5], "left out")]
        lines.append(f"{sum(self.rays.values())} rays")
        lines += [f"  {kind:<40}{self.rays[kind]:>8}" for kind in KINDS]
        for side, told in sorted(self.sides.items()):
            cells = ", ".join(f"{kind} {told[kind]}" for kind in KINDS if told[kind])
            where = side if side in ("none there", "not looked further") else f"where it {side}"
            lines.append(f"  edge {where}: {cells}")
        lines.append(f"  {'furthest apart of those that agree, mm':<40}{self.furthest:>8.3f}")
        lines += [f"  jobs in which {note}: {n}" for note, n in sorted(self.left_out.items())]
        count = max(1, self.count)
        for name, spent in zip(("windows", "judge"), self.seconds, strict=True):
            lines.append(f"  {'seconds a job, ' + name:<40}{spent / count:>8.2f}")
        return "\n".join(lines)

    @property
    def passed(self) -> bool:
        """Whether some windows were compared and none is wider than the judge's."""
        return self.rays["wider"] == 0 and self.rays["agree"] > 0


def _arguments(words: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="judge.windows", description=ABOUT, epilog=CLOSING)
    parser.add_argument("--n", type=int, default=500, help="number of jobs (500)")
    parser.add_argument("--seed", type=int, default=1,
                        help="seed of the first job, the next ones count on (1)")  # fmt: skip
    parser.add_argument("--pixel", type=float, default=PIXEL_MM,
                        help=f"size of a pixel in mm ({PIXEL_MM:g})")  # fmt: skip
    parser.add_argument("--rays", type=int, default=RAYS, help=f"rays of a window ({RAYS})")
    parser.add_argument("--workers", type=int, default=1, help="processes at work at once (1)")
    parser.add_argument("--log", type=Path, default=Path("judge-out/windows.jsonl"),
                        help="file of outcomes, one JSON line a job: written as the run goes on; "
                        "jobs that it holds already are counted, not run again "
                        "(judge-out/windows.jsonl)")  # fmt: skip
    return parser.parse_args(words)


def _logged(log: Path) -> dict[int, Outcome]:
    if not log.exists():
        return {}
    found = {}
    for text in log.read_text(encoding="utf-8").splitlines():
        row = json.loads(text)
        row["rays"] = tuple(Ray(**{**r, "blank": tuple(r["blank"])}) for r in row["rays"])
        row["left_out"] = tuple(row["left_out"])
        found[row["seed"]] = Outcome(**row)
    return found


def _outcomes(seeds: list[int], asked: argparse.Namespace) -> Iterator[Outcome]:
    if asked.workers <= 1:
        for seed in seeds:
            yield held_against(seed, asked.pixel, asked.rays)
        return
    with ProcessPoolExecutor(asked.workers) as pool:
        jobs = [pool.submit(held_against, seed, asked.pixel, asked.rays) for seed in seeds]
        for job in jobs:
            yield job.result()


def main(words: list[str] | None = None) -> int:
    """Runs the comparison; 0 when no window is wider than the judge's, else 1."""
    asked = _arguments(words)
    seeds = list(range(asked.seed, asked.seed + asked.n))
    before = _logged(asked.log)
    tally = Tally()
    for seed in seeds:
        if seed in before:
            tally.add(before[seed])
    asked.log.parent.mkdir(parents=True, exist_ok=True)
    with asked.log.open("a", encoding="utf-8") as log:
        for outcome in _outcomes([seed for seed in seeds if seed not in before], asked):
            tally.add(outcome)
            log.write(json.dumps(asdict(outcome)) + "\n")
            log.flush()
            for ray in outcome.rays:
                if ray.kind in ("wider", "narrower"):
                    across, size = ray.blank
                    print(f"{outcome.seed}: {ray.window} {ray.kind} by {ray.apart:.2f} at "
                          f"{across:.2f}, size {size:.2f} ({ray.side})", flush=True)  # fmt: skip
    print(tally.table())
    return 0 if tally.passed else 1


if __name__ == "__main__":
    sys.exit(main())
