from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.drawing.arcs import OFF_CIRCLE, circle_of, pieces
from standclear.drawing.shapes import Point


def arc(centre: Point, radius: float, start: float, sweep: float, count: int) -> list[Point]:
    angles = [start + sweep * i / count for i in range(count + 1)]
    return [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]


@given(
    st.floats(0.5, 200),
    st.floats(0, 2 * math.pi),
    st.floats(0.3, 3.0),
    st.booleans(),
)
def test_chords_of_one_arc_become_that_arc(
    radius: float, start: float, sweep: float, back: bool
) -> None:
    points = arc((10.0, 20.0), radius, start, -sweep if back else sweep, 12)
    (piece,) = pieces(points)
    assert (piece.start, piece.end) == (points[0], points[-1])
    # The bulge is the tangent of a quarter of the angle, above 0 counter-clockwise.
    assert piece.bulge == pytest.approx(math.tan((-sweep if back else sweep) / 4), rel=1e-6)


def test_corners_and_straight_lines_stay_what_they_are() -> None:
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0), (0.0, 0.0)]
    assert [p.bulge for p in pieces(square)] == [0.0] * 4
    in_line = [(float(i), 2.0 * i) for i in range(8)]
    assert all(p.bulge == 0.0 for p in pieces(in_line))


def test_a_full_turn_is_two_arcs_or_more_and_a_circle_when_closed() -> None:
    whole = arc((0, 0), 5.0, 0.0, 2 * math.pi, 48)
    found = pieces(whole)
    assert len(found) >= 2
    total = sum(4 * math.atan(p.bulge) for p in found)
    assert total == pytest.approx(2 * math.pi, rel=1e-6)
    centre_and_radius = circle_of(whole[:-1])
    assert centre_and_radius is not None
    assert centre_and_radius[1] == pytest.approx(5.0)
    assert circle_of([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)] * 3) is None


@given(
    st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100)), min_size=2, max_size=30, unique=True)
)
def test_no_point_is_lost_and_none_is_moved(points: list[Point]) -> None:
    found = pieces(points)
    assert (found[0].start, found[-1].end) == (points[0], points[-1])
    assert all(a.end == b.start for a, b in pairwise(found))
    for piece in found:
        if piece.bulge:
            between = points[points.index(piece.start) : points.index(piece.end) + 1]
            for point in between:
                assert off_arc(piece.start, piece.end, piece.bulge, point) <= 2 * OFF_CIRCLE


def off_arc(a: Point, b: Point, bulge: float, point: Point) -> float:
    """How far a point lies off the circle of an arc, by its chord and bulge."""
    chord = math.dist(a, b)
    radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    rise = (1 - bulge * bulge) / (4 * bulge) * chord
    normal = ((a[1] - b[1]) / chord, (b[0] - a[0]) / chord)
    centre = (middle[0] + normal[0] * rise, middle[1] + normal[1] * rise)
    return abs(math.dist(centre, point) - radius)
