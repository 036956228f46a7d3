"""Outlines drawn in: by the contact limit, and by the box of a wear bound."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from section_shop import GROOVING, SQUARE

from standclear.sweeps.outline import Outline, drawn_in, inset, outlines_of


def square(side: float, cuts: list[bool]) -> Outline:
    points = np.array([(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)])
    return Outline(points, np.array(cuts))


def cutting_edges(outline: Outline) -> set[tuple[tuple[float, float], tuple[float, float]]]:
    ends = np.round(np.stack([outline.points, np.roll(outline.points, -1, axis=0)], axis=1), 9)
    return {(tuple(a), tuple(b)) for a, b in ends[outline.cuts].tolist()}


def test_nothing_drawn_in_is_the_outline_itself() -> None:
    outline = square(10.0, [True, False, False, True])
    assert inset(outline, 0.0) == (outline,)
    assert drawn_in(outline, 0.0) == (outline,)


@pytest.mark.parametrize("smaller", [inset, drawn_in])
def test_a_square_recedes_on_every_side_and_keeps_its_flags(smaller: object) -> None:
    (found,) = smaller(square(10.0, [True, False, False, True]), 0.5)  # type: ignore[operator]
    assert found.polygon.equals(shapely.box(0.5, 0.5, 9.5, 9.5))
    assert cutting_edges(found) == {((0.5, 0.5), (9.5, 0.5)), ((0.5, 9.5), (0.5, 0.5))}


def test_a_corner_recedes_along_its_bisector() -> None:
    # Half the angle at the tip of a 60 degree triangle is 30 degrees: 0.1 / sin 30 = 0.2.
    height = 10 * math.sqrt(3) / 2
    outline = Outline(np.array([(-5.0, height), (0.0, 0.0), (5.0, height)]), np.ones(3, dtype=bool))
    (found,) = inset(outline, 0.1)
    assert found.points[:, 1].min() == pytest.approx(0.2, abs=1e-9)
    assert found.cuts.all()


def test_a_leaning_edge_recedes_by_both_axes_of_a_box() -> None:
    # Off by 0.1 along z and 0.1 along r an edge at 45 degrees moves 0.1 x sqrt 2.
    diamond = Outline(
        np.array([(0.0, -10.0), (10.0, 0.0), (0.0, 10.0), (-10.0, 0.0)]),
        np.array([True, True, False, False]),
    )
    (found,) = drawn_in(diamond, 0.1)
    (flat,) = inset(diamond, 0.1)
    distance = shapely.LineString([(0, -10), (10, 0)]).distance
    assert distance(found.polygon) == pytest.approx(0.1 * math.sqrt(2), abs=1e-9)
    assert distance(flat.polygon) == pytest.approx(0.1, abs=1e-9)
    assert cutting_edges(found) == {((0.0, -9.8), (9.8, 0.0)), ((9.8, 0.0), (0.0, 9.8))}


def test_what_a_box_leaves_is_covered_from_every_corner_of_it() -> None:
    source = Outline(GROOVING.outer, GROOVING.outer_cuts)
    (found,) = drawn_in(source, 0.3)
    for dz in (-0.3, 0.3):
        for dr in (-0.3, 0.3):
            moved = shapely.transform(source.polygon, lambda p, by=(dz, dr): p + by)
            assert moved.buffer(1e-9).covers(found.polygon)


def test_a_flank_in_line_with_an_edge_takes_its_flag_away() -> None:
    # The side of the blade cuts up to r 2 and goes on as a flank in the same line: drawn in the two
    # are one edge, and it must not be credited with cutting.
    (found,) = inset(Outline(GROOVING.outer, GROOVING.outer_cuts), 0.1)
    assert cutting_edges(found) == {((0.1, 0.1), (2.9, 0.1))}


def test_a_neck_thinner_than_twice_the_inset_parts_and_a_sliver_vanishes() -> None:
    dumbbell = shapely.union_all(
        [shapely.box(0, 0, 4, 4), shapely.box(4, 1.9, 6, 2.1), shapely.box(6, 0, 10, 4)]
    )
    (outline,) = outlines_of(dumbbell)
    assert len(inset(outline, 0.15)) == 2
    assert inset(square(0.2, [True] * 4), 0.15) == ()
    assert drawn_in(square(0.2, [True] * 4), 0.15) == ()


def test_holes_are_filled() -> None:
    ring = shapely.box(0, 0, 10, 10).difference(shapely.box(4, 4, 6, 6))
    (found,) = outlines_of(ring)
    assert found.polygon.equals(shapely.box(0, 0, 10, 10))
    assert not found.cuts.any()


def test_normals_point_out() -> None:
    outline = Outline(SQUARE.outer, SQUARE.outer_cuts)
    assert outline.normals.tolist() == [[0, -1], [1, 0], [0, 1], [-1, 0]]
