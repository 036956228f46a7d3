"""The sheet's PDF, read back as words and looked at as pixels."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from itertools import combinations

import numpy as np
import pytest
from pypdf import PdfReader
from tests.sheet.conftest import AT
from tests.sheet.reading_back import fonts_of, page_texts, pixels, runs_of, sizes_of

from standclear.sheet.content import Sheet, WatchRow
from standclear.sheet.typeset import to_pdf, to_png

DOTS = 4.0
"""A millimetre of paper."""
EDGE_MM = 8.0
LEAST_POINTS = 10.0
STRANGE = (
    "#let x = [",
    "*bold* _slanted_ = head",
    "$ 1/0 $ `raw` @there <here>",
    "// gone /* too */ \\ ~ --- ...",
    '"quoted" \'single\' #panic("no")',
    "Втулка Ø42 ±0,1 µm",
)


def test_a_page_for_each_set_up_and_three_for_the_part(pin: Sheet) -> None:
    texts = page_texts(to_pdf(pin, AT))
    assert len(texts) == 5
    assert "Set-up 1 of 2: front end" in texts[0]
    assert "Set-up 2 of 2: back end" in texts[1]
    assert "First part and other bars" in texts[2]
    assert "Time, load and cost" in texts[3]
    assert "What the answer rests on" in texts[4]
    for text in texts:
        assert "CLEAR" in text
        assert "NOT PROVEN" not in text
        assert "Guard closed" in text
        assert "Proved 2031-05-06 07:08" in text
        assert all(f"{name} {head}" in text for name, head in pin.identity)
    for words in ("Z-57.000", "X51.0 Z5.0", "X-52.6 Z0.0", "CNMG120408", "2.9 goes in"):
        assert words in texts[0], words
    for name, digest in pin.files:
        assert f"{name} {digest}" in texts[4]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_letters_are_large_enough_and_of_typst_alone(pin: Sheet, paper: str) -> None:
    pdf = to_pdf(replace(pin, paper=paper), AT)
    assert min(min(sizes) for sizes in sizes_of(pdf)) >= LEAST_POINTS
    families = {name.split("-")[0] for name in fonts_of(pdf)}
    assert families == {"LibertinusSerif", "DejaVuSansMono"}


@pytest.mark.parametrize(("paper", "size"), [("a4", (210.0, 297.0)), ("us-letter", (215.9, 279.4))])
def test_the_paper_is_that_asked_for(tiny: Sheet, paper: str, size: tuple[float, float]) -> None:
    for page in PdfReader(BytesIO(to_pdf(replace(tiny, paper=paper), AT))).pages:
        found = [float(v) * 25.4 / 72 for v in (page.mediabox.width, page.mediabox.height)]
        assert found == pytest.approx(size, abs=0.1)


def test_not_proven_lies_across_every_page(thick: Sheet, pin: Sheet) -> None:
    pdf = to_pdf(thick, AT)
    texts = page_texts(pdf)
    # Once in the heading, once across.
    assert all(text.count("NOT PROVEN") >= 2 for text in texts)
    assert "contact: set-up spigot end, line 12" in texts[0]
    for number in range(len(texts)):
        assert across_grey(pixels(pdf, number, DOTS)) > 0.04
    assert across_grey(pixels(to_pdf(pin, AT), 0, DOTS)) < 0.005


def across_grey(image: np.ndarray) -> float:
    """Share of the middle of a page, below its drawing, in the grey of the words across it: black
    that covers 16 parts of 100."""
    rows, columns = image.shape[:2]
    middle = image[int(rows * 0.35) : int(rows * 0.85), int(columns * 0.25) : int(columns * 0.75)]
    level = middle.max(axis=2)
    return float(((level >= 211) & (level <= 217)).mean())


@pytest.mark.parametrize("name", ["pin", "thick", "tiny"])
def test_black_white_and_grey_inside_the_margins(name: str, request: pytest.FixtureRequest) -> None:
    sheet: Sheet = request.getfixturevalue(name)
    pdf = to_pdf(sheet, AT)
    for number in range(len(page_texts(pdf))):
        image = pixels(pdf, number, DOTS).astype(int)
        assert (image.max(axis=2) - image.min(axis=2)).max() <= 2
        assert ink_outside(image) > 250, number
        assert image.min() < 30


def ink_outside(image: np.ndarray) -> int:
    """The darkest there is within `EDGE_MM` of the edge of the paper."""
    edge = int(EDGE_MM * DOTS)
    rim = np.ones(image.shape[:2], dtype=bool)
    rim[edge:-edge, edge:-edge] = False
    return int(image[rim].min())


def test_no_words_lie_on_others(pin: Sheet, tiny: Sheet) -> None:
    for sheet in (pin, replace(pin, practice=True), replace(pin, paper="us-letter"), tiny):
        pdf = to_pdf(sheet, AT)
        for number in range(len(page_texts(pdf))):
            for one, other in combinations(runs_of(pdf, number), 2):
                a, b = one.box, other.box
                wide = min(a[2], b[2]) - max(a[0], b[0])
                high = min(a[3], b[3]) - max(a[1], b[1])
                assert wide < 0.5 or high < 0.5, (number, one.text, other.text)


@pytest.mark.parametrize("strange", STRANGE)
def test_names_and_blocks_are_never_markup(tiny: Sheet, strange: str) -> None:
    """What looks like markup prints as itself: in a title, a name, a block, a finding."""
    page = tiny.setups[0]
    watch = (WatchRow("9", strange, "T1", "X1.0", "Z1.0", "Z 1.0"),)
    tools = tuple(replace(tool, name=strange) for tool in page.tools)
    findings = tuple(
        replace(row, sentence=strange, reason=strange, severity="mend")
        for row in tiny.part.findings
    )
    sheet = replace(
        tiny,
        title=strange,
        setups=(replace(page, name=strange, watch=watch, tools=tools, program=strange),),
        part=replace(tiny.part, findings=findings),
        files=((strange, "0" * 64), *tiny.files),
    )
    text = " ".join(page_texts(to_pdf(sheet, AT)))
    plain = " ".join(strange.split())
    # Title on every page, name, program, block, tool; then finding, reason, file.
    assert text.count(plain) >= 8


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_time_load_and_cost_take_one_page_with_the_run_along_its_time(
    pin: Sheet, thick: Sheet, paper: str
) -> None:
    """The strip is ink: more of its part of the page is dark than of a page without a drawing."""
    for sheet in (pin, thick):
        pdf = to_pdf(replace(sheet, paper=paper), AT)
        texts = page_texts(pdf)
        (number,) = [n for n, text in enumerate(texts) if "Time, load and cost" in text]
        assert "continue" not in texts[number]
        assert sheet.effort.one_part in texts[number]
        for title in sheet.effort.cost.titles:
            assert title in texts[number]
        image = pixels(pdf, number, DOTS)
        strip = image[int(35 * DOTS) : int(115 * DOTS)]
        assert (strip < 128).mean() > 0.02
        assert not (strip[:, : int(EDGE_MM * DOTS)] < 250).any()


def test_what_does_not_fit_goes_on_a_page_that_says_so(tiny: Sheet) -> None:
    page = tiny.setups[0]
    row = WatchRow("9", "G00 X41.995 Z1.5", "T1", "X41.995 Z1.5", "X0.0 Z-1.0", "Z 0.5")
    watch = tuple(replace(row, line=str(n)) for n in range(100, 160))
    pdf = to_pdf(replace(tiny, setups=(replace(page, watch=watch),)), AT)
    texts = page_texts(pdf)
    first, second = texts[0], texts[1]
    assert "continues on the next page" in first
    assert "sheet 1 of 2" in first
    assert "Set-up 1 of 1: only end, continued" in second
    assert "sheet 2 of 2" in second
    assert "continues on" not in second
    # The heading of the table stands again over its rest, and no row is lost or twice.
    assert "Distance-to-go" in second
    shown = [w for text in texts[:2] for w in text.split() if w.isdigit() and 100 <= int(w) < 160]
    assert sorted(shown) == [str(n) for n in range(100, 160)]
    assert min(min(sizes) for sizes in sizes_of(pdf)) >= LEAST_POINTS


def test_long_names_stay_inside_their_lines(tiny: Sheet) -> None:
    long = "Spindle nose adapter with a very long name " * 6
    page = tiny.setups[0]
    watch = tuple(replace(row, line=str(n)) for n in range(60) for row in page.watch[:1])
    sheet = replace(
        tiny,
        title=long,
        setups=(replace(page, name=long, program=long.replace(" ", "-"), watch=watch),),
        identity=tuple((long, head) for _, head in tiny.identity),
        verdict="NOT PROVEN",
        practice=True,
    )
    for practice in (False, True):
        pdf = to_pdf(replace(sheet, practice=practice), AT)
        for number in range(len(page_texts(pdf))):
            assert ink_outside(pixels(pdf, number, DOTS)) > 250, number
    assert " ".join(long.split()) in page_texts(pdf)[-1]


def test_a_practice_sheet_hides_the_sums_and_answers_behind(pin: Sheet) -> None:
    texts = page_texts(to_pdf(replace(pin, practice=True), AT))
    assert len(texts) == 7
    question, answers = texts[0], texts[1]
    for hidden in ("Z-57.000", "2.980", "1.490", "Z+2.000", "-57.450", "goes in,"):
        assert hidden not in question, hidden
        assert hidden in answers, hidden
    for shown in ("83.000 blank - 79.000 part - 2.000 front =", "51.000 - 48.020 ="):
        assert shown in question
    assert "answers" in answers
    assert all("PRACTICE, not for the machine" in text for text in texts)


def test_the_same_content_gives_the_same_bytes(tiny: Sheet) -> None:
    assert to_pdf(tiny, AT) == to_pdf(tiny, AT)


def test_pages_as_pictures(tiny: Sheet) -> None:
    pages = to_png(tiny, AT, 60.0)
    assert len(pages) == len(page_texts(to_pdf(tiny, AT)))
    assert all(page.startswith(b"\x89PNG") for page in pages)
