"""Insert designations against ISO 1832 and ANSI B212.4 as `tests/authorities` gives them."""

from __future__ import annotations

from math import radians, sin, sqrt

import pytest
from tool_authority import authority

from standclear.tools.errors import DesignationError
from standclear.tools.insert import read_insert
from standclear.tools.insert_tables import (
    CIRCLE_BY_CODE,
    CLEARANCES,
    DOUBTFUL_CODES,
    INCH_CIRCLE,
    INCH_RADIUS_MM,
    INCH_THICKNESS_MM,
    INCLUDED_ANGLES,
    THICKNESS_MM,
    USUAL_RADIUS_CODES,
)

TABLE = authority("inserts.toml")
EDGES = [(shape, *row) for shape, rows in TABLE["edges"].items() for row in rows]


def test_letters_of_shape_and_clearance() -> None:
    angles = {k: v for k, v in INCLUDED_ANGLES.items() if v is not None}
    assert angles == TABLE["angles"]
    clearances = {k: v for k, v in CLEARANCES.items() if v is not None}
    assert clearances == TABLE["clearances"]


@pytest.mark.parametrize(("shape", "circle", "edge", "code"), EDGES)
def test_size_code_gives_circle_and_edge(shape: str, circle: float, edge: float, code: str) -> None:
    insert = read_insert(f"{shape}NMG{code}0408")
    assert insert.circle_mm == pytest.approx(circle, abs=0.0005)
    assert insert.edge_length_mm == pytest.approx(edge, abs=0.0051)


@pytest.mark.parametrize(("code", "size"), TABLE["thickness"].items())
def test_thickness_codes(code: str, size: float) -> None:
    assert read_insert(f"CNMG12{code}08").thickness_mm == size
    assert set(THICKNESS_MM) == set(TABLE["thickness"])


@pytest.mark.parametrize(("code", "size"), TABLE["radii"].items())
def test_radius_codes(code: str, size: float) -> None:
    insert = read_insert(f"CNMG1204{code}")
    assert insert.corner_radius_mm == pytest.approx(size)
    assert insert.warnings == ()
    assert set(USUAL_RADIUS_CODES) == set(TABLE["radii"])


@pytest.mark.parametrize(("code", "diameter"), TABLE["rounds"].items())
def test_round_inserts_by_the_last_two_characters(code: str, diameter: float) -> None:
    insert = read_insert(f"RCMT{code[:2]}04{code[2:]}")
    assert insert.circle_mm == pytest.approx(diameter)
    assert insert.corner_radius_mm == pytest.approx(diameter / 2)
    assert insert.included_angle is None


@pytest.mark.parametrize("row", TABLE["decoded"], ids=lambda row: row["iso"])
@pytest.mark.parametrize("form", ["iso", "inch"])
def test_decoded(row: dict[str, object], form: str) -> None:
    insert = read_insert(str(row[form]))
    assert insert.included_angle == row["angle"]
    assert insert.clearance_angle == row["clearance"]
    assert insert.tolerance_class + insert.type == row["letters"]
    assert insert.circle_mm == pytest.approx(row["circle"], abs=0.0005)
    assert insert.edge_length_mm == pytest.approx(row["edge"], abs=0.0006)
    assert insert.thickness_mm == row["thickness"]
    assert insert.corner_radius_mm == pytest.approx(row["radius"])
    assert insert.size_code == str(row["iso"])[4:6]
    assert insert.form == ("metric" if form == "iso" else "inch")


def test_round_metric_as_the_trade_writes_it() -> None:
    # ISO 1832 from memory: RCMT1204M0 is 12 mm across, 4.76 thick.
    insert = read_insert(" rcmt 1204M0 ")
    assert (insert.circle_mm, insert.thickness_mm, insert.corner_radius_mm) == (12.0, 4.76, 6.0)


def test_trailing_positions_are_read_over() -> None:
    # ISO 1832 positions 8 and 9: state of the edge, hand; a maker's own part follows a dash.
    plain = read_insert("CNMG120408").circle_mm
    assert read_insert("CNMG120408EN").circle_mm == plain
    assert read_insert("CNMG120408-XY").circle_mm == plain
    assert read_insert("CNMG432-XY").circle_mm == plain


@pytest.mark.parametrize("text", ["CCMT32.51", "CCMT3(2.5)1", "CCMT(3)(2.5)(1)"])
def test_inch_decimals_with_and_without_brackets(text: str) -> None:
    assert read_insert(text).thickness_mm == 3.97


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("TNMG543", "5/32 in"),
        ("CNMG643", "6/32 in"),
        ("CCMT1.21.20", "thirty-seconds"),
        ("CCMT03T104", "tables disagree"),
        ("RCMX100300", "10 mm (0.394 in) taken"),
        ("CNMG120405", "not a usual radius"),
        ("COMG120408", "clearance O is special"),
    ],
)
def test_two_readings_are_warned_of(text: str, words: str) -> None:
    (warning,) = read_insert(text).warnings
    assert words in warning
    assert warning.startswith(text)


@pytest.mark.parametrize(
    ("text", "position", "found"),
    [
        ("", 1, ""),
        ("XNMG120408", 1, "X"),
        ("GNMG120408", 1, "G"),
        ("LNMX191940", 1, "L"),
        ("CXMG120408", 2, "X"),
        ("CNXG120408", 3, "X"),
        ("CNMZ120408", 4, "Z"),
        ("CNMG110408", 5, "11"),
        ("CNMG12", 5, "12"),
        ("CNMG122208", 6, "22"),
        ("CNMG12048X", 7, "8X"),
        ("CNMG120408ZZ", 5, "120408ZZ"),
        ("HNMG090408", 1, "H"),
        ("RCMT120408", 7, "08"),
        ("RCMT0704M0", 5, "07"),
        ("CNMG932", 5, "9"),
        ("CNMG492", 6, "9"),
        ("CNMG437", 7, "7"),
        ("RCMT432", 7, "2"),
    ],
)
def test_what_is_wrong_is_named(text: str, position: int, found: str) -> None:
    with pytest.raises(DesignationError) as caught:
        read_insert(text)
    assert (caught.value.position, caught.value.found) == (position, found)
    assert caught.value.accepted
    assert repr(found) in str(caught.value)


def test_lookup_differs_from_dropping_decimals() -> None:
    # Common practice, no source: triangles of 6.35 are called 11 although 10.999 is their edge.
    assert "10" not in CIRCLE_BY_CODE["T"]
    assert int(read_insert("TNMG110304").edge_length_mm) == 10


EDGE_OVER_CIRCLE = {
    "C": 1 / sin(radians(80.0)),
    "D": 1 / sin(radians(55.0)),
    "V": 1 / sin(radians(35.0)),
    "S": 1.0,
    "T": sqrt(3.0),
    "R": 1.0,
}
"""Length of the cutting edge over the inscribed circle: rhombs by their corner, the square, the
triangle; of a round insert its diameter. Closed forms."""


@pytest.mark.parametrize("shape", EDGE_OVER_CIRCLE)
def test_a_size_code_is_the_edge_in_whole_millimetres(shape: str) -> None:
    # ISO 1832: the size is the length of the cutting edge with its decimals left out. Where an edge
    # is a hundredth short of the next millimetre codes go either way: triangles of 43.99 and 54.99
    # are 44 and 54.
    for code, inches in CIRCLE_BY_CODE[shape].items():
        if (shape, code) not in DOUBTFUL_CODES:
            edge = inches * 25.4 * EDGE_OVER_CIRCLE[shape]
            assert int(code) in {int(edge), int(edge + 0.01)}, (shape, code)


def test_larger_trigons_have_larger_codes() -> None:
    circles = list(CIRCLE_BY_CODE["W"].values())
    assert circles == sorted(set(circles))


@pytest.mark.parametrize(("code", "inches"), INCH_CIRCLE.items())
def test_an_inch_circle_counts_eighths(code: str, inches: float) -> None:
    """ANSI B212.4, from memory: charts write tenths of an eighth, 1.8 for 7/32, 1.2 for 5/32."""
    assert inches * 8 == pytest.approx(float(code), abs=0.051)
    assert inches * 32 == round(inches * 32)


@pytest.mark.parametrize(("code", "size"), INCH_THICKNESS_MM.items())
def test_an_inch_thickness_counts_sixteenths(code: str, size: float) -> None:
    """The same for thickness, printed in millimetres to the hundredth: 1.2 for 5/64."""
    assert size / 25.4 * 16 == pytest.approx(float(code), abs=0.051)


@pytest.mark.parametrize(("code", "radius"), INCH_RADIUS_MM.items())
def test_an_inch_radius_counts_sixty_fourths(code: str, radius: float) -> None:
    """A sixty-fourth, 0.397 mm, goes for 0.4: ISO 1832 prints whole tenths for the same insert."""
    assert radius == pytest.approx(float(code) * 0.4)
