"""The page in a browser, worked as somebody at the bench works it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser_shop import CHROMIUM, PATIENCE_MS, Running, answered, chromium, opened, running
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.skipif(not CHROMIUM, reason="no Chromium here: the page is not tried")
WORD = "#verdict-word"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as found:
        yield found


@pytest.fixture
def served(shop: Path) -> Iterator[Running]:
    with running(shop) as page:
        yield page


@pytest.fixture
def bench(browser: Browser, served: Running) -> Iterator[Page]:
    page = opened(browser, f"{served.url}/job/demo-pin/")
    answered(page)
    yield page
    assert page.complaints == []  # type: ignore[attr-defined]
    page.context.close()


def drag_bar(page: Page, to: float) -> None:
    """The bar's slider taken with the mouse and brought to a size, and held there."""
    slider = page.locator("#handle-bar")
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    assert box is not None
    least, most, value = (
        float(slider.evaluate(f"each => each.{name}")) for name in ("min", "max", "value")
    )
    thumb = 22.0

    def at(size: float) -> float:
        share = (size - least) / (most - least)
        return box["x"] + thumb / 2 + share * (box["width"] - thumb)

    y = box["y"] + box["height"] / 2
    page.mouse.move(at(value), y)
    page.mouse.down()
    page.mouse.move(at((value + to) / 2), y)
    page.mouse.move(at(to), y)


def test_the_bar_is_dragged_until_it_strikes_and_back(bench: Page) -> None:
    expect(bench.locator(WORD)).to_have_text("clear")
    drag_bar(bench, 52.0)
    # Struck from 50.81 on, as worked out by hand in the job file.
    expect(bench.locator(WORD)).to_have_text("contact (quick look)")
    expect(bench.locator("#headline")).to_contain_text("line 11")
    assert bench.locator('[data-setup="0"] [data-part="strikes"]').count() > 0
    # What is on the bench is said of the finger's place, not of the last full proof.
    size = float(bench.locator('[data-handle="bar"] output').inner_text())
    expect(bench.locator("#blank")).to_contain_text(f"{size:.1f} mm across")
    bench.mouse.up()
    expect(bench.locator(WORD)).to_have_text("contact")
    drag_bar(bench, 48.5)
    expect(bench.locator(WORD)).to_have_text("no strike found (quick look)")
    bench.mouse.up()
    expect(bench.locator(WORD)).to_have_text(re.compile("^clear"))
    assert bench.locator('[data-setup="0"] [data-part="strikes"]').count() == 0
    assert bench.locator('[data-setup="0"] [data-part="way"]').count() > 10


def test_an_edge_is_dragged_in_the_picture_itself(bench: Page) -> None:
    place = bench.locator('[data-setup="0"] [data-drawing]')
    place.scroll_into_view_if_needed()
    box = place.bounding_box()
    ring = bench.locator('[data-setup="0"] [data-part="grips"]').first.bounding_box()
    assert box is not None and ring is not None
    value = bench.locator('[data-handle="bar"] output')
    expect(value).to_have_text("48.0")
    grips = bench.evaluate(
        "fetch('/job/demo-pin/job.json').then(a => a.json()).then(a => a.answer.setups[0].grips)"
    )
    bar = next(grip for grip in grips if grip["key"] == "bar")
    scale = box["width"] / 176.0
    x, y = box["x"] + bar["x"] * scale, box["y"] + bar["y"] * scale
    bench.mouse.move(x, y)
    bench.mouse.down()
    for step in range(1, 9):
        bench.mouse.move(x, y - 2.5 * step)
    bench.mouse.up()
    expect(value).not_to_have_text("48.0")
    assert float(value.inner_text()) > 49


def test_keys_and_number_pad_serve_in_place_of_dragging(bench: Page) -> None:
    more = bench.get_by_role("button", name="Bar, across, more")
    for _ in range(3):
        more.click()
    expect(bench.locator('[data-handle="bar"] output')).to_have_text("48.3")
    bench.get_by_role("button", name="Bar, across: type a number").click()
    for digit in "52":
        bench.locator(f'[data-digit="{digit}"]').click()
    bench.locator('[data-digit="set"]').click()
    expect(bench.locator(WORD)).to_have_text("contact")
    bench.get_by_role("button", name="Bar, across: type a number").click()
    for digit in "999":
        bench.locator(f'[data-digit="{digit}"]').click()
    bench.locator('[data-digit="set"]').click()
    expect(bench.locator("#pad-told")).to_contain_text("Give a number from")
    bench.locator('[data-digit="leave"]').click()
    bench.get_by_role("button", name="As in the job file").click()
    expect(bench.locator(WORD)).to_have_text("clear")


def test_stepping_shows_block_and_tool_forward_and_back(bench: Page) -> None:
    end = bench.locator('[data-setup="0"]')
    on, back = (end.get_by_role("button", name=f"block {way}") for way in ("on", "back"))
    at = end.locator("[data-at]")
    on.click()
    expect(at).to_contain_text("line 6")
    on.click()
    expect(at).to_contain_text("line 10: G00 X51. Z5. M08")
    on.click()
    expect(at).to_contain_text("line 11: G94")
    expect(bench.locator('#program [aria-selected="true"]')).to_contain_text("G94 X-1.6 Z1. F0.2")
    back.click()
    expect(at).to_contain_text("line 10")
    # A block that is chosen in the program is shown in the picture.
    bench.locator('#program [data-line="30"]').click()
    expect(at).to_contain_text("line 30: G70 P100 Q170")
    assert end.locator('[data-part="swept"]').count() == 1
    picked = end.locator("[data-part=way].picked")
    assert picked.count() > 0
    assert {way.get_attribute("data-line") for way in picked.all()} == {"30"}
    # A way that is touched in the picture is shown in the program.
    drawing = end.locator("[data-drawing]").bounding_box()
    way = end.locator('[data-part="way"][data-line="11"] path').last.bounding_box()
    assert drawing is not None and way is not None
    bench.mouse.click(way["x"] + way["width"] / 2, way["y"] + way["height"] * 0.8)
    expect(at).to_contain_text(re.compile("line (11|12):"))
    end.get_by_role("button", name="whole run").click()
    expect(at).to_contain_text("motions; step")


def test_a_finding_leads_to_its_place(bench: Page) -> None:
    bench.locator("#handle-bar").focus()
    for _ in range(40):
        bench.keyboard.press("ArrowRight")
    expect(bench.locator(WORD)).to_have_text("contact")
    bench.locator("#findings .severity-stop button").first.click()
    expect(bench.locator('[data-setup="0"] [data-at]')).to_contain_text("line 11")
    flag = bench.locator('#program [data-line="11"] .flag')
    expect(flag).to_have_text("stop")


def test_a_block_is_mended_proved_and_kept_through_a_reload(bench: Page, shop: Path) -> None:
    for _ in range(30):
        bench.get_by_role("button", name="Bar, across, more").click()
    expect(bench.locator(WORD)).to_have_text("contact")
    expect(bench.locator('[data-handle="bar"] output')).to_have_text("51.0")
    for line in (10, 40):
        bench.locator(f'#program [data-line="{line}"]').click()
        expect(bench.locator("#edit-block")).to_have_value("G00 X51. Z5. M08")
        bench.locator("#edit-block").fill("G00 X55. Z5. M08")
        bench.get_by_role("button", name="Set block").click()
        expect(bench.locator(f'#program [data-line="{line}"]')).to_contain_text("X55.")
    expect(bench.locator(WORD)).to_have_text(re.compile("clear"))
    assert (shop / "demo-pin" / "pin.nc").read_text().count("G00 X55. Z5. M08") == 2
    assert len(list((shop / "demo-pin" / "earlier").iterdir())) == 2
    bench.reload()
    answered(bench)
    expect(bench.locator('[data-handle="bar"] output')).to_have_text("51.0")
    expect(bench.locator(WORD)).to_have_text(re.compile("clear"))


def test_a_second_tab_is_told_and_nothing_is_lost(
    browser: Browser, bench: Page, served: Running, shop: Path
) -> None:
    other = opened(browser, f"{served.url}/job/demo-pin/")
    answered(other)
    other.get_by_role("button", name="Edit as text").click()
    text = other.get_by_label("The whole program as text")
    text.fill(text.input_value().replace("(FRONT END, ROUGH)", "(MINE)"))
    bench.get_by_role("button", name="Edit as text").click()
    first = bench.get_by_label("The whole program as text")
    first.fill(first.input_value().replace("(FRONT END, ROUGH)", "(THEIRS)"))
    bench.get_by_role("button", name="Save and prove").click()
    expect(bench.locator("#program .told").first).to_contain_text("Saved and proved again")
    expect(other.locator("#told")).to_contain_text("changed elsewhere")
    other.get_by_role("button", name="Save and prove").click()
    expect(other.locator("#program .told").first).to_contain_text("Yours is also kept as earlier/")
    program = shop / "demo-pin" / "pin.nc"
    assert "(THEIRS)" in program.read_text()
    kept = [path.read_text() for path in (shop / "demo-pin" / "earlier").iterdir()]
    assert any("(MINE)" in each for each in kept)
    other.get_by_role("button", name="Put mine in its place").click()
    expect(other.locator("#program .told").first).to_contain_text("Saved and proved again")
    assert "(MINE)" in program.read_text()
    kept = [path.read_text() for path in (shop / "demo-pin" / "earlier").iterdir()]
    assert any("(THEIRS)" in each for each in kept)
    other.context.close()


def test_closing_the_tab_and_pulling_the_plug_lose_no_typed_text(
    browser: Browser, served: Running
) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(f"{served.url}/job/demo-pin/?bar=49")
    answered(page)
    page.get_by_role("button", name="Edit as text").click()
    text = page.get_by_label("The whole program as text")
    text.fill(text.input_value().replace("(FRONT END, ROUGH)", "(NOT SAVED YET)"))
    served.stop()
    expect(page.locator("#told")).to_contain_text("does not answer")
    served.start()
    expect(page.locator("#told")).to_contain_text("answers again")
    page.close()
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(f"{served.url}/job/demo-pin/?bar=49")
    answered(page)
    expect(page.get_by_label("The whole program as text")).to_have_value(
        re.compile(r"\(NOT SAVED YET\)")
    )
    expect(page.locator("#program .told").first).to_contain_text("not saved yet")
    context.close()


def test_a_program_alone_begins_a_job(browser: Browser, served: Running, shop: Path) -> None:
    page = opened(browser, served.url)
    page.set_input_files("#program-file", shop / "demo-pin" / "pin.nc")
    page.wait_for_url("**/job/pin*/")
    answered(page)
    expect(page.locator(WORD)).to_have_text("unproven")
    expect(page.locator("#findings")).to_contain_text("guess")
    page.context.close()


def test_a_program_is_dropped_on_the_front_page_and_on_the_bench(
    browser: Browser, served: Running, shop: Path
) -> None:
    page = opened(browser, served.url)
    text = (shop / "demo-pin" / "pin.nc").read_text()
    files = """([name, text]) => {
        const held = new DataTransfer();
        held.items.add(new File([text], name));
        return held;
    }"""
    held = page.evaluate_handle(files, ["bolt.nc", text])
    page.dispatch_event("#drop", "drop", {"dataTransfer": held})
    page.wait_for_url("**/job/bolt*/")
    answered(page)
    edited = text.replace("(FRONT END, ROUGH)", "(FROM A FILE)")
    held = page.evaluate_handle(files, ["other.nc", edited])
    page.dispatch_event("#program", "drop", {"dataTransfer": held})
    field = page.get_by_label("The whole program as text")
    expect(field).to_have_value(re.compile(r"\(FROM A FILE\)"))
    # Looked at first, and written only when it is saved.
    assert (shop / "bolt" / "bolt.nc").read_text() == text
    page.get_by_role("button", name="Save and prove").click()
    expect(page.locator("#program .told").first).to_contain_text("Saved and proved again")
    assert (shop / "bolt" / "bolt.nc").read_text() == edited
    page.context.close()


def test_somebody_of_the_shop_types_the_code_and_looks(browser: Browser, shop: Path) -> None:
    with running(shop, "--at", "127.0.0.1") as served:
        code = re.search(r"\d{6}", served.said[1])
        assert code, served.said
        page = opened(browser, f"{served.url}/job/demo-pin/")
        expect(page.get_by_role("heading", name="Type the code")).to_be_visible()
        wrong = "000000" if code[0] != "000000" else "111111"
        page.get_by_label("Six digits").fill(wrong)
        page.complaints.clear()  # type: ignore[attr-defined]
        page.get_by_role("button", name="Let me look").click()
        expect(page.get_by_role("alert")).to_contain_text("not the code")
        page.get_by_label("Six digits").fill(code[0])
        page.get_by_role("button", name="Let me look").click()
        expect(page.get_by_role("heading", name="jobs", exact=True)).to_be_visible()
        assert page.locator("#drop").count() == 0
        page.goto(f"{served.url}/job/demo-pin/")
        answered(page)
        drag_bar(page, 52.0)
        page.mouse.up()
        expect(page.locator(WORD)).to_have_text("contact")
        assert page.get_by_role("button", name="Save and prove").count() == 0
        assert page.locator("#take, #keep").count() == 0
        page.context.close()


def test_all_of_it_by_keyboard_alone(bench: Page) -> None:
    reached: list[str] = []
    bench.locator("body").press("Tab")
    for _ in range(60):
        name = bench.evaluate(
            "() => { const a = document.activeElement;"
            " return a.id || a.getAttribute('aria-label') || a.textContent.trim(); }"
        )
        reached.append(name)
        box = bench.evaluate(
            "() => { const r = document.activeElement.getBoundingClientRect();"
            " return [r.width, r.height]; }"
        )
        assert box[0] > 0 and box[1] > 0, f"{name} has the focus and is not seen"
        bench.keyboard.press("Tab")
    assert reached[0] == "To the work"
    for wanted in ("block on", "handle-bar", "Bar, across, more", "handle-jaw.1", "as-job"):
        assert wanted in reached, f"{wanted} is not reached by Tab"
    bench.locator("#handle-bar").focus()
    for _ in range(35):
        bench.keyboard.press("ArrowRight")
    expect(bench.locator(WORD)).to_have_text("contact")
    bench.locator(".blocks").focus()
    bench.keyboard.press("Home")
    for _ in range(10):
        bench.keyboard.press("ArrowDown")
    expect(bench.locator('#program [aria-selected="true"]')).to_contain_text("G94 X-1.6 Z1.")
    expect(bench.locator('[data-setup="0"] [data-at]')).to_contain_text("line 11")
    bench.keyboard.press("Enter")
    expect(bench.locator("#edit-block")).to_be_focused()
    bench.locator('[data-handle="bar"] [data-pad]').focus()
    bench.keyboard.press("Enter")
    expect(bench.locator("#pad-value")).to_be_focused()
    bench.keyboard.type("48")
    bench.keyboard.press("Enter")
    expect(bench.locator(WORD)).to_have_text("clear")


@pytest.mark.parametrize("where", ["/", "/job/demo-pin/?bar=52&length=86.5", "/job/nothing/"])
@pytest.mark.parametrize("ground", ["light", "dark"])
def test_axe_finds_nothing(browser: Browser, served: Running, where: str, ground: str) -> None:
    context = browser.new_context(
        viewport={"width": 1024, "height": 768},
        color_scheme=ground,  # type: ignore[arg-type]
        bypass_csp=True,  # axe puts its own script into the page
    )
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(served.url + where)
    if "demo-pin" in where:
        answered(page)
        expect(page.locator(WORD)).to_have_text("contact")
    results = Axe().run(page)
    found = [
        (each["id"], [node["target"] for node in each["nodes"]][:4])
        for each in results.response["violations"]
    ]
    context.close()
    assert found == []


@pytest.mark.parametrize("width", [390, 768, 1024, 1280, 1920])
def test_nothing_overlaps_or_runs_out_at_any_width(
    browser: Browser, served: Running, width: int
) -> None:
    page = opened(browser, f"{served.url}/job/demo-pin/?bar=52", width, 844)
    answered(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """() => [...document.querySelectorAll(
                '.bench button, .strip a, .bench input, .bench select')]
            .filter(each => each.offsetParent && !each.closest('.panel')
                && each.getBoundingClientRect().height < 47.5)
            .map(each => each.outerHTML.slice(0, 80))"""
    )
    assert small == []
    crossing = page.evaluate(
        """() => {
            const seen = [...document.querySelectorAll(
                '.bench label, .bench button, .strip .cell, .headline, .end-name, .end-verdict')]
                .filter(each => each.offsetParent
                    && !each.closest('[hidden], dialog, .blocks, .findings'));
            const found = [];
            for (const a of seen) for (const b of seen) {
                if (a === b || a.contains(b) || b.contains(a)) continue;
                const p = a.getBoundingClientRect(), q = b.getBoundingClientRect();
                if (p.left < q.right - 1 && q.left < p.right - 1
                    && p.top < q.bottom - 1 && q.top < p.bottom - 1)
                    found.push([a, b].map(each => each.textContent.trim().slice(0, 30)));
            }
            return found;
        }"""
    )
    page.context.close()
    assert crossing == []


def test_light_and_dark_are_chosen_and_kept(bench: Page) -> None:
    paper = "getComputedStyle(document.querySelector('.end')).backgroundColor"
    light = bench.evaluate(paper)
    bench.get_by_role("button", name="dark").click()
    dark = bench.evaluate(paper)
    assert light != dark
    bench.reload()
    answered(bench)
    assert bench.evaluate(paper) == dark


def test_quick_presses_of_a_stepping_key_are_all_made(bench: Page) -> None:
    """Each press counts, also while the answer to the one before is on its way."""
    end = bench.locator('[data-setup="0"]')
    bench.evaluate(
        """() => {
          const key = document.querySelector('[data-setup="0"] [data-step="on"]');
          for (let i = 0; i < 4; i += 1) key.click();
        }"""
    )
    expect(end.locator("[data-at]")).to_contain_text(re.compile(r"on their way|motion 4 of"))
    expect(end.locator("[data-at]")).to_contain_text("motion 4 of")
    bench.get_by_role("button", name="motion back").first.click()
    expect(end.locator("[data-at]")).to_contain_text("motion 3 of")
    assert "motion=2" in bench.url


def test_a_double_click_on_a_value_leaves_the_keyboard_to_the_number_pad(bench: Page) -> None:
    bench.get_by_role("button", name="Bar, across: type a number").dblclick()
    bench.keyboard.type("49.5")
    expect(bench.locator("#pad-value")).to_have_value("49.5")
    bench.keyboard.press("Enter")
    expect(bench.locator('[data-handle="bar"] output')).to_have_text("49.5")


def test_a_click_on_a_grip_steps_nowhere_and_one_on_a_strikes_number_finds_it(
    browser: Browser, served: Running
) -> None:
    page = opened(browser, f"{served.url}/job/demo-pin/?bar=52")
    answered(page)
    place = page.locator('[data-setup="0"] [data-drawing]')
    place.scroll_into_view_if_needed()
    box = place.bounding_box()
    assert box is not None
    grips = page.evaluate(
        "fetch('/job/demo-pin/job.json?bar=52').then(a => a.json())"
        ".then(a => a.answer.setups[0].grips)"
    )
    bar = next(grip for grip in grips if grip["key"] == "bar")
    scale = box["width"] / 176.0
    page.mouse.click(box["x"] + bar["x"] * scale, box["y"] + bar["y"] * scale)
    number = page.locator('[data-setup="0"] [data-part="mark"]').first
    number.click(force=True, timeout=10_000)
    head = page.locator("#findings button:focus")
    expect(head).to_contain_text("stop")
    expect(head).to_contain_text("line 11")
    assert "motion=" not in page.url
    page.context.close()


def test_the_map_tells_the_blank_as_dragged_from_the_one_as_filed(bench: Page) -> None:
    label = bench.locator(".map-dragged").first
    expect(label).to_have_text("")
    bench.evaluate("import('/static/bench.js').then(m => m.bench.set({ bar: 48.5 }))")
    expect(label).to_have_text("as dragged")
    bench.evaluate("import('/static/bench.js').then(m => m.bench.set({ bar: 55 }))")
    expect(label).to_have_text("as dragged: outside this map")
    assert bench.locator(".map-cross").first.get_attribute("d") == ""
    frame = bench.locator(".map svg").first.bounding_box()
    box = label.bounding_box()
    assert frame is not None and box is not None
    assert box["x"] >= frame["x"] and box["x"] + box["width"] <= frame["x"] + frame["width"]
    desc = bench.locator(".map svg desc, .map svg title").first.text_content()
    assert "in hand" not in (desc or "")


def test_an_open_page_that_is_made_narrow_stays_within_its_window(
    browser: Browser, served: Running
) -> None:
    page = opened(browser, f"{served.url}/job/demo-pin/?bar=52", width=1600, height=900)
    answered(page)
    for width in (1000, 390):
        page.set_viewport_size({"width": width, "height": 800})
        page.wait_for_function(
            "w => innerWidth === w && document.documentElement.scrollWidth <= w",
            arg=width,
            timeout=10_000,
        )
    page.context.close()


def test_edits_are_found_written_and_the_job_is_put_onto_them(bench: Page, shop: Path) -> None:
    """Bar 52 strikes at the clearance point of each end; the least edits are those two words."""
    bench.get_by_role("button", name="Bar, across: type a number").click()
    for digit in "52":
        bench.locator(f'[data-digit="{digit}"]').click()
    bench.locator('[data-digit="set"]').click()
    expect(bench.locator(WORD)).to_have_text("contact")
    bench.get_by_role("button", name="Find the least edits").click()
    expect(bench.locator("#changes-told")).to_contain_text("The bench can be used meanwhile")
    bench.get_by_role("button", name="Stop looking").click()
    expect(bench.locator("#changes-told")).to_have_text("Stopped. Nothing was changed.")
    bench.complaints.clear()  # type: ignore[attr-defined]  # the refusal of what was stopped
    bench.get_by_role("button", name="Find the least edits").click()
    # The bench goes on while it looks.
    bench.locator('[data-setup="0"]').get_by_role("button", name="block on").click()
    expect(bench.locator('[data-setup="0"] [data-at]')).to_contain_text("line 6")
    expect(bench.locator("#changes-pieces li")).to_have_count(2)
    bench.get_by_role("button", name="Write to a new file").click()
    expect(bench.locator("#changes-told")).to_contain_text("Written to pin.amended.nc")
    bench.get_by_role("button", name="Run the new program in this job").click()
    expect(bench.locator("#told")).to_contain_text("job.toml now runs pin.amended.nc")
    expect(bench.locator(WORD)).to_have_text("clear")
    expect(bench.locator('[data-handle="bar"] output')).to_have_text("52.0")
    assert "X51." in (shop / "demo-pin" / "pin.nc").read_text()


def test_a_program_brought_back_is_held_beside_the_jobs_own(
    bench: Page, shop: Path, tmp_path: Path
) -> None:
    back = tmp_path / "back.nc"
    text = (shop / "demo-pin" / "pin.nc").read_text()
    back.write_text(text.replace("G00 X51. Z5. M08", "G00 X47. Z5. M08", 1))
    bench.set_input_files("#brought-file", back)
    told = bench.locator("#brought-told")
    expect(told).to_have_text("It moves differently; the job is contact with it.")
    expect(bench.locator("#brought-lines")).to_contain_text("X47.")
    back.write_text(text)
    bench.set_input_files("#brought-file", back)
    expect(told).to_contain_text("the job is clear with it")


def test_the_sheet_is_handed_over_as_a_file(bench: Page, tmp_path: Path) -> None:
    bench.goto(f"{bench.url}?bar=52")
    answered(bench)
    # The job is proved many times over for it.
    with bench.expect_download(timeout=3 * PATIENCE_MS) as waited:
        bench.get_by_role("button", name="Sheet, A4").click()
    assert waited.value.suggested_filename == "demo-pin.pdf"
    waited.value.save_as(tmp_path / "sheet.pdf")
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    expect(bench.locator("#papers-told")).to_have_text("demo-pin.pdf is made.")
