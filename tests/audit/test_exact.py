"""Exact convex areas against closed forms, and against points counted one by one."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standclear.audit.exact import (
    Convex,
    Point,
    common,
    grown,
    hull,
    inside_of,
    line_through,
    meets_outline,
    mirrored,
    moved,
    rectangle,
    split,
    swept,
    value,
    winds_around,
    without,
)

FEW = settings(max_examples=150, derandomize=True)
numbers = st.integers(-9, 9)
points = st.tuples(numbers, numbers)
areas = st.lists(points, min_size=3, max_size=7).map(hull).filter(lambda a: a is not None)
SQUARE: list[Point] = [(0, 0), (8, 0), (8, 8), (0, 8)]


def area_of(part: Convex) -> Fraction:
    """Size of an area, by the shoelace rule."""
    ring = [(Fraction(z, w), Fraction(r, w)) for z, r, w in part.corners]
    return sum((a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*ring, ring[0]])), Fraction(0)) / 2


def total(parts: list[Convex]) -> Fraction:
    return sum(map(area_of, parts), Fraction(0))


def holds(part: Convex, point: tuple[Fraction, Fraction]) -> bool:
    """The point lies inside, by the lines alone."""
    return all(a * point[0] + b * point[1] + c > 0 for a, b, c in part.edges)


def solid(*ring: Point) -> Convex:
    part = hull(ring)
    assert part is not None
    return part


def test_points_in_one_line_have_no_hull() -> None:
    assert hull([(0, 0), (2, 2), (5, 5)]) is None
    assert hull([(1, 1)]) is None
    assert rectangle((0, 0, 0, 5)) is None


def test_a_square_less_its_half_is_the_other_half() -> None:
    square, half = solid(*SQUARE), solid((0, 0), (4, 0), (4, 8), (0, 8))
    (left,) = without([square], [half])
    assert (area_of(left), left.box) == (32, (4, 0, 8, 8))


def test_what_only_touches_covers_nothing() -> None:
    square, beside = solid(*SQUARE), solid((8, 0), (9, 0), (9, 8), (8, 8))
    assert without([square], [beside]) == [square]
    assert common(square, beside) is None


def test_halves_cover_the_whole_and_a_nanometre_less_leaves_it() -> None:
    square = solid((0, 0), (10**9, 0), (10**9, 10**9), (0, 10**9))
    one = solid((0, 0), (10**9, 0), (10**9, 333_333_333), (0, 333_333_333))
    other = solid((0, 333_333_333), (10**9, 333_333_333), (10**9, 10**9), (0, 10**9))
    assert without([square], [one, other]) == []
    short = solid((0, 333_333_334), (10**9, 333_333_334), (10**9, 10**9), (0, 10**9))
    assert total(without([square], [one, short])) == 10**9


@FEW
@given(areas, areas)
def test_parts_add_up(one: Convex, other: Convex) -> None:
    shared = common(one, other)
    left = without([one], [other])
    assert total(left) + (area_of(shared) if shared else 0) == area_of(one)


@FEW
@given(areas, st.lists(areas, max_size=4))
def test_what_is_left_is_left_point_by_point(one: Convex, covers: list[Convex]) -> None:
    """Points off every line, so none lies on a border."""
    left = without([one], covers)
    for k in range(-9, 10, 2):
        for m in range(-9, 10, 2):
            point = (k + Fraction(37, 101), m + Fraction(53, 211))
            uncovered = holds(one, point) and not any(holds(c, point) for c in covers)
            assert any(holds(part, point) for part in left) == uncovered


@FEW
@given(areas, points, points)
def test_a_split_leaves_both_sides(area: Convex, start: Point, end: Point) -> None:
    if start == end:
        return
    left, right = split(area, line_through(start, end))
    assert sum(area_of(p) for p in (left, right) if p is not None) == area_of(area)
    for part, sign in ((left, 1), (right, -1)):
        if part is not None:
            assert all(sign * value(line_through(start, end), c) >= 0 for c in part.corners)


@FEW
@given(areas, points)
def test_a_way_covers_start_end_and_the_strip_between(area: Convex, way: Point) -> None:
    covered = swept(area, way)
    both = solid(*((z + s * way[0], r + s * way[1]) for z, r, _ in area.corners for s in (0, 1)))
    assert without([both], [covered]) == []
    assert without([covered], [both]) == []


@FEW
@given(areas, st.integers(1, 4))
def test_grown_reaches_as_far_as_a_box(area: Convex, by: int) -> None:
    box = solid(*((z + a, r + b) for z, r, _ in area.corners for a in (-by, by) for b in (-by, by)))
    assert without([grown(area, by)], [box]) == []
    assert without([box], [grown(area, by)]) == []


@FEW
@given(areas, points)
def test_moving_and_mirroring_keep_the_size(area: Convex, by: Point) -> None:
    there = moved(area, by)
    assert area_of(there) == area_of(area)
    assert mirrored(mirrored(there)) == there
    assert area_of(mirrored(there)) == area_of(area)
    assert moved(there, (-by[0], -by[1])) == area


NOTCHED: list[Point] = [(0, 0), (8, 0), (8, 8), (5, 8), (5, 2), (3, 2), (3, 8), (0, 8)]
"""A square with a slot from above."""


@pytest.mark.parametrize(
    ("area", "meets"),
    [
        (solid((3, 3), (5, 3), (5, 9), (3, 9)), False),
        (solid((3, 3), (6, 3), (6, 9), (3, 9)), True),
        (solid((1, 1), (2, 1), (2, 2)), True),
        (solid((-5, -5), (20, -5), (20, 20), (-5, 20)), True),
        (solid((8, 0), (9, 0), (9, 8)), False),
        (solid((4, 5), (4, 1), (9, 9)), True),
        (solid((10, 10), (12, 10), (12, 12)), False),
    ],
)
def test_an_area_meets_an_outline_that_is_not_convex(area: Convex, meets: bool) -> None:
    assert meets_outline(area, NOTCHED) is meets
    assert meets_outline(area, NOTCHED[::-1]) is meets


def test_a_point_in_the_slot_is_outside() -> None:
    assert winds_around(NOTCHED, (2, 2, 2))
    assert not winds_around(NOTCHED, (8, 10, 2))


@FEW
@given(areas)
def test_the_point_inside_is_inside(area: Convex) -> None:
    assert all(value(line, inside_of(area)) > 0 for line in area.edges)
