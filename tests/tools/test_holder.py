"""Holder designations against ISO 5608, ISO 5610 and ISO 6261 as `tests/authorities` gives them."""

from __future__ import annotations

import pytest
from tool_authority import authority

from standclear.tools.errors import DesignationError, MismatchError
from standclear.tools.holder import check_pair, read_holder
from standclear.tools.holder_tables import (
    INCH_BAR_LENGTHS,
    INCH_LENGTHS,
    INCH_SHANKS,
    LENGTHS_MM,
    STYLES,
)
from standclear.tools.insert import read_insert

TABLE = authority("holders.toml")


@pytest.mark.parametrize(("letter", "angle"), TABLE["entering_angles"].items())
def test_style_letters(letter: str, angle: float) -> None:
    holder = read_holder(f"PC{letter}NR2525M12")
    assert holder.entering_angle == angle
    assert (holder.shank == "straight") == (letter in TABLE["straight_shanks"]["styles"])
    assert (holder.cutting == "end") == (letter in TABLE["end_cutting"]["styles"])


def test_every_style_is_in_the_table() -> None:
    assert set(STYLES) == set(TABLE["entering_angles"]) | {"N"}
    # ISO 5608 from memory: style N is printed 63 and stands for 62.5 with a 55-degree insert.
    assert read_holder("SCNCR2525M12").entering_angle == 63
    assert read_holder("SDNCN2525M11").entering_angle == 62.5


@pytest.mark.parametrize(("letter", "length"), TABLE["lengths"].items())
def test_length_letters(letter: str, length: float) -> None:
    assert read_holder(f"PCLNR2525{letter}12").length_mm == length
    assert read_holder(f"A25{letter}-PCLNR12").length_mm == length
    assert set(LENGTHS_MM) == set(TABLE["lengths"]) | {"X"}


@pytest.mark.parametrize(("width", "offset"), TABLE["tip_offsets"].items())
def test_tip_offset_by_shank_width(width: str, offset: float) -> None:
    assert read_holder(f"PCLNR32{width}M12").tip_offset_mm == offset
    assert read_holder(f"SDNCN32{width}M11").tip_offset_mm == int(width) / 2
    assert read_holder(f"PSBNR32{width}M12").tip_offset_mm is None


@pytest.mark.parametrize(("bar", "offset"), TABLE["bar_offsets"].items())
def test_tip_offset_by_bar_diameter(bar: str, offset: float) -> None:
    assert read_holder(f"A{bar}R-PCLNR12").tip_offset_mm == offset
    # The back of the bar passes the least bore that ISO 6261 gives for it.
    assert offset + int(bar) / 2 <= TABLE["least_bores"][bar]


@pytest.mark.parametrize("row", TABLE["decoded"], ids=lambda row: row["code"])
def test_decoded(row: dict[str, object]) -> None:
    holder = read_holder(str(row["code"]))
    assert holder.entering_angle == row["entering"]
    assert holder.hand == row["hand"]
    assert [holder.height_mm, holder.width_mm] == row["shank"]
    assert holder.length_mm == row["length"]
    assert holder.kind == ("bar" if "-" in str(row["code"]) else "external")
    check_pair(holder, read_insert(str(row["insert"])))


def test_height_comes_before_width() -> None:
    # ISO 5608 positions 6 and 7, from memory.
    holder = read_holder("PCLNR3225P12")
    assert (holder.height_mm, holder.width_mm, holder.tip_offset_mm) == (32, 25, 32)


def test_inch_forms_count_sixteenths_and_eighths() -> None:
    # ANSI B212.5 from memory: 16 is a 1 in shank, 4 an inscribed circle of 1/2 in, D 6 in long.
    holder = read_holder("MCLNR-164D")
    assert (holder.width_mm, holder.edge_code) == (25.4, "12")
    assert holder.length_mm == pytest.approx(152.4)
    check_pair(holder, read_insert("CNMG432"))
    check_pair(holder, read_insert("CNMG120408"))
    bar = read_holder("A16T-MCLNR4")
    assert (bar.kind, bar.width_mm, bar.edge_code) == ("bar", 25.4, "12")


@pytest.mark.parametrize(("letter", "inches"), TABLE["inch_lengths"].items())
def test_length_letters_of_inch_shanks(letter: str, inches: float) -> None:
    assert read_holder(f"MCLNR-164{letter}").length_mm == pytest.approx(inches * 25.4)
    assert set(INCH_LENGTHS) == set(TABLE["inch_lengths"]) | {"X"}


@pytest.mark.parametrize("letter", [each for each in INCH_BAR_LENGTHS if each != "X"])
def test_length_letters_of_inch_bars_are_those_of_metric_ones(letter: str) -> None:
    # Common practice, no source: a bar's letter says nearly the same length in either measure, 25
    # mm going for an inch (ISO 5608: R 200 mm, 8 in); odd lengths to the nearest usual quarter.
    inches = read_holder(f"A16{letter}-MCLNR4").length_mm
    assert inches is not None
    assert inches / 25.4 == pytest.approx(TABLE["lengths"][letter] / 25, abs=0.21)
    quarters = inches / 25.4 * 4
    assert quarters == pytest.approx(round(quarters))


def test_a_special_length_is_not_known_in_inches_either() -> None:
    assert read_holder("MCLNR-164X").length_mm is None
    assert read_holder("A16X-MCLNR4").length_mm is None


@pytest.mark.parametrize("sixteenths", INCH_SHANKS)
def test_inch_shanks_count_sixteenths(sixteenths: str) -> None:
    # 16 sixteenths are 25.4 mm.
    width = int(sixteenths) * 1.5875
    assert read_holder(f"MCLNR-{sixteenths}4D").width_mm == pytest.approx(width)
    assert read_holder(f"A{sixteenths}T-MCLNR4").width_mm == pytest.approx(width)


@pytest.mark.parametrize(
    ("holder", "insert", "what"),
    [
        ("PCLNR2525M12", "DNMG150608", "shape C against D"),
        ("PCLNR2525M12", "CCMT120408", "clearance N against C"),
        ("PCLNR2525M12", "CNMG160608", "edge length code 12 against 16"),
        ("PCLNR2525M12", "CNMG542", "edge length code 12 against 16"),
    ],
)
def test_insert_of_another_kind_is_refused(holder: str, insert: str, what: str) -> None:
    with pytest.raises(MismatchError) as caught:
        check_pair(read_holder(holder), read_insert(insert))
    assert what in str(caught.value)
    assert holder in str(caught.value)
    assert insert in str(caught.value)


@pytest.mark.parametrize(
    ("text", "position", "found"),
    [
        ("", 0, ""),
        ("PCLNR25M12", 0, "PCLNR25M12"),
        ("XCLNR2525M12", 1, "X"),
        ("PXLNR2525M12", 2, "X"),
        ("PCXNR2525M12", 3, "X"),
        ("PCLXR2525M12", 4, "X"),
        ("PCLNX2525M12", 5, "X"),
        ("PCLNR0025M12", 6, "00"),
        ("PCLNR2500M12", 7, "00"),
        ("PCLNR2525Z12", 8, "Z"),
        ("PCLNR2525M11", 9, "11"),
        ("Z25R-PCLNR12", 1, "Z"),
        ("A00R-PCLNR12", 2, "00"),
        ("A25Z-PCLNR12", 3, "Z"),
        ("A25R-PCJNR12", 6, "J"),
        ("A25R-PCLNN12", 8, "N"),
        ("A25R-PCLNR13", 9, "13"),
        ("MCLNR-174D", 6, "17"),
        ("MCLNR-169D", 7, "9"),
        ("MCLNR-164Z", 8, "Z"),
    ],
)
def test_what_is_wrong_is_named(text: str, position: int, found: str) -> None:
    with pytest.raises(DesignationError) as caught:
        read_holder(text)
    assert (caught.value.position, caught.value.found) == (position, found)
    assert caught.value.accepted
