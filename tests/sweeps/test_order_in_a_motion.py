"""Order inside one motion: what leads the edge into metal strikes, though the edge cuts there too.

A bracket stands 4 mm before the cutting edge, over its upper half: fed towards the chuck it meets
the face before the edge does. Where the edge leads, metal is gone before the holder comes.
"""

from __future__ import annotations

import pytest
import shapely
from section_shop import appear, feed, keep_out_area, shape, strikes

BRACKET = shape(
    [(0, 0), (10, 0), (10, 20), (-4, 20), (-4, 5), (-2, 5), (-2, 10), (0, 10)],
    [7],
    [(0, 0), (10, 0), (10, 10), (0, 10)],
)
ROWS = [appear((0.0, 10.0)), feed((0.0, 10.0), (-10.0, 10.0))]


@pytest.mark.parametrize(
    ("radius", "struck"),
    [
        pytest.param(12.0, False, id="the edge alone passes below the bracket, 10 to 15"),
        pytest.param(17.0, True, id="the bracket leads the edge, 15 to 20"),
        pytest.param(25.0, True, id="the bracket passes alone, 20 to 30"),
    ],
)
def test_what_comes_first_decides(radius: float, struck: bool) -> None:
    assert shapely.contains_xy(keep_out_area(BRACKET, ROWS), -9.0, radius) == struck


def test_a_face_that_only_the_edge_meets_first_is_clear() -> None:
    below_the_bracket = shapely.box(-40.0, 10.0, -5.0, 14.9)
    assert strikes(BRACKET, ROWS, below_the_bracket) == []


def test_a_face_over_the_whole_edge_is_struck() -> None:
    assert strikes(BRACKET, ROWS, shapely.box(-40.0, 10.0, -5.0, 19.0)) == [1]


WALL = shape(
    [(0, 0), (10, 0), (10, 60), (1, 60), (1, 5), (0, 5)],
    [0, 5],
    [(0, 0), (10, 0), (10, 5), (0, 5)],
)
"""A cutting foot 5 high; above it a wall of holder up to 60, set back by 1."""
SLANT = [appear((0.0, 30.0)), feed((0.0, 30.0), (-0.1, 10.0))]
"""Inward 20 and 0.1 towards the chuck, so that the wall leads a little all the way up."""


@pytest.mark.parametrize(
    ("radius", "struck"),
    [
        # The wall comes to z 0.95 half way, when it reaches from 25 up. The foot starts at 30 and
        # has passed 25 by then; it never was at 45.
        pytest.param(25.5, False, id="the foot has been there"),
        pytest.param(45.0, True, id="the wall alone comes there"),
    ],
)
def test_a_wall_above_the_edge_strikes_only_where_the_edge_has_not_been(
    radius: float, struck: bool
) -> None:
    assert shapely.contains_xy(keep_out_area(WALL, SLANT), 0.95, radius) == struck
