"""Corner words and angle words: lines and arcs worked by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lathe_shop import BEGIN, codes, trace, unproven_from, ways

from standclear.motions.nose.pieces import Piece, heading, turn_between
from standclear.motions.way.corners import (
    Cornered,
    Unfit,
    angles_meet,
    cornered,
    on_angle,
)
from standclear.motions.way.drive import Corner, CornerWord

ALONG = Piece((2.0, 10.0), (-20.0, 10.0))
UP = Piece((-20.0, 10.0), (-20.0, 20.0))


def word(kind: Corner, size: float, towards: tuple[float, float] | None = None) -> CornerWord:
    return CornerWord(kind, size, "", towards)


def test_chamfer_takes_its_size_off_both_lines() -> None:
    found = cornered(ALONG, UP, word(Corner.CHAMFER, 2.0))
    assert isinstance(found, Cornered)
    assert found.before.end == found.corner.start == pytest.approx((-18.0, 10.0))
    assert found.after.start == found.corner.end == pytest.approx((-20.0, 12.0))
    assert found.corner.centre is None


def test_rounding_is_tangent_to_both_lines() -> None:
    # An inside corner: from -Z to +X is a turn to the right, clockwise about (-17, 13).
    found = cornered(ALONG, UP, word(Corner.ROUNDING, 3.0))
    assert isinstance(found, Cornered)
    assert found.corner.start == pytest.approx((-17.0, 10.0))
    assert found.corner.end == pytest.approx((-20.0, 13.0))
    assert found.corner.centre == pytest.approx((-17.0, 13.0))
    assert found.corner.clockwise


@pytest.mark.parametrize(
    ("size", "towards", "unfit"),
    [
        (10.0, None, None),
        (10.1, None, Unfit.NO_ROOM),
        (2.0, (0.0, 1.0), None),
        (2.0, (0.0, -1.0), Unfit.WRONG_WAY),
    ],
)
def test_what_fits(size: float, towards: tuple[float, float] | None, unfit: Unfit | None) -> None:
    found = cornered(ALONG, UP, word(Corner.CHAMFER, size, towards))
    assert found is unfit if unfit else isinstance(found, Cornered)


def test_lines_that_run_on_straight_have_no_corner() -> None:
    on = Piece((-20.0, 10.0), (-30.0, 10.0))
    back = Piece((-20.0, 10.0), (0.0, 10.0))
    for after in (on, back):
        assert cornered(ALONG, after, word(Corner.CHAMFER, 1.0)) is Unfit.NO_CORNER


@given(st.floats(-170, 170).filter(lambda a: abs(a) > 5), st.floats(0.1, 3.0))
def test_a_rounding_keeps_the_heading_where_it_joins(degrees: float, radius: float) -> None:
    angle = math.pi + math.radians(degrees)
    after = Piece((-20.0, 10.0), (-20.0 + 80 * math.cos(angle), 10.0 + 80 * math.sin(angle)))
    found = cornered(Piece((60.0, 10.0), (-20.0, 10.0)), after, word(Corner.ROUNDING, radius))
    assert isinstance(found, Cornered)
    assert found.corner.centre is not None
    assert turn_between(found.before, found.corner) == pytest.approx(0.0, abs=1e-6)
    assert turn_between(found.corner, found.after) == pytest.approx(0.0, abs=1e-6)
    for end in (found.corner.start, found.corner.end):
        assert math.dist(found.corner.centre, end) == pytest.approx(radius)
    assert heading(found.after, "start") == pytest.approx(heading(after, "start"))


def test_a_line_by_its_angle_and_one_coordinate() -> None:
    # 1 in 1 towards the chuck and outwards: 135 degrees from +Z.
    assert on_angle((0, 10), (-5, 10), 135.0, has_x=False, has_z=True) == pytest.approx((-5, 15))
    assert on_angle((0, 10), (0, 15), 135.0, has_x=True, has_z=False) == pytest.approx((-5, 15))
    # tan 15 degrees is 0.267949.
    assert on_angle((0, 10), (-10, 10), 165.0, has_x=False, has_z=True) == pytest.approx(
        (-10, 12.67949)
    )
    assert on_angle((0, 10), (-5, 10), 90.0, has_x=False, has_z=True) is None
    assert on_angle((0, 10), (-5, 15), 135.0, has_x=True, has_z=True) == (-5, 15)
    assert on_angle((0, 10), (-5, 15), 130.0, has_x=True, has_z=True) is None


def test_two_lines_by_their_angles() -> None:
    # Along -Z from (0, 10), then 45 degrees up to (-20, 15): they meet at (-15, 10).
    assert angles_meet((0, 10), 180.0, (-20, 15), 135.0) == pytest.approx((-15, 10))
    assert angles_meet((0, 10), 180.0, (-20, 15), 0.0) is None


def rows(text: str) -> list[object]:
    return ways(trace(BEGIN + "G00 X20. Z2.\n" + text).motions)[3:]


def test_corner_words_in_a_program() -> None:
    # A chamfer of 1 from the diameter 20 up the shoulder Z-10, then one of 2 on to diameter 30.
    assert rows("G01 Z-10. ,C1. F.2\nX30. ,C2.\nZ-20.\n") == [
        ("feed", (2.0, 10.0), (-9.0, 10.0)),
        ("feed", (-9.0, 10.0), (-10.0, 11.0)),
        ("feed", (-10.0, 11.0), (-10.0, 13.0)),
        ("feed", (-10.0, 13.0), (-12.0, 15.0)),
        ("feed", (-12.0, 15.0), (-20.0, 15.0)),
    ]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("G01 Z-10. I1. F.2\nX30. K-2.\nZ-20.\n", "G01 Z-10. ,C1. F.2\nX30. ,C2.\nZ-20.\n"),
        ("G01 Z-10. C1. F.2\nX30. C-2.\nZ-20.\n", "G01 Z-10. ,C1. F.2\nX30. ,C2.\nZ-20.\n"),
        ("G01 Z-10. R1. F.2\nX30. R-2.\nZ-20.\n", "G01 Z-10. ,R1. F.2\nX30. ,R2.\nZ-20.\n"),
        ("G01 Z-10. R1. F.2\nX30. R2.\nZ-20.\n", "G01 Z-10. ,R1. F.2\nX30. ,R2.\nZ-20.\n"),
    ],
)
def test_the_older_form_means_the_same(old: str, new: str) -> None:
    assert rows(old) == rows(new)
    assert unproven_from(trace(BEGIN + "G00 X20. Z2.\n" + old)) is None


@pytest.mark.parametrize(
    ("text", "code"),
    [
        # Each takes 5 and more off a line of 5: X20 to X30 is 5 on radius.
        ("G01 Z-10. ,C5.1 F.2\nX30.\n", "corner-too-large"),
        ("G01 Z-10. ,R3. F.2\nX30. ,R3.\nZ-20.\n", "corner-too-large"),
        ("G01 Z-10. I-1. F.2\nX30.\n", "cannot-follow"),
        ("G01 Z-10. K1. F.2\nX30.\n", "cannot-follow"),
        ("G01 X22. Z-10. R1. F.2\nX30.\n", "cannot-follow"),
        ("G01 Z-10. ,C1. ,R1. F.2\nX30.\n", "cannot-follow"),
        ("G01 Z-10. ,C-1. F.2\nX30.\n", "cannot-follow"),
        ("G01 Z-10. ,C1. F.2\nZ-20.\n", "cannot-follow"),
        ("G01 Z-10. ,C1. F.2\nG00 X30.\n", "cannot-follow"),
        ("G01 Z-10. ,C1. F.2\nG02 X30. Z-15. R5.\n", "cannot-follow"),
        ("G01 Z-10. ,C1. F.2\nG28 U0. W0.\n", "cannot-follow"),
        ("G01 Z-10. F.2\nX20. ,C1.\nX30.\n", "cannot-follow"),
        ("G01 Z-10. C-1. F.2\nX30.\n", "cannot-follow"),
        ("G00 Z-10. ,C1.\nG01 X30. F.2\n", "cannot-follow"),
        ("G01 ,A180. F.2\nX30. Z-15.\n", "cannot-follow"),
        ("G01 ,A180. F.2\nG00 X30. Z-15.\n", "cannot-follow"),
        ("G01 ,A180. F.2\nU10. Z-15. ,A135.\n", "cannot-follow"),
        ("G01 X30. ,A180. F.2\n", "cannot-follow"),
        ("G01 X30. Z-15. ,A170. F.2\n", "cannot-follow"),
    ],
)
def test_what_no_corner_follows_is_unproven(text: str, code: str) -> None:
    found = trace(BEGIN + "G00 X20. Z2.\n" + text)
    assert code in codes(found)
    assert unproven_from(found) is not None


def test_what_just_fits() -> None:
    assert unproven_from(trace(BEGIN + "G00 X20. Z2.\nG01 Z-10. ,C5. F.2\nX30.\nX40.\n")) is None


def test_lines_by_their_angles_in_a_program() -> None:
    # Along -Z from X20, then at 45 degrees up to X30 Z-15: r 15 - 5 = 10 is left at Z-10.
    assert rows("G01 ,A180. F.2\nX30. Z-15. ,A135.\nX40. ,A135.\n") == [
        ("feed", (2.0, 10.0), (-10.0, 10.0)),
        ("feed", (-10.0, 10.0), (-15.0, 15.0)),
        ("feed", (-15.0, 15.0), (-20.0, 20.0)),
    ]


def test_corner_words_in_a_profile() -> None:
    text = (
        BEGIN.replace("X60. Z5.", "X54. Z5.")
        + "G70 P10 Q20\nG00 X60.\nM30\nN10 G00 X20.\nG01 Z-10. ,C2. F.2\n,A90. ,C3.\n"
        + "X50. Z-30. ,A180.\nN20 X54.\n"
    )
    found = trace(text)
    assert ways(found.motions)[2:9] == [
        ("rapid", (5.0, 27.0), (5.0, 10.0)),
        ("feed", (5.0, 10.0), (-8.0, 10.0)),
        ("feed", (-8.0, 10.0), (-10.0, 12.0)),
        ("feed", (-10.0, 12.0), (-10.0, 22.0)),
        ("feed", (-10.0, 22.0), (-13.0, 25.0)),
        ("feed", (-13.0, 25.0), (-30.0, 25.0)),
        ("feed", (-30.0, 25.0), (-30.0, 27.0)),
    ]
    assert unproven_from(found) is None


def test_a_corner_under_compensation() -> None:
    # The chamfer 1 x 45 on diameter 40 of the handbook's table, written as a corner word: nose
    # 0.8, X37.0627 Z0 -> X40 Z-1.4686.
    outline = {
        "points": [[0.0, 0.0], [12.0, 0.0], [12.0, 40.0], [0.0, 40.0]],
        "cutting": [0, 3],
        "corners": [{"point": 0, "radius": 0.8}],
    }
    text = "G42 G00 X10. Z3.\nG01 Z0. F.2\nX40. ,C1.\nZ-20.\nG40 G00 X60. Z5.\n"
    found = trace(
        BEGIN + text,
        tools=[{"station": 1, "outline": outline}],
        control={"compensation_corner": "square", "compensation_entry": "perpendicular"},
    )
    assert ("feed", (0.0, 18.531), (-1.469, 20.0)) in ways(found.motions)
