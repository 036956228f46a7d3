"""The finish allowance of G71 and G72: which side is right, and what a wrong one does."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from cycle_cases import STATED, only, profile, short

from standclear.motions.cycles import rough_across, rough_along
from standclear.motions.cycles.path import Result

PIN = profile((2, 30), (2, 20), (-30, 20), (-30, 28))
"""Outside, towards the chuck: 10 mm radial to the pin, a wall at Z-30."""

Points = list[tuple[float, float]]
OUT: Points = [(2, 30), (2, 20), (-30, 20), (-30, 28)]
IN: Points = [(2, 10), (2, 16), (-30, 16), (-30, 11)]
FACE_IN: Points = [(3, 30), (-2, 30), (-2, 12), (3, 12)]
FACE_OUT: Points = [(3, 10), (-2, 10), (-2, 26), (3, 26)]


def from_behind(points: Points) -> Points:
    """The same seen from the chuck: cut away from it."""
    return [(-z, r) for z, r in points]


@pytest.mark.parametrize(
    ("cycle", "points", "u", "w"),
    [
        # Metal is left outside a pin (u > 0) and inside a bore (u < 0), and on the shoulder, which
        # faces the tail end where the cut runs towards the chuck (w > 0).
        (rough_along, OUT, 1, 1),
        (rough_along, from_behind(OUT), 1, -1),
        (rough_along, IN, -1, 1),
        (rough_along, from_behind(IN), -1, -1),
        # Facing: on the face (w > 0 at the tail end), and on the wall that the feed runs at.
        (rough_across, FACE_IN, 1, 1),
        (rough_across, from_behind(FACE_IN), 1, -1),
        (rough_across, FACE_OUT, -1, 1),
        (rough_across, from_behind(FACE_OUT), -1, -1),
    ],
)
def test_allowance_has_one_right_side_in_every_quadrant(
    cycle: Callable[..., Result], points: Points, u: int, w: int
) -> None:
    part = profile(*points)
    readings, faults = cycle(part, 2, 0.5, 0.4 * u, 0.1 * w, STATED)
    assert faults == ()
    assert short(only(readings))[0] == ("R", points[0][0] + 0.1 * w, points[0][1] + 0.2 * u)
    exits = [s.end for s in only(readings).steps if s.profile == 9 + len(points) - 1][-1]
    assert exits == pytest.approx((points[-1][0] + 0.1 * w, points[-1][1] + 0.2 * u))
    for wrong in ((-u, w), (u, -w), (-u, -w)):
        found = cycle(part, 2, 0.5, 0.4 * wrong[0], 0.1 * wrong[1], STATED)[1]
        assert [f.code for f in found] == ["allowance-wrong-side"]


def test_allowance_on_the_wrong_side_is_told_and_followed() -> None:
    readings, faults = rough_along(PIN, 4, 1, -1.0, 0.2, STATED)
    assert [(f.code, f.unproven) for f in faults] == [("allowance-wrong-side", False)]
    assert short(only(readings))[:2] == [("R", 2.2, 29.5), ("R", 2.2, 25.5)]
    assert rough_along(PIN, 4, 1, 1.0, -0.2, STATED)[1][0].code == "allowance-wrong-side"
    assert rough_along(PIN, 4, 1, 1.0, 0.2, STATED)[1] == ()


def test_wall_down_into_a_pocket_is_told_when_the_allowance_moves_it() -> None:
    """W 0.1 moves the profile towards S: off the shoulder that faces S, and into the wall from
    Z-10 to Z-12, which faces the chuck."""
    neck = profile((2, 30), (2, 18), (-10, 18), (-12, 14), (-18, 14), (-20, 22), (-20, 31))
    plain = rough_along(neck, 6, 1, 1.0, 0, STATED)[1]
    moved = rough_along(neck, 6, 1, 1.0, 0.1, STATED)[1]
    assert [f.code for f in plain] == ["profile-not-monotone"]
    assert [f.code for f in moved] == ["profile-not-monotone", "allowance-in-pocket"]
    assert (moved[1].block, moved[1].measures[0].value) == (12, 0.1)
