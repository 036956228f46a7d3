"""What edges sweep, against areas worked by hand."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from section_shop import HOOKED, SQUARE, TURNING, Point
from shapely.geometry.base import BaseGeometry

from standclear.sweeps.chain import Pieces, by_pattern, runs_of
from standclear.sweeps.cut import cut_sweeps
from standclear.sweeps.outline import Outline
from standclear.sweeps.strike import anywhere_sweeps, body_sweeps, following_sweeps, standing
from standclear.tools.shape import ToolShape


def outline(tool: ToolShape) -> tuple[Outline]:
    return (Outline(tool.outer, tool.outer_cuts),)


def way(start: Point, end: Point) -> tuple[np.ndarray, np.ndarray]:
    return np.array([start], dtype=float), np.array([end], dtype=float)


def area(pieces: Pieces) -> BaseGeometry:
    assert all(p.is_valid and p.exterior.is_ccw for p in pieces[0])
    return shapely.union_all(pieces[0])


def blade(low: float, high: float) -> ToolShape:
    """An edge from z 0 to 3 that only its front cuts with; a blade from `low` to `high` behind."""
    points: Sequence[Point] = [
        (0, 0), (3, 0), (3, 1), (high, 1), (high, 20), (low, 20), (low, 1), (0, 1),
    ]  # fmt: skip
    cuts = np.arange(8) == 0
    array = np.array(points, dtype=float)
    return ToolShape(array, cuts, array, cuts, array[[0, 1, 2, 7]], 0.0, "outline")


@pytest.mark.parametrize(
    ("mask", "runs"),
    [
        ("1111", [[0, 1, 2, 3]]),
        ("0110", [[1, 2]]),
        ("1001", [[3, 0]]),
        ("10110", [[2, 3], [0]]),
        ("0000", []),
    ],
)
def test_runs_go_round(mask: str, runs: list[list[int]]) -> None:
    found = runs_of(np.array([c == "1" for c in mask]))
    assert sorted(r.tolist() for r in found) == sorted(runs)


def test_rows_of_one_pattern_stand_together() -> None:
    mask = np.array([[1, 0, 1], [0, 1, 1], [1, 0, 1]], dtype=bool)
    found = {tuple(p.tolist()): rows.tolist() for p, rows in by_pattern(mask)}
    assert found == {(True, False, True): [0, 2], (False, True, True): [1]}
    assert by_pattern(np.zeros((0, 3), dtype=bool)) == []


@pytest.mark.parametrize(
    ("end", "size"),
    [
        ((-5, 0), 50.0),  # ten high, five along
        ((0, -5), 50.0),
        ((-3, -4), 70.0),  # 10 x 3 by the front face, 10 x 4 by the lower one
        ((3, 4), 70.0),
        ((0, 0), 0.0),
    ],
)
def test_the_body_sweeps_what_it_enters(end: Point, size: float) -> None:
    swept = area(body_sweeps(outline(SQUARE), *way((0, 0), end)))
    assert swept.area == pytest.approx(size, abs=1e-12)
    assert swept.intersection(shapely.box(0, 0, 10, 10)).area == 0.0


@pytest.mark.parametrize(
    ("end", "size"),
    [((-5, 0), 50.0), ((-3, -4), 70.0), ((5, 0), 0.0), ((0, 5), 0.0), ((5, -2), 20.0)],
)
def test_only_leading_cutting_edges_cut(end: Point, size: float) -> None:
    assert area(cut_sweeps(outline(SQUARE), *way((0, 0), end))).area == pytest.approx(size)


def test_moves_that_join_leave_no_gap() -> None:
    # To the last bit: a sum of floats need not come back to where it started.
    stops = np.cumsum(np.full((11, 2), (-0.1, -0.3)), axis=0)
    pieces, _ = cut_sweeps(outline(TURNING), stops[:-1], stops[1:])
    joined = shapely.union_all(pieces)
    assert joined.geom_type == "Polygon" and len(joined.interiors) == 0


def test_a_tiny_move_is_swept_and_a_dwell_is_not() -> None:
    pieces, rows = body_sweeps(outline(SQUARE), *way((0, 0), (-1e-16, 0)))
    assert rows.tolist() == [0] and pieces[0].area <= 1e-14
    assert len(body_sweeps(outline(SQUARE), *way((7, 3), (7, 3)))[0]) in (0, 1)
    assert len(following_sweeps(outline(SQUARE), outline(SQUARE), *way((7, 3), (7, 3)))[0]) == 0


def test_a_blade_narrower_than_its_edge_follows_freely() -> None:
    tool = outline(blade(0.2, 2.8))
    assert area(following_sweeps(tool, tool, *way((0, 30), (0, 10)))).area == 0.0


def test_a_blade_wider_than_its_edge_strikes_beside_it() -> None:
    tool = outline(blade(-0.5, 3.0))
    found = area(following_sweeps(tool, tool, *way((0, 30), (0, 10))))
    # From where it starts, 1 above the edge, all the way down: 0.5 wide and 20 long.
    assert found.equals(shapely.box(-0.5, 11, 0, 31))


def test_a_heel_behind_the_edge_strikes_as_far_as_where_the_edge_began() -> None:
    # The blade stands 1 behind the edge on the chuck side; what lies between the two at the start
    # has been cut by nobody.
    points = np.array([(0, 0), (3, 0), (3, 20), (1, 20), (1, 4), (2, 4), (2, 1), (0, 1)], float)
    tool = (Outline(points, np.arange(8) == 0),)
    found = area(following_sweeps(tool, tool, *way((0, 30), (0, 10))))
    # The edge from (1, 4) to (2, 4) lies 4 above the cutting edge and moves down by these 4.
    assert found.equals(shapely.box(1, 30, 2, 34))


def test_an_edge_before_the_cutting_one_strikes_all_the_way() -> None:
    # The lower face of the foot, from z 3 to 6, stands 2 before the cutting edge.
    points = np.array([(0, 0), (3, 0), (3, -2), (6, -2), (6, 9), (0, 9)], float)
    tool = (Outline(points, np.arange(6) == 0),)
    found = area(following_sweeps(tool, tool, *way((0, 30), (0, 20))))
    assert found.equals(shapely.box(3, 18, 6, 28))


def test_no_cutting_edge_left_means_that_all_strikes() -> None:
    found = area(following_sweeps(outline(SQUARE), (), *way((0, 0), (-5, 0))))
    assert found.area == pytest.approx(50.0)


def test_a_way_known_by_its_rectangle_sweeps_the_minkowski_sum() -> None:
    # Of a convex tool it is the hull of its four places at the corners of the rectangle.
    start, end = way((0, 0), (-7, 4))
    places = [shapely.box(z, r, z + 10, r + 10) for z in (0, -7) for r in (0, 4)]
    swept = shapely.union_all(
        [*anywhere_sweeps(outline(SQUARE), start, end)[0], *standing(outline(SQUARE), start)[0]]
    )
    assert swept.equals(shapely.union_all(places).convex_hull)


@pytest.mark.parametrize("side", [0.9, 3.0])
def test_a_rectangle_wider_than_the_tool_is_filled(side: float) -> None:
    # 0.2 square: along the rectangle's border it leaves the middle free, but it may go there.
    small = (Outline(0.02 * SQUARE.outer, SQUARE.outer_cuts),)
    start, end = way((0, 0), (side, side))
    swept = shapely.union_all([*anywhere_sweeps(small, start, end)[0], *standing(small, start)[0]])
    assert swept.area == pytest.approx((side + 0.2) ** 2)


def test_only_a_large_enough_rectangle_fills_what_lies_beside_the_holder() -> None:
    # The holder stands at z 3 there, 2.5 beside the point: half a millimetre of way does not bring
    # it there, thirty do.
    hollow = shapely.Point(0.5, 13.8)
    for size, filled in ((0.5, False), (30.0, True)):
        start, end = way((0, 0), (-size, size))
        pieces = anywhere_sweeps(outline(HOOKED), start, end)[0]
        swept = shapely.union_all([*pieces, *standing(outline(HOOKED), start)[0]])
        assert swept.covers(hollow) is filled


@pytest.mark.parametrize("end", [(-7, 0), (0, 5)])
def test_a_rectangle_without_width_is_a_straight_way(end: Point) -> None:
    start, stop = way((0, 0), end)
    wide = area(anywhere_sweeps(outline(TURNING), start, stop))
    assert wide.equals(area(body_sweeps(outline(TURNING), start, stop)))
