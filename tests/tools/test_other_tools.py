"""Grooving tools, drills and outlines given point by point."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from standclear.job.models import Tool
from standclear.tools.build import tool_shape
from standclear.tools.errors import ToolError
from standclear.tools.outline import counter_clockwise
from standclear.tools.shape import OUTLINE_ERROR_MM, ToolShape

BLADE = {"width": 3.0, "reach": 12.0, "blade": 2.5, "corner_radius": 0.2, "body": 20.0}


def grooving(**more: Any) -> ToolShape:
    return tool_shape(Tool.model_validate({"station": 3, "grooving": {**BLADE, **more}}))


def drill(**sizes: float) -> ToolShape:
    return tool_shape(Tool.model_validate({"station": 5, "drill": sizes}))


def outlined(points: list[tuple[float, float]], cutting: list[int], **more: Any) -> ToolShape:
    outline = {"points": points, "cutting": cutting, **more}
    return tool_shape(Tool.model_validate({"station": 7, "outline": outline}))


def cutting_length(points: np.ndarray, cuts: np.ndarray) -> float:
    return float(np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1)[cuts].sum())


def cutting_bounds(shape: ToolShape) -> tuple[float, ...]:
    ends = np.roll(shape.inner, -1, axis=0)
    places = np.concatenate([shape.inner[shape.inner_cuts], ends[shape.inner_cuts]])
    return (*places.min(axis=0), *places.max(axis=0))


@pytest.mark.parametrize(
    ("more", "bounds"),
    [
        ({}, (0, 0, 3, 3)),
        ({"controlled": "tail-side"}, (-3, 0, 0, 3)),
        ({"edge_height": 1.5}, (0, 0, 3, 1.5)),
        ({"where": "inside"}, (0, -3, 3, 0)),
        ({"where": "inside", "controlled": "tail-side"}, (-3, -3, 0, 0)),
        ({"where": "face"}, (0, 0, 3, 3)),
        ({"where": "face", "controlled": "tail-side"}, (0, -3, 3, 0)),
        ({"blade": 4.0}, (0, 0, 3, 3)),
        ({"blade": None}, (0, 0, 3, 3)),
    ],
)
def test_groove_edge_stands_at_the_controlled_corner(
    more: dict[str, Any], bounds: tuple[float, ...]
) -> None:
    shape = grooving(**more)
    assert cutting_bounds(shape) == pytest.approx(bounds)
    # Front edge and both sides, two quarter arcs of 0.2 at the corners.
    height = more.get("edge_height", 3.0)
    expected = (3 - 0.4) + 2 * (height - 0.2) + math.pi * 0.2
    for points, cuts in ((shape.outer, shape.outer_cuts), (shape.inner, shape.inner_cuts)):
        assert cutting_length(points, cuts) == pytest.approx(expected, abs=0.02)
        assert counter_clockwise(points)
    assert Polygon(shape.outer).buffer(1e-9).covers(Polygon(shape.inner))


def test_groove_blade_and_body() -> None:
    whole = Polygon(grooving().outer)
    # Blade 2.5 in the middle of 3 up to 12; body 20 to either side of the blade's far edge.
    assert whole.covers(box(0.25, 3, 2.75, 12))
    assert not whole.intersects(box(2.76, 3.01, 40, 11.99))
    assert whole.covers(box(0, 12, 20, 100)) and whole.covers(box(3 - 20, 12, 3, 100))
    assert whole.bounds[0::2] == pytest.approx((-17, 20))


def test_inside_groove_bar_lies_along_the_axis() -> None:
    shape = grooving(where="inside", body=16.0, reach=5.0)
    whole = Polygon(shape.outer)
    assert whole.bounds[1] == pytest.approx(-21)
    assert whole.covers(box(0, -21, 100, -5))
    assert whole.bounds[0] < 0
    assert shape.outer[:, 1].max() == pytest.approx(0, abs=OUTLINE_ERROR_MM)


def test_measured_blade_replaces_blade_and_body() -> None:
    blade = [(0.2, 2.0), (2.8, 2.0), (2.8, 60.0), (0.2, 60.0)]
    shape = tool_shape(
        Tool.model_validate({"station": 3, "grooving": BLADE, "holder_outline": blade})
    )
    assert Polygon(shape.outer).bounds[2:] == pytest.approx((3, 60))
    assert shape.assumed == ()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"corner_radius": 1.6}, "at most half of the width, 1.5 mm"),
        ({"corner_radius": 1.2, "edge_height": 1.0}, "at most the edge height, 1 mm"),
        ({"reach": 2.0}, "give at least the edge height, 3 mm"),
    ],
)
def test_groove_sizes_that_do_not_fit(more: dict[str, Any], words: str) -> None:
    with pytest.raises(ToolError, match=words):
        grooving(**more)


def test_drill_point() -> None:
    # Closed form: a 118-degree point of diameter 12 is 6 / tan 59 = 3.60516 long.
    shape = drill(diameter=12, length=80, holder_diameter=40)
    assert cutting_bounds(shape) == pytest.approx((0, -6, 3.60516, 6), abs=5e-6)
    assert cutting_length(shape.outer, shape.outer_cuts) == pytest.approx(
        2 * math.hypot(6, 3.60516), abs=1e-5
    )
    assert Polygon(shape.cutting_part).area == pytest.approx(12 * 80 - 6 * 3.60516, abs=1e-4)
    assert Polygon(shape.outer).covers(box(80, -20, 200, 20))
    assert shape.assumed == ()


def test_flat_drill_and_unknown_holder() -> None:
    shape = drill(diameter=30, length=80, point_angle=180)
    assert cutting_bounds(shape) == pytest.approx((0, -15, 0, 15))
    # Our own bound: at least three diameters across.
    assert Polygon(shape.outer).bounds[3] == pytest.approx(45)
    assert any("90 mm (3.543 in) across" in sentence for sentence in shape.assumed)


def test_drill_shorter_than_its_point() -> None:
    with pytest.raises(ToolError, match=r"alone is 3\.605 mm long"):
        drill(diameter=12, length=3)


def test_drill_of_nothing_but_its_point() -> None:
    with pytest.raises(ToolError, match=r"alone is 3\.605 mm long"):
        drill(diameter=12, length=6 / math.tan(math.radians(59)))


def test_tap_cuts_with_the_ring_beyond_its_hole() -> None:
    # M12: hole 10.2 (ISO 2306), so 0.9 of its end cuts on either side.
    shape = tool_shape(
        Tool.model_validate({"station": 6, "tap": {"diameter": 12, "hole": 10.2, "length": 50}})
    )
    assert shape.kind == "tap"
    assert cutting_bounds(shape) == pytest.approx((0, -6, 0, 6))
    assert cutting_length(shape.inner, shape.inner_cuts) == pytest.approx(1.8)
    assert Polygon(shape.cutting_part).area == pytest.approx(12 * 50)
    assert any("60 mm (2.362 in) across" in sentence for sentence in shape.assumed)


FORM = [(0.0, 0.0), (6.0, 1.0), (6.0, 20.0), (-4.0, 20.0), (-4.0, 6.0), (0.0, 6.0)]


def test_outline_may_run_either_way() -> None:
    corners = [{"point": 0, "radius": 0.4}]
    forward = outlined(FORM, [0, 5], corners=corners)
    backward = outlined(FORM[::-1], [5, 4], corners=[{"point": 5, "radius": 0.4}])
    for name in ("outer", "inner", "cutting_part"):
        assert Polygon(getattr(forward, name)).equals(Polygon(getattr(backward, name)))
    assert forward.outer_cuts.sum() == backward.outer_cuts.sum()
    assert cutting_bounds(forward) == pytest.approx(cutting_bounds(backward))
    assert counter_clockwise(backward.outer)


@pytest.mark.parametrize("edge", range(6))
def test_each_edge_of_an_outline_cuts_whichever_way_it_runs(edge: int) -> None:
    """Edge 0 leads from the first point to the second: written backwards, from the fifth to the
    sixth, so it is edge 4; the edge that closes the outline, 5, stays the closing one."""
    forward, backward = outlined(FORM, [edge]), outlined(FORM[::-1], [(4 - edge) % 6])
    assert cutting_bounds(forward) == pytest.approx(cutting_bounds(backward))
    one, other = FORM[edge], FORM[(edge + 1) % 6]
    assert cutting_length(forward.outer, forward.outer_cuts) == pytest.approx(math.dist(one, other))
    assert cutting_length(backward.outer, backward.outer_cuts) == pytest.approx(
        math.dist(one, other)
    )


def test_outline_cuts_where_it_says() -> None:
    shape = outlined(FORM, [0])
    assert cutting_length(shape.outer, shape.outer_cuts) == pytest.approx(math.hypot(6, 1))
    assert shape.kind == "outline"
    assert shape.nose_radius_mm == 0


def test_nose_radius_of_an_outline_whose_nose_is_at_its_tip() -> None:
    nosed = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    assert outlined(nosed, [0, 3], corners=[{"point": 0, "radius": 0.8}]).nose_radius_mm == 0.8
    assert outlined(nosed, [0], corners=[{"point": 0, "radius": 0.8}]).nose_radius_mm == 0
    away = [(z + 3, r + 3) for z, r in nosed]
    assert outlined(away, [0, 3], corners=[{"point": 0, "radius": 0.8}]).nose_radius_mm == 0


def test_convex_part_of_an_outline_with_an_inward_corner() -> None:
    # One straight cutting edge has no hull: the step at z 0, r 6 is cut off along the edge above
    # the nose, which leaves z >= 0.
    shape = outlined(FORM, [0])
    assert Polygon(shape.cutting_part).bounds == pytest.approx((0, 0, 6, 20))
    # Two edges that enclose an area: their hull.
    hull = outlined(FORM, [0, 5])
    assert Polygon(hull.cutting_part).area == pytest.approx(6 * 6 / 2)


@pytest.mark.parametrize(
    ("points", "cutting", "more", "words"),
    [
        (FORM, [6], {}, "names edge 6; the outline has edges 0 to 5"),
        (FORM, [0], {"corners": [{"point": 9, "radius": 1}]}, "names point 9"),
        (FORM, [0], {"corners": [{"point": 0, "radius": 9}]}, "do not fit on the edge"),
        ([(0, 0), (5, 5), (5, 0), (0, 5)], [0], {}, "crosses itself"),
        ([(0, 0), (5, 5), (10, 10)], [0], {}, "encloses nothing"),
    ],
)
def test_outline_that_cannot_be(
    points: list[tuple[float, float]], cutting: list[int], more: dict[str, Any], words: str
) -> None:
    with pytest.raises(ToolError, match=words):
        outlined(points, cutting, **more)


def test_one_description_and_no_more() -> None:
    with pytest.raises(ToolError, match="described by nothing"):
        tool_shape(Tool(station=2))
    with pytest.raises(ToolError, match="described by grooving and drill"):
        tool_shape(
            Tool.model_validate(
                {"station": 2, "grooving": BLADE, "drill": {"diameter": 5, "length": 40}}
            )
        )


@given(
    heights=st.lists(st.floats(1, 30), min_size=3, max_size=8),
    cutting=st.integers(0, 3),
)
def test_any_star_outline_keeps_the_contract(heights: list[float], cutting: int) -> None:
    step = 2 * math.pi / len(heights)
    points = [(h * math.cos(i * step), h * math.sin(i * step)) for i, h in enumerate(heights)]
    if Polygon(points).area < 1e-3:
        return
    shape = outlined(points, [cutting % len(points)])
    part, inner = Polygon(shape.cutting_part), Polygon(shape.inner)
    assert part.is_valid and part.area > 0
    assert inner.buffer(1e-6).covers(part)
    assert part.convex_hull.area == pytest.approx(part.area, rel=1e-6)
    assert counter_clockwise(shape.cutting_part)
