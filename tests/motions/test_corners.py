"""Corner words and angle words: lines and arcs worked by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.motions.corners import (
    Cornered,
    Unfit,
    angles_meet,
    cornered,
    on_angle,
)
from standclear.motions.drive import Corner, CornerWord
from standclear.motions.nose.pieces import Piece, heading, turn_between

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
