"""Slides in the plane of a window against sums by hand and against points tried one by one."""

from __future__ import annotations

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate

from standclear.plan.windows.plane import blocked_blanks, blocked_slides, shared_slides

PLACE = st.integers(0, 96).map(lambda n: n / 8)
SIZE = st.integers(4, 48).map(lambda n: n / 8)
"""mm, in eighths: booleans of areas a denormal apart warn."""
BOX = st.tuples(PLACE, PLACE, SIZE, SIZE).map(
    lambda t: shapely.box(t[0], t[1], t[0] + t[2], t[1] + t[3])
)
TRIANGLE = st.tuples(PLACE, PLACE, SIZE, SIZE).map(
    lambda t: shapely.Polygon([(t[0], t[1]), (t[0] + t[2], t[1]), (t[0], t[1] + t[3])])
)
AREA = st.lists(st.one_of(BOX, TRIANGLE), min_size=1, max_size=3).map(shapely.union_all)


def test_two_boxes_by_hand() -> None:
    """A box from z 0 to 2 and r 0 to 3 shares a point of radius r with one from z 5 to 6 and r 1 to
    4 where it is slid by 3 to 6 and r lies from 1 to 3."""
    found = shared_slides(shapely.box(0, 0, 2, 3), shapely.box(5, 1, 6, 4), 10.0)
    assert found.symmetric_difference(shapely.box(3, 1, 6, 3)).area < 1e-9


def test_a_blank_is_blocked_in_front_of_and_outside_what_it_meets_first() -> None:
    found = blocked_blanks(shapely.box(2, 5, 3, 6), (0.0, 0.0, 10.0, 10.0))
    assert found.symmetric_difference(shapely.box(2, 5, 10, 10)).area < 1e-6


def test_a_blank_is_blocked_by_what_surrounds_a_hole_too() -> None:
    ring = shapely.box(2, 2, 8, 8).difference(shapely.box(3, 3, 7, 7))
    found = blocked_blanks(ring, (0.0, 0.0, 10.0, 10.0))
    assert found.symmetric_difference(shapely.box(2, 2, 10, 10)).area < 1e-6


@settings(max_examples=60)
@given(AREA, AREA, st.floats(-9.0, 9.0), st.floats(0.1, 17.0))
def test_shared_radii_are_those_of_slices(
    body: shapely.Polygon, area: shapely.Polygon, by: float, radius: float
) -> None:
    found, point = shared_slides(body, area, 10.0), shapely.Point(by, radius)
    if any(abs(r - radius) < 1e-6 for a in (body, area) for _, r in shapely.get_coordinates(a)):
        return
    if found.boundary.distance(point) < 1e-6:
        return
    line = shapely.LineString([(-50.0, radius), (50.0, radius)])
    meets = translate(body.intersection(line), by).intersects(area.intersection(line))
    assert found.contains(point) == meets


@settings(max_examples=40)
@given(AREA, AREA, st.floats(-4.0, 4.0), st.floats(-4.0, 4.0))
def test_blocked_slides_are_those_that_overlap(
    body: shapely.Polygon, area: shapely.Polygon, dz: float, dr: float
) -> None:
    found, point = blocked_slides(body, area, 5.0), shapely.Point(dz, dr)
    if found.boundary.distance(point) < 1e-6:
        return
    assert found.contains(point) == translate(body, dz, dr).intersects(area)
