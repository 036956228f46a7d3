"""Rounding, union and exposure of outlines with cutting edges."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from standclear.tools.errors import ToolError
from standclear.tools.outline import Outline, counter_clockwise, exposed, mapped, rounded, united
from standclear.tools.reflections import across_axis, along_axis, exchanged
from standclear.tools.shape import OUTLINE_ERROR_MM

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
ELL = [(0.0, 0.0), (20.0, 0.0), (20.0, 8.0), (9.0, 8.0), (9.0, 20.0), (0.0, 20.0)]
"""Its fourth corner points inwards."""


def cutting_length(outline: Outline) -> float:
    """Length of all cutting edges."""
    ends = np.roll(outline.points, -1, axis=0)
    lengths = np.linalg.norm(ends - outline.points, axis=1)
    return float(lengths[outline.cuts].sum())


@given(radius=st.floats(0.05, 4.9), angle=st.floats(0, 360))
def test_both_outlines_enclose_the_true_arc_within_the_error(radius: float, angle: float) -> None:
    turned = shapely.affinity.rotate(Polygon(SQUARE), angle, origin=(0, 0))
    corners = [(float(z), float(r)) for z, r in shapely.get_coordinates(turned)[:-1]]
    outer = rounded(corners, [radius] * 4, [True] * 4, "outer").polygon
    inner = rounded(corners, [radius] * 4, [True] * 4, "inner").polygon
    # The true shape by GEOS's own buffer, drawn a hundred times finer than the error.
    true = turned.buffer(-radius, join_style="mitre").buffer(radius, quad_segs=800)
    assert outer.buffer(1e-5).covers(true)
    assert true.buffer(1e-5).covers(inner)
    assert shapely.hausdorff_distance(outer, true) <= OUTLINE_ERROR_MM + 1e-5
    assert shapely.hausdorff_distance(inner, true) <= OUTLINE_ERROR_MM + 1e-5
    assert outer.is_valid and inner.is_valid


def test_area_of_rounded_corners_is_the_closed_form() -> None:
    # A rounded right corner leaves out (1 - pi/4) R^2, an inward one adds it.
    radius = 3.0
    piece = (1 - math.pi / 4) * radius**2
    one = [radius if i == 0 else 0.0 for i in range(6)]
    inward = [radius if i == 3 else 0.0 for i in range(6)]
    area = Polygon(ELL).area
    for radii, expected in ((one, area - piece), (inward, area + piece)):
        outer = rounded(ELL, radii, [True] * 6, "outer").polygon.area
        inner = rounded(ELL, radii, [True] * 6, "inner").polygon.area
        assert inner < expected < outer
        assert outer - inner < 2 * OUTLINE_ERROR_MM * radius * math.pi / 2


@given(radius=st.floats(0.05, 4.9), angle=st.floats(0, 360), mirror=st.booleans())
def test_arcs_reach_as_far_along_the_axes_as_the_true_ones(
    radius: float, angle: float, mirror: bool
) -> None:
    turned = shapely.affinity.rotate(Polygon(SQUARE), angle, origin=(0, 0))
    corners = [(float(z), float(r)) for z, r in shapely.get_coordinates(turned)[:-1]]
    if mirror:
        corners = [(-z, r) for z, r in reversed(corners)]
    # The rounded square is the square of its corners' centres, grown by the radius: from its
    # middle it reaches as far as that smaller square does, and the radius more.
    middle = np.mean(corners, axis=0)
    reach = np.abs((np.array(corners) - middle) * (1 - 2 * radius / 10)).max(axis=0) + radius
    wanted = (*(middle - reach), *(middle + reach))
    outer = rounded(corners, [radius] * 4, [True] * 4, "outer").polygon
    inner = rounded(corners, [radius] * 4, [True] * 4, "inner").polygon
    assert outer.bounds == pytest.approx(wanted, abs=1e-6)
    assert inner.bounds == pytest.approx(wanted, abs=1e-6)


def test_an_arc_cuts_where_both_edges_beside_it_do() -> None:
    radii = [2.0] * 4
    both = rounded(SQUARE, radii, [True, False, False, True], "inner")
    # Two edges of 10 less two tangent lengths of 2, and one quarter arc.
    assert cutting_length(both) == pytest.approx(2 * 6 + math.pi, abs=0.01)
    one = rounded(SQUARE, radii, [True, False, False, False], "inner")
    assert cutting_length(one) == pytest.approx(6.0)


def test_radius_that_does_not_fit_is_refused() -> None:
    with pytest.raises(ToolError, match=r"radii 6 and 5 do not fit on the edge of 10\.000 mm"):
        rounded(SQUARE, [6.0, 5.0, 0.0, 0.0], [True] * 4, "outer")


def test_full_round_of_two_tangent_corners_fits() -> None:
    outer = rounded(SQUARE, [5.0] * 4, [True] * 4, "outer")
    assert outer.polygon.area == pytest.approx(25 * math.pi, abs=0.02)
    assert np.linalg.norm(np.roll(outer.points, -1, axis=0) - outer.points, axis=1).min() > 1e-3


def test_union_keeps_the_free_part_of_a_cutting_edge() -> None:
    edge = rounded(SQUARE, [0.0] * 4, [True, True, False, False], "outer")
    whole = united(edge, box(6, -1, 30, 30), "holder_outline")
    # The bottom edge is free from z 0 to 6, the right edge is covered.
    assert cutting_length(whole) == pytest.approx(6.0)
    assert whole.polygon.area == pytest.approx(24 * 31 + 6 * 10)
    assert counter_clockwise(whole.points)
    free = exposed(edge, box(6, -1, 30, 30))
    assert cutting_length(free) == pytest.approx(6.0)
    assert free.polygon.equals(edge.polygon)


def test_an_edge_flush_with_the_body_does_not_cut() -> None:
    edge = rounded(SQUARE, [0.0] * 4, [True, False, False, False], "outer")
    flush = box(4, 0, 30, 30)
    assert cutting_length(united(edge, flush, "holder_outline")) == pytest.approx(4.0)
    assert cutting_length(exposed(edge, flush)) == pytest.approx(4.0)


def test_union_fills_holes_and_refuses_two_pieces() -> None:
    edge = rounded(SQUARE, [0.0] * 4, [True, False, False, False], "outer")
    ring = box(2, 4, 30, 30).difference(box(3, 11, 29, 29))
    assert united(edge, ring, "holder_outline").polygon.interiors[:] == []
    with pytest.raises(ToolError, match="holder_outline does not meet"):
        united(edge, box(20, 20, 30, 30), "holder_outline")


@pytest.mark.parametrize("reflect", [across_axis, along_axis, exchanged])
def test_a_reflection_keeps_edges_and_turns_back_to_itself(reflect) -> None:  # type: ignore[no-untyped-def]
    edge = rounded(ELL, [1.0] * 6, [True, True, False, False, False, True], "outer")
    image = mapped(edge, reflect)
    assert counter_clockwise(image.points)
    assert cutting_length(image) == pytest.approx(cutting_length(edge))
    # The cutting edges themselves are the reflected ones.
    starts = image.points[image.cuts]
    ends = np.roll(image.points, -1, axis=0)[image.cuts]
    original = {tuple(np.round((a + b) / 2, 9)) for a, b in zip(starts, ends, strict=True)}
    before = edge.points[edge.cuts]
    after = np.roll(edge.points, -1, axis=0)[edge.cuts]
    wanted = {tuple(np.round(reflect((before + after) / 2)[i], 9)) for i in range(len(before))}
    assert original == wanted
    again = mapped(image, reflect)
    assert again.polygon.equals(edge.polygon)
