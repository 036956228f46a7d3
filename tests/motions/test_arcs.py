"""Arcs by closed forms."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.motions.way.arcs import CHORD_SAGITTA_MM, centre_from_radius, chords

QUARTER = math.pi / 2


def swept(points: list[tuple[float, float]], centre: tuple[float, float]) -> float:
    """Signed angle that the points run through about the centre."""
    total = 0.0
    for a, b in pairwise(points):
        one = (a[0] - centre[0], a[1] - centre[1])
        two = (b[0] - centre[0], b[1] - centre[1])
        total += math.atan2(one[0] * two[1] - one[1] * two[0], one[0] * two[0] + one[1] * two[1])
    return total


@pytest.mark.parametrize(
    ("clockwise", "radius", "centre", "angle"),
    [
        # From (0, 10) to (-10, 20): the right angle lies at (0, 20) or at (-10, 10).
        (True, 10.0, (0.0, 20.0), -QUARTER),
        (False, 10.0, (-10.0, 10.0), -3 * QUARTER),
    ],
)
def test_signs_of_direction(
    clockwise: bool, radius: float, centre: tuple[float, float], angle: float
) -> None:
    """ISO 841 frame, Z right and X up: G02 turns from +X towards +Z, that is clockwise."""
    arc = chords((0.0, 10.0), (-10.0, 20.0), centre, clockwise=True)
    assert arc is not None
    assert swept([(0.0, 10.0), *arc.points], centre) == pytest.approx(angle)
    found = centre_from_radius((0.0, 10.0), (-10.0, 20.0), radius, clockwise)
    assert found is not None
    assert found[0] == pytest.approx(centre)


def test_radius_below_zero_takes_the_long_way() -> None:
    start, end = (0.0, 10.0), (-10.0, 20.0)
    found = centre_from_radius(start, end, -10.0, clockwise=True)
    assert found is not None
    arc = chords(start, end, found[0], clockwise=True)
    assert arc is not None
    assert swept([start, *arc.points], found[0]) == pytest.approx(-3 * QUARTER)


def test_radius_too_short_says_by_how_much() -> None:
    found = centre_from_radius((0.0, 0.0), (10.0, 0.0), 4.9, clockwise=True)
    assert found is not None
    assert found[0] == pytest.approx((5.0, 0.0))
    assert found[1] == pytest.approx(0.1)


def test_no_arc_between_a_point_and_itself() -> None:
    assert centre_from_radius((1.0, 1.0), (1.0, 1.0), 5.0, clockwise=True) is None
    assert chords((1.0, 1.0), (1.0, 1.0), (0.0, 0.0), clockwise=True) is None


@given(
    radius=st.floats(0.05, 500),
    begin=st.floats(0, math.tau),
    turn=st.floats(0.01, math.tau - 0.01),
    clockwise=st.booleans(),
)
def test_chords_stay_within_the_sagitta(
    radius: float, begin: float, turn: float, clockwise: bool
) -> None:
    way = -turn if clockwise else turn
    start, end = (
        (3 + radius * math.cos(a), 7 + radius * math.sin(a)) for a in (begin, begin + way)
    )
    arc = chords(start, end, (3.0, 7.0), clockwise)
    assert arc is not None
    assert arc.points[-1] == end
    points = [start, *arc.points]
    assert swept(points, (3.0, 7.0)) == pytest.approx(way, abs=1e-6)
    deepest = 0.0
    for a, b in pairwise(points):
        assert math.dist(a, (3, 7)) == pytest.approx(radius)
        deepest = max(deepest, radius - math.dist(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), (3, 7)))
    assert deepest <= CHORD_SAGITTA_MM + 1e-9
    assert arc.sagitta == pytest.approx(deepest, abs=1e-8)


def test_disagreeing_radii_widen_the_sagitta() -> None:
    arc = chords((0.0, 10.0), (-10.002, 20.0), (0.0, 20.0), clockwise=True)
    assert arc is not None
    assert arc.disagreement == pytest.approx(0.002)
    assert 0.002 < arc.sagitta <= 0.002 + CHORD_SAGITTA_MM + 1e-9
