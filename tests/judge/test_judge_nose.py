"""Nose compensation and corner words: ways of the tip worked by hand; places are (z, r)."""

from __future__ import annotations

import math

import pytest
from hand_jobs import CONTROL, ends_of
from judge.corners import with_corners
from judge.motion import Arc, Leg, Point, Undecided
from judge.nose import Nose, compensated

ROWS = {"compensation_entry": "perpendicular", "compensation_corner": "arc"}
OUTSIDE, INSIDE = 3, 2
R8 = Nose(0.8, OUTSIDE)


def way(start: Point, legs: list[Leg], nose: Nose = R8, leaving: Leg | None = None,
        **rows: str) -> list[tuple[float, float]]:  # fmt: skip
    """Where the tip goes, to a ten-thousandth."""
    found = compensated(start, legs, leaving, nose, ROWS | rows)
    return [(round(z, 4), round(r, 4)) for chain in found for z, r in chain]


def line(z: float, r: float, side: int = 1) -> Leg:
    return Leg(False, (z, r), side=side)


@pytest.mark.parametrize(
    ("radius", "first", "last"), [(0.4, 37.5314, -1.2343), (0.8, 37.0627, -1.4686)]
)
def test_a_chamfer_on_a_diameter(radius: float, first: float, last: float) -> None:
    # 1 x 45 degrees on diameter 40: closed formula dz = r (1 - tan(th / 2)), dx = r (1 - tan(45 -
    # th / 2)); the tip goes straight from (Z0, X first) to (Z last, X40).
    nose = Nose(radius, OUTSIDE)
    legs = [line(0.0, 10.0), line(0.0, 19.0), line(-1.0, 20.0), line(-9.0, 20.0)]
    found = way((3.0, 10.0), legs, nose, compensation_corner="square")
    assert any(z == 0 and r == pytest.approx(first / 2, abs=1e-4) for z, r in found)
    assert any(z == pytest.approx(last, abs=1e-4) and r == 20.0 for z, r in found)


def test_a_convex_corner_runs_on_a_larger_arc() -> None:
    # R2 on diameter 40: from X34.4 Z0 to X40 Z-2.8 at a path radius of 2.8 about (-2.8, 17.2).
    arc = Leg(False, (-2.0, 20.0), side=1, arc=Arc((-2.0, 18.0), False))
    found = way((3.0, 10.0), [line(0.0, 10.0), line(0.0, 18.0), arc, line(-9.0, 20.0)])
    start = found.index((0.0, 17.2))
    end = found.index((-2.8, 20.0))
    assert all(
        math.hypot(z + 2.8, r - 17.2) == pytest.approx(2.8, abs=0.003) for z, r in found[start:end]
    )


def test_a_fillet_runs_on_a_smaller_arc() -> None:
    # R3 between diameter 20 and a shoulder at Z-30: X20 Z-27.8 to X24.4 Z-30.
    arc = Leg(False, (-30.0, 13.0), side=1, arc=Arc((-27.0, 13.0), True))
    found = way((2.0, 15.0), [line(2.0, 10.0), line(-27.0, 10.0), arc, line(-30.0, 20.0)])
    assert (-27.8, 10.0) in found and (-30.0, 12.2) in found


def test_the_entry_stands_square_to_the_next_move() -> None:
    # The centre at one radius above X20 at Z2, the tip one radius nearer the chuck than that.
    found = way((2.0, 15.0), [line(2.0, 10.0), line(-9.0, 10.0)])
    assert found == [(1.2, 10.0), (-9.8, 10.0)]


def test_the_entry_may_end_where_its_own_move_ends() -> None:
    # Going up to X50 at Z4 with the nose to the right, that is in front: the centre comes to
    # (4.8, 25) and only then goes round the corner, the tip to (4, 24.2).
    legs = [line(4.0, 25.0), line(-9.0, 25.0)]
    found = way((4.0, 5.0), legs, compensation_entry="at-end", compensation_corner="square")
    assert found[0] == (4.0, 24.2) and found[-1] == (-9.8, 25.0)
    assert way((4.0, 5.0), legs) == [(3.2, 25.0), (-9.8, 25.0)]


def test_inside_a_corner_the_entry_is_square_to_the_next_move_either_way() -> None:
    # Common practice, no source.
    legs = [line(2.0, 10.0), line(-9.0, 10.0)]
    assert way((2.0, 15.0), legs, compensation_entry="at-end") == [(1.2, 10.0), (-9.8, 10.0)]


def test_an_inside_corner_is_the_meeting_of_the_offsets() -> None:
    found = way((2.0, 15.0), [line(2.0, 10.0), line(-9.0, 10.0), line(-9.0, 20.0)])
    assert found == [(1.2, 10.0), (-9.0, 10.0), (-9.0, 19.2)]


def test_an_outside_corner_goes_round_by_arc_or_square() -> None:
    legs = [line(0.0, 5.0), line(0.0, 20.0), line(-9.0, 20.0)]
    square = way((3.0, 5.0), legs, compensation_corner="square")
    # Up the face the tip is 0.8 short of X40, then the centre's square corner at (0.8, 20.8).
    assert square == [(0.0, 4.2), (0.0, 19.2), (0.0, 20.0), (0.0, 20.0), (-0.8, 20.0), (-9.8, 20.0)]
    arc = way((3.0, 5.0), legs)
    assert arc[1] == (0.0, 19.2) and (-0.8, 20.0) in arc
    between = arc[2 : arc.index((-0.8, 20.0))]
    assert between and all(
        math.hypot(z + 0.8, r - 19.2) == pytest.approx(0.8, abs=1e-3) for z, r in between
    )


def test_a_boring_bar_keeps_to_the_left() -> None:
    # Tip 2: the centre lies one radius out from the chuck and one nearer the axis.
    nose = Nose(0.8, INSIDE)
    found = way((2.0, 8.0), [line(2.0, 10.0, -1), line(-9.0, 10.0, -1)], nose)
    assert found == [(1.2, 10.0), (-9.8, 10.0)]


def test_a_slot_narrower_than_the_nose_is_not_decided() -> None:
    legs = [line(2.0, 10.0), line(-5.0, 10.0), line(-5.0, 9.0), line(-6.0, 9.0), line(-6.0, 12.0)]
    with pytest.raises(Undecided):
        way((2.0, 15.0), legs)


def test_an_entry_shorter_than_the_nose_is_not_decided() -> None:
    with pytest.raises(Undecided):
        way((2.0, 10.5), [line(2.0, 10.0), line(-9.0, 10.0)])


NOSE_TOOL = (
    "outline = { points = [[-0.04, -0.04], [6, 0.49], [20, 4], [20, 60], [1.5, 60], [1.5, 9], "
    "[0.49, 6]], cutting = [0, 6], corners = [{ point = 0, radius = 0.4 }] }\ntip = 3"
)
STATED = CONTROL + ', compensation_entry = "perpendicular", compensation_corner = "square"'


def test_words_of_compensation() -> None:
    program = "G00 X30. Z3.\nG42 G00 X20.\nG01 Z-9. F0.1\nG01 X30.\nG40 G00 X40."
    assert ends_of(program, tool=NOSE_TOOL, control=STATED)[2:] == [
        ("F", -9, 10), ("F", -9, 14.6), ("R", -9, 20),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("row", "end"), [("ignored", -1.0), ("if-active", -1.0), ("applied", -1.234)]
)
def test_compensation_in_a_roughing_cycle(row: str, end: float) -> None:
    program = (
        "G00 X44. Z3.\nG71 U50. R1.\nG71 P10 Q20 U0. W0. F0.2\nN10 G42 G00 X20.\nG01 Z0.\n"
        "X38.\nX40. Z-1.\nZ-9.\nN20 G40 X46."
    )
    rows = f', compensation_in_cycles = "{row}"'
    assert any(
        z == pytest.approx(end, abs=1e-3) and r == pytest.approx(20.0)
        for _, z, r in ends_of(program, tool=NOSE_TOOL, control=STATED + rows)
    )


def test_chamfer_and_rounding_between_two_blocks() -> None:
    legs = [
        Leg(False, (0.0, 10.0), corner=("C", 2.0)), Leg(False, (-9.0, 10.0), corner=("R", 3.0)),
        Leg(False, (-9.0, 20.0)),
    ]  # fmt: skip
    groups = with_corners((0.0, 0.0), legs)
    assert [g.end for g in groups[0]] == [(0.0, 8.0), (-2.0, 10.0)]
    assert [g.end for g in groups[1]] == [(-6.0, 10.0), (-9.0, 13.0)]
    arc = groups[1][1].arc
    assert arc is not None and arc.centre == pytest.approx((-6.0, 13.0)) and arc.clockwise


@pytest.mark.parametrize("comma", [",", ""])
def test_words_of_corners(comma: str) -> None:
    program = f"G00 X0. Z0.\nG01 X20. {comma}C1. F0.1\nG01 Z-9."
    assert ends_of(program)[1:] == [("F", 0, 9), ("F", -1, 10), ("F", -9, 10)]


def test_a_block_may_give_an_angle_and_one_axis() -> None:
    # From X20 Z0 at 135 degrees from +Z up to X30: as far along -Z as up.
    assert ends_of("G00 X20. Z0.\nG01 X30. ,A135. F0.1")[1:] == [("F", -5, 15)]
