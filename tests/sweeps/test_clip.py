"""Polygons cut off at the sides of a box, against the boolean."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from standclear.sweeps.areas import commons, on_grid
from standclear.sweeps.clip import clipped

BOX = (-5.0, -4.0, 5.0, 3.0)


@st.composite
def stars(draw: st.DrawFn) -> shapely.Polygon:
    """A ring round some middle, its corners near and far: it leaves the box and comes back."""
    count = draw(st.integers(3, 14))
    far = np.array(draw(st.lists(st.floats(0.5, 9.0), min_size=count, max_size=count)))
    turn = np.linspace(0.0, 2 * np.pi, count, endpoint=False)
    middle = np.array([draw(st.floats(-7.0, 7.0)), draw(st.floats(-7.0, 7.0))])
    return shapely.Polygon(middle + far[:, None] * np.column_stack([np.cos(turn), np.sin(turn)]))


@st.composite
def on_lines(draw: st.DrawFn) -> shapely.Polygon:
    """A rectangle or a triangle whose corners may lie on the sides of the box."""
    z, r = draw(st.integers(-7, 6)), draw(st.integers(-6, 5))
    w, h = draw(st.integers(1, 12)), draw(st.integers(1, 9))
    if draw(st.booleans()):
        return shapely.box(z, r, z + w, r + h)
    return shapely.Polygon([(z, r), (z + w, r), (z, r + h)])


@settings(max_examples=200, derandomize=True)
@given(st.lists(st.one_of(stars(), on_lines()), min_size=1, max_size=8))
def test_each_polygon_is_cut_off_as_the_boolean_does(drawn: list[shapely.Polygon]) -> None:
    polygons = np.array(drawn, dtype=object)
    found = on_grid(clipped(polygons, BOX))
    wanted = commons(polygons, shapely.box(*BOX))
    assert shapely.is_valid(found).all()
    off = shapely.area(shapely.symmetric_difference(found, wanted, grid_size=2.0**-30))
    assert off == pytest.approx(0.0, abs=1e-7)


def test_what_falls_apart_at_a_side_is_left_in_its_pieces() -> None:
    comb = shapely.Polygon([(0, 0), (8, 0), (8, 1), (2, 1), (2, 2), (8, 2), (8, 2.5), (0, 2.5)])
    turned = shapely.transform(comb, lambda zr: zr * (-1.0, 1.0) + (7.0, 0.0))
    (found,) = clipped(np.array([turned], dtype=object), BOX)
    # Two fingers of it are left, from Z-1 to Z5: 6 long, 1 and 0.5 high; the back stands outside.
    assert shapely.get_num_geometries(found) == 2
    assert found.area == pytest.approx(9.0)


def test_what_only_touches_the_box_leaves_nothing() -> None:
    beside = np.array(
        [
            shapely.box(5, 0, 9, 2),
            shapely.Polygon([(5, 3), (9, 3), (9, 9)]),
            shapely.box(6, 4, 7, 5),
        ],
        dtype=object,
    )
    assert shapely.area(clipped(beside, BOX)).tolist() == [0.0, 0.0, 0.0]
