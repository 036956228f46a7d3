"""A word's new text: outward, in the program's own style; and which word placed the tool."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plan_shop import TOOL, files_of, proved

from standclear.blocks.program import Word
from standclear.blocks.read import read_program
from standclear.job.read import read_job
from standclear.plan.amend.words import R, Site, Z, outward_text, site_before, value_of

MM, RADIUS, INCH = "1", "0.5", "25.4"


@pytest.mark.parametrize(
    ("text", "unit", "wanted", "new"),
    [
        ("X51.", RADIUS, 27.35, "X55."),  # 54.7 on diameter, no decimals: up to 55
        ("X51.0", RADIUS, 27.35, "X54.7"),
        ("X51.00", RADIUS, 27.351, "X54.71"),  # 54.702
        ("X 51.5", RADIUS, 27.35, "X 54.7"),
        ("x51.", RADIUS, 27.35, "x55."),
        ("X+51.", RADIUS, 27.35, "X+55."),
        ("Z.125", INCH, 0.277 * 25.4, "Z.277"),
        ("Z0.125", INCH, 0.277 * 25.4, "Z0.277"),
        ("Z.9", MM, 1.0, "Z1.0"),
        ("Z5.", MM, 8.0, "Z8."),  # exactly enough is enough
        ("Z5.", MM, 8.0000000001, "Z8."),  # as is what floating sums add to it
        ("Z5.", MM, 8.001, "Z9."),
        ("Z9.", MM, 10.2, "Z11."),
        ("Z-3.5", MM, -1.02, "Z-1.0"),  # outward is towards +Z
        ("Z-3.", MM, -0.5, "Z0."),
    ],
)
def test_new_text(text: str, unit: str, wanted: float, new: str) -> None:
    assert outward_text(*word_and_site(text, unit), wanted) == new


def test_increments_stay_increments() -> None:
    word, site = word_and_site("X51000", "0.0005")
    assert outward_text(word, site, 27.35) == "X54700"


def word_and_site(text: str, unit: str) -> tuple[Word, Site]:
    """A word alone, worth `unit` mm of the coordinate for each 1 of its number."""
    word = read_program(text.encode(), "p").blocks[0].words[0]
    decimals = len(word.value_text.partition(".")[2])
    return word, Site(0, 0, Z, 0.0, Decimal(unit).scaleb(-decimals))


@given(
    st.decimals(-900, 900, places=3),
    st.integers(0, 4),
    st.floats(-900, 900).map(lambda v: round(v, 4)),
    st.sampled_from([MM, RADIUS, INCH]),
)
def test_new_text_gives_enough_and_not_a_step_more(
    number: Decimal, places: int, wanted: float, unit: str
) -> None:
    text = f"Z{number:.{places}f}" + ("." if places == 0 else "")
    word, site = word_and_site(text, unit)
    new = outward_text(word, site, wanted)
    (again,) = read_program(new.encode(), "p").blocks[0].words
    assert again.number is not None and again.has_point
    assert len(again.value_text.partition(".")[2]) == places
    mm = float(again.number) * float(unit)
    step = float(unit) / 10**places
    assert wanted - 1e-6 <= mm < wanted + step + 1e-6
    assert value_of(site, word, new) == pytest.approx(mm)


def test_what_is_added_to_the_number_stays_added(tmp_path: Path) -> None:
    # The tool stands at Z5 and is told that this is Z7: Z4 is then at Z2 of part zero.
    body = "G00 X60. Z5.\nG50 W2.\nG00 X50. Z4.\nG01 X40. F0.1\n"
    held, _ = proved(files_of(tmp_path, body))
    motions, program = held.readings[0][0].trace.motions, held.programs["p.nc"]
    last = max(i for i in range(len(motions)) if motions.kind[i] == 1)
    found = site_before(program, motions, last, Z, held.files.job)
    assert found is not None and (found.mm, found.shift) == pytest.approx((2.0, -2.0))
    word = program.blocks[found.block].words[found.word]
    text = outward_text(word, found, 3.4)
    assert text == "Z6."  # 5.4, and no decimals
    assert value_of(found, word, text) == pytest.approx(4.0)


def test_a_place_of_the_machine_is_no_clearance_point(tmp_path: Path) -> None:
    # X -170 + 220 = 50; Z -445 + 400 + 50 = 5.
    tool = f"geometry = {{ x = -220.0, z = -50.0 }}\n{TOOL}"
    files_of(tmp_path, f"G53 X-170. Z-445.\n{FEED}", tool=tool)
    text = (tmp_path / "job.toml").read_text()
    stated = text.replace('offset = "G54"\n', 'offset = "G54"\noffset_z = -400.0\n')
    (tmp_path / "job.toml").write_text(stated)
    files = read_job(tmp_path)
    held, _ = proved(files)
    motions = held.readings[0][0].trace.motions
    last = max(i for i in range(len(motions)) if motions.kind[i] == 1)
    assert motions.start[last].tolist() == [5.0, 25.0]
    for axis in (R, Z):
        assert site_before(held.programs["p.nc"], motions, last, axis, files.job) is None


def site(tmp_path: Path, body: str, axis: int) -> tuple[int, str] | None:
    """(line, text) of the word that placed the tool where the last feed of a body begins."""
    held, _ = proved(files_of(tmp_path, body))
    motions = held.readings[0][0].trace.motions
    last = max(i for i in range(len(motions)) if motions.kind[i] == 1)
    found = site_before(held.programs["p.nc"], motions, last, axis, held.files.job)
    if found is None:
        return None
    block = held.programs["p.nc"].blocks[found.block]
    return block.line, block.words[found.word].text


FEED = "G01 Z-1. F0.1\n"


@pytest.mark.parametrize(
    ("body", "x", "z"),
    [
        ("G00 X50. Z5.\n", (5, "X50."), (5, "Z5.")),
        ("G00 X50. Z9.\nZ5.\n", (5, "X50."), (6, "Z5.")),
        # A call ends where it began: the word before it still holds.
        ("G00 X50. Z5.\nG94 X20. Z0. F0.1\nG00 X50.\n", (5, "X50."), (5, "Z5.")),
        ("G00 X50. Z5.\nG00 X44. Z4.\n", (6, "X44."), (6, "Z4.")),
        ("G00 X60. Z5.\nG00 U-10.\n", None, (5, "Z5.")),
        ("G00 X60. Z5.\nG01 X50. F1.\n", None, (5, "Z5.")),  # a feed is a cut, no approach
        ("G00 X50000 Z5000\n", (5, "X50000"), (5, "Z5000")),
        ("G00 X-50. Z5.\n", None, (5, "Z5.")),  # across the axis: out is the other way
        # Zero moved by the program: the word still places the tool, from elsewhere.
        ("G00 X60. Z5.\nG50 W2.\nG00 X50. Z4.\n", (7, "X50."), (7, "Z4.")),
    ],
)
def test_which_word_placed_the_tool(
    tmp_path: Path, body: str, x: tuple[int, str] | None, z: tuple[int, str]
) -> None:
    assert site(tmp_path, body + FEED, R) == x
    assert site(tmp_path, body + FEED, Z) == z
