"""The form in a real browser: a job from nothing to a verdict by keys alone, and what it costs."""

from __future__ import annotations

from pathlib import Path

import pytest
from browser_shop import Running, opened
from playwright.sync_api import Browser, Page

PROGRAM = Path(__file__).parent / "six_tools.nc"
MOST_ENTRIES = 60
"""What a two-sided part with six tools may take, everything pressed or typed counted once."""
WIDTHS = (390, 768, 1024, 1280, 1920)
QUIET = 600
"""Milliseconds after which another guess may be confirmed."""
SMALL_KEYS = """() => [...document.querySelectorAll(
    "main input, main select, main button, main a, main summary")]
  .filter((each) => !["checkbox", "file", "hidden"].includes(each.type) && each.checkVisibility())
  .filter((each) => each.getBoundingClientRect().height < 47.5)
  .map((each) => each.name || each.id || each.textContent)"""
"""What is pressed or typed into and is lower than 48 px."""


class Keys:
    """Somebody who has only keys: Tab to get somewhere, letters and arrows to enter."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.entries: list[str] = []

    def reach(self, name: str, most: int = 600) -> None:
        """Tab on until the field or key of that name has the keyboard."""
        for _ in range(most):
            if self.here() == name:
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"{name} cannot be reached by Tab")

    def here(self) -> str:
        """What has the keyboard: name of a field, id or words of a key."""
        return str(
            self.page.evaluate(
                "() => { const e = document.activeElement;"
                "return e.name || e.id || e.getAttribute('aria-label') || e.textContent.trim() }"
            )
        )

    def type(self, name: str, text: str) -> None:
        self.reach(name)
        self.page.keyboard.type(text)
        self.entries.append(name)

    def choose(self, name: str, value: str) -> None:
        """Down through the answers until it is the one."""
        self.reach(name)
        for _ in range(12):
            if self.page.evaluate("document.activeElement.value") == value:
                self.entries.append(name)
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{name} has no answer {value}")

    def press(self, name: str) -> None:
        self.reach(name)
        self.page.keyboard.press("Enter")
        self.entries.append(name)

    def settled(self) -> None:
        """Until what was typed has been looked at."""
        self.page.wait_for_timeout(400)
        self.page.wait_for_load_state("networkidle")


def shown_problems(page: Page) -> list[str]:
    return [
        each.get_attribute("data-problem") + ": " + each.text_content()
        for each in page.query_selector_all("[data-problem]")
        if each.text_content() and each.is_visible()
    ]


ROWS = (
    ("30", "12", "1.5", ""),
    ("28", "3", "", ""),
    ("30", "7", "", ""),
    ("45", "30", "1", "1"),
    ("36", "27", "", "1.5"),
)
TOOLS: tuple[dict[str, str], ...] = (
    {"kind": "insert", "insert": "CNMG120408", "holder": "PCLNR2525M12"},
    {"kind": "insert", "insert": "DNMG150604", "holder": "PDJNR2525M15"},
    {"kind": "drill", "drill.diameter": "14", "drill.length": "60"},
    {"kind": "insert", "insert": "CCMT060204", "holder": "A10K-SCLCR06"},
    {"kind": "grooving", "grooving.width": "3", "grooving.reach": "14"},
    {"kind": "insert", "insert": "DNMG150604", "holder": "PDJNR2525M15"},
)


def test_a_job_from_nothing_to_a_verdict_by_keys_alone(served: Running, screen: Page) -> None:
    keys = Keys(screen)
    screen.goto(served.url)
    keys.type("name", "Grooved pin 45 x 79")
    with screen.expect_navigation():
        screen.keyboard.press("Enter")
    screen.wait_for_selector("#form")
    with screen.expect_file_chooser() as chooser:
        keys.reach("program-file")
        screen.keyboard.press("Enter")
    chooser.value.set_files(PROGRAM)
    keys.entries.append("program-file")
    screen.wait_for_selector("#step-guesses")
    # The program says the unit; sizes are for whoever has the bar in hand.
    assert screen.input_value('[name="units"]') == "mm"
    while screen.query_selector("#step-guesses"):
        left = len(screen.query_selector_all("#step-guesses li"))
        keys.reach(screen.get_attribute("#step-guesses [data-act=confirm]", "aria-label"), most=900)
        screen.keyboard.press("Enter")
        keys.entries.append("confirm")
        screen.wait_for_function(
            "n => document.querySelectorAll('#step-guesses li').length < n", arg=left
        )
        screen.wait_for_timeout(QUIET)
    keys.type("blank.size", "48")
    keys.type("blank.length", "83")
    keys.choose("part.given", "rows")
    for index, (diameter, length, front, back) in enumerate(ROWS):
        keys.type(f"part.rows[{index}].diameter", diameter)
        keys.type(f"part.rows[{index}].length", length)
        if front:
            keys.type(f"part.rows[{index}].front", front)
        if back:
            keys.type(f"part.rows[{index}].back", back)
    keys.choose("jaws.given", "steps")
    for index, (length, height) in enumerate((("9.6", "20"), ("14.4", "45"))):
        keys.type(f"jaws.rows[{index}].length", length)
        keys.type(f"jaws.rows[{index}].height", height)
    for index, tool in enumerate(TOOLS):
        for key, text in tool.items():
            name = f"tools[{index}].{key}"
            if key == "kind":
                keys.choose(name, text)
            else:
                keys.type(name, text)
    keys.choose("setup[0].zero.way", "touch")
    keys.type("setup[0].zero.face_allowance", "2")
    keys.type("setup[1].grip_diameter", "45")
    keys.choose("setup[1].zero.way", "finished-on-stop")
    keys.choose("setup[1].jaws.given", "steps")
    for index, (length, height, relief) in enumerate((("16", "30", ""), ("24", "30", "10"))):
        keys.type(f"setup[1].jaws.rows[{index}].length", length)
        keys.type(f"setup[1].jaws.rows[{index}].height", height)
        if relief:
            keys.type(f"setup[1].jaws.rows[{index}].relief", relief)
    keys.settled()
    assert shown_problems(screen) == []
    keys.reach("save", most=900)
    with screen.expect_navigation(url="**/job/Grooved-pin-45-x-79/"):
        screen.keyboard.press("Enter")
    keys.entries.append("save")
    screen.wait_for_selector("#verdict-word")
    assert "clear" in str(screen.text_content("#verdict-word"))
    assert len(keys.entries) <= MOST_ENTRIES, len(keys.entries)


def axe(page: Page) -> list[str]:
    """What the accessibility checker finds, in short."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {each['nodes'][0]['target']} ({len(each['nodes'])})" for each in found]


@pytest.mark.parametrize("ground", ["light", "dark"])
def test_nothing_stands_in_the_way_of_a_screen_reader(
    served: Running, screen: Page, ground: str
) -> None:
    screen.emulate_media(color_scheme=ground)
    screen.goto(f"{served.url}/job/demo-pin/form/")
    screen.wait_for_load_state("networkidle")
    screen.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
    screen.fill('[name="blank.size"]', "5x")
    screen.fill('[name="blank.length"]', "")
    screen.wait_for_selector('[data-problem="blank.size"]:not(:empty)')
    assert axe(screen) == []


def test_keys_are_large_and_nothing_runs_off_the_screen(served: Running, screen: Page) -> None:
    for width in WIDTHS:
        screen.set_viewport_size({"width": width, "height": 800})
        screen.goto(f"{served.url}/job/demo-pin/form/")
        screen.wait_for_load_state("networkidle")
        screen.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
        assert screen.evaluate("document.documentElement.scrollWidth") <= width
        small = screen.evaluate(SMALL_KEYS)
        assert small == [], width


def test_a_reload_keeps_what_is_typed_and_a_second_tab_is_told(
    served: Running, screen: Page, browser: Browser
) -> None:
    address = f"{served.url}/job/demo-pin/form/"
    other = opened(browser, address)
    screen.fill('[name="blank.size"]', "5o")
    screen.wait_for_selector('[data-problem="blank.size"]:not(:empty)')
    screen.reload()
    assert screen.input_value('[name="blank.size"]') == "5o"
    assert "give a number" in screen.text_content('[data-problem="blank.size"]')
    assert "kept here, not yet in the job file" in screen.text_content("#state")
    served.stop()
    served.start()
    screen.reload()
    assert screen.input_value('[name="blank.size"]') == "5o"
    other.fill('[name="blank.size"]', "60")
    other.wait_for_function("() => document.getElementById('told').textContent !== ''")
    assert "another tab" in other.text_content("#told")
    # The refusal is what the browser complains of, and nothing else.
    assert all("409" in each for each in other.complaints)  # type: ignore[attr-defined]
    other.context.close()
    screen.fill('[name="blank.size"]', "48")
    screen.wait_for_function(
        "() => document.getElementById('state').textContent === 'as in the job file'"
    )


def test_what_is_wrong_is_reached_by_one_key(served: Running, screen: Page) -> None:
    screen.fill('[name="setup[1].offset"]', "G99")
    screen.wait_for_selector('[data-problem="setup[1].offset"]:not(:empty)')
    screen.click("#next-open")
    assert screen.evaluate("document.activeElement.name") == "setup[1].offset"
    assert screen.get_attribute('[name="setup[1].offset"]', "aria-invalid") == "true"
    assert "1 to put right" in screen.text_content('[data-count="setups"]')


def test_a_designation_is_drawn_as_it_is_typed(served: Running, screen: Page) -> None:
    picture = '[data-picture="tools[0]"] svg'
    screen.wait_for_selector(picture)
    before = screen.inner_html(picture)
    screen.fill('[name="tools[0].insert"]', "CNMG120416")
    screen.wait_for_function(
        "() => document.querySelector('[data-decoded=\"tools[0]\"]').textContent.includes('1.6 mm')"
    )
    assert screen.inner_html(picture) != before
    screen.fill('[name="tools[0].insert"]', "CNMG12")
    screen.wait_for_selector('[data-problem="tools[0].insert"]:not(:empty)')
    assert screen.query_selector(picture) is None


def test_guesses_of_a_program_are_confirmed_changed_and_saved(
    served: Running, screen: Page
) -> None:
    screen.goto(served.url)
    screen.set_input_files("#program-file", PROGRAM)
    screen.wait_for_url("**/job/**")
    screen.click(r"text=/^Confirm \d+ guesses$/")
    rows = "#step-guesses li"
    screen.wait_for_selector(rows)
    count = len(screen.query_selector_all(rows))
    first = screen.locator(rows).first
    assert "Diameter of the bar: 50 mm" in first.inner_text()
    assert "Because: the usual bar nearest to 49.5" in first.inner_text()
    assert axe(screen) == []
    first.get_by_text("That is right").click()
    screen.wait_for_function(
        "n => document.querySelectorAll('#step-guesses li').length < n", arg=count
    )
    # Changed, it counts as the setter's own.
    screen.locator(rows, has_text="Length of the blank").get_by_text("Change it").click()
    assert screen.evaluate("document.activeElement.name") == "blank.length"
    screen.keyboard.press("Control+A")
    screen.keyboard.type("83.5")
    screen.wait_for_function(
        "n => document.getElementById('state').textContent.includes(`${n} guesses`)",
        arg=count - 2,
    )
    with screen.expect_navigation():
        screen.click("#save")
    job = next(served.folder.rglob("*.job.toml")).read_text("utf-8")
    assert "\nlength = 83.5  # guess: " in job
    assert '"blank.size"' not in job and '"blank.length"' not in job
    assert job.count('",\n') == count - 2


def test_a_program_put_in_leads_to_its_guesses_and_a_double_press_confirms_one(
    served: Running, browser: Browser
) -> None:
    screen = opened(browser, served.url)
    screen.fill("#new-name", "Pin")
    with screen.expect_navigation():
        screen.press("#new-name", "Enter")
    screen.set_input_files("#program-file", PROGRAM)
    screen.wait_for_selector("#step-guesses")
    assert screen.evaluate("document.activeElement.closest('#step-guesses') !== null")
    assert "to be confirmed one by one" in screen.text_content("#told")
    rows = "#step-guesses li"
    count = len(screen.query_selector_all(rows))
    second = screen.locator(rows).nth(1).locator("strong").inner_text()
    screen.locator(f"{rows} [data-act=confirm]").first.dblclick(delay=60)
    screen.wait_for_function(
        "n => document.querySelectorAll('#step-guesses li').length < n", arg=count
    )
    screen.wait_for_load_state("networkidle")
    assert len(screen.query_selector_all(rows)) == count - 1
    # The next one has the keyboard, and what was told stands until the last is confirmed.
    assert (
        screen.evaluate("document.activeElement.closest('li').textContent")
        .strip()
        .startswith(second)
    )
    for left in range(count - 1, 0, -1):
        assert screen.text_content("#told")
        screen.wait_for_timeout(QUIET)
        screen.locator(f"{rows} [data-act=confirm]").first.click()
        screen.wait_for_function(
            "n => document.querySelectorAll('#step-guesses li').length < n", arg=left
        )
    assert screen.text_content("#told") == ""
    screen.context.close()


def test_tab_goes_from_row_to_row_and_the_drawing_stays_out_of_the_way(
    served: Running, screen: Page
) -> None:
    last = '[name="part.rows[0].back"]'
    screen.focus(last)
    screen.keyboard.press("Tab")
    assert screen.evaluate("document.activeElement.name") == "part.rows[1].diameter"
    count = len(screen.query_selector_all('[data-list="part.rows"] > .line'))
    length = screen.input_value('[name="part.rows[2].length"]')
    screen.keyboard.press("Alt+Delete")
    screen.wait_for_function(
        "n => document.querySelectorAll('[data-list=\"part.rows\"] > .line').length < n", arg=count
    )
    assert screen.input_value('[name="part.rows[1].length"]') == length
    assert screen.evaluate("document.activeElement.name") == "part.rows[1].diameter"
    for width in (1024, 1280):
        screen.set_viewport_size({"width": width, "height": 800})
        row = screen.locator('[data-list="part.rows"]').bounding_box()
        drawing = screen.locator('[data-picture="part"] svg').bounding_box()
        assert row and drawing
        below, beside = (
            drawing["y"] >= row["y"] + row["height"],
            drawing["x"] >= row["x"] + row["width"],
        )
        assert below or beside, width


def test_a_job_saved_half_done_says_what_is_open(served: Running, browser: Browser) -> None:
    # A tab of its own: the bench of a job that cannot be proved has its questions refused.
    screen = opened(browser, served.url)
    screen.fill("#new-name", "Half")
    with screen.expect_navigation():
        screen.press("#new-name", "Enter")
    screen.fill('[name="blank.size"]', "40")
    with screen.expect_navigation():
        screen.click("#save")
    assert screen.text_content("#told").startswith("Saved. It can be proved once 8 places")
    assert "size = 40.0" in (served.folder / "Half" / "job.toml").read_text("utf-8")
    assert "as in the job file" in screen.text_content("#state")
    screen.click("text=The bench")
    screen.click("text=Put it right on the form")
    screen.click("#next-open")
    assert screen.evaluate("document.activeElement.name") == "units"
    screen.context.close()


def test_numbers_are_typed_on_the_pages_own_pad_from_field_to_field(
    served: Running, screen: Page
) -> None:
    def type_on_pad(*digits: str) -> None:
        for digit in digits:
            screen.click(f'#pad [data-digit="{digit}"]')

    screen.click('[name="blank.size"]')
    assert not screen.is_visible("#pad")
    screen.click("#with-pad")
    screen.click('[name="blank.size"]')
    assert screen.evaluate("document.activeElement.id") == "pad-value"
    assert screen.get_attribute('[name="blank.size"]', "inputmode") == "none"
    # The first digit takes the place of what stands there.
    type_on_pad("5", ".", ".", "next")
    assert "Give a number" in screen.text_content("#pad-told")
    type_on_pad("rub", "rub", "1", ".", "5", "next")
    assert screen.input_value('[name="blank.size"]') == "51.5"
    label = screen.text_content("#pad-label")
    type_on_pad("8", "4", "set")
    assert not screen.is_visible("#pad")
    assert "ength" in label and screen.input_value('[name="blank.length"]') == "84"
    screen.wait_for_function("() => document.getElementById('state').textContent.includes('kept')")
    # A text is not a number: its field keeps the device's own keys.
    screen.click('[name="tools[0].insert"]')
    assert not screen.is_visible("#pad")
    screen.reload()
    assert screen.get_attribute("#with-pad", "aria-pressed") == "true"
