"""Threading tools: flanks, flat or nose at the controlled point, what stands behind them."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from standclear.job.models import Tool
from standclear.tools.build import tool_shape
from standclear.tools.errors import ToolError
from standclear.tools.outline import counter_clockwise
from standclear.tools.shape import OUTLINE_ERROR_MM, ToolShape

SIZES = {"width": 4.0, "reach": 10.0, "body": 16.0}


def threading(holder: list[list[float]] | None = None, **more: Any) -> ToolShape:
    given = {"station": 4, "threading": {**SIZES, **more}, "holder_outline": holder}
    return tool_shape(Tool.model_validate(given))


def test_sharp_sixty_degrees() -> None:
    """Half of 4 over tan 30: the flanks end 3.4641 over the tip, and are 4 long each."""
    shape = threading()
    top = 2 / math.tan(math.pi / 6)
    ends = np.roll(shape.inner, -1, axis=0)
    flanks = np.concatenate([shape.inner[shape.inner_cuts], ends[shape.inner_cuts]])
    assert sorted({(round(z, 4) + 0.0, round(r, 4) + 0.0) for z, r in flanks}) == [
        (-2, round(top, 4)), (0, 0), (2, round(top, 4)),
    ]  # fmt: skip
    length = np.linalg.norm(ends - shape.inner, axis=1)[shape.inner_cuts].sum()
    assert length == pytest.approx(8.0)
    assert shape.kind == "threading" and shape.assumed
    assert counter_clockwise(shape.outer) and counter_clockwise(shape.inner)


def test_the_blade_reaches_to_the_body_and_no_further() -> None:
    body = Polygon(threading().outer)
    for z, r, inside in (
        (2.1, 9.9, False),
        (1.9, 9.9, True),
        (13.9, 10.1, True),
        (-13.9, 10.1, True),
    ):
        assert body.contains(Point(z, r)) is inside
    assert body.bounds[0] == -14 and body.bounds[2] == 14


def test_the_lowest_point_of_the_nose_is_the_controlled_point() -> None:
    """Nose 0.25: the sharp corner lies 0.25 / sin 30 - 0.25 = 0.25 beyond, so the flanks end at
    3.4641 - 0.25."""
    shape = threading(nose_radius=0.25)
    for points, cuts in ((shape.outer, shape.outer_cuts), (shape.inner, shape.inner_cuts)):
        assert points[:, 1].min() == pytest.approx(0.0, abs=OUTLINE_ERROR_MM)
        assert points[cuts][:, 1].max() <= 3.4641 - 0.25 + 1e-4
    assert shape.nose_radius_mm == 0.25
    inner, outer = Polygon(shape.inner), Polygon(shape.outer)
    centre = np.array([0, 0.25])
    for angle in np.radians(np.linspace(-149, -31, 25)):
        on_nose = centre + 0.25 * np.array([math.cos(angle), math.sin(angle)])
        assert outer.distance(Point(on_nose)) < 1e-9
        assert Point(on_nose).distance(inner) <= OUTLINE_ERROR_MM


def test_a_flat_lies_about_the_controlled_point() -> None:
    """Trapezoidal, 30 degrees."""
    shape = threading(angle=30.0, flat=1.3)
    low = shape.inner[np.isclose(shape.inner[:, 1], 0)]
    assert sorted(low[:, 0]) == pytest.approx([-0.65, 0.65])


def test_inside_is_the_reflection_with_a_bar_behind() -> None:
    shape = threading(where="inside", body=12.0)
    ends = np.roll(shape.inner, -1, axis=0)
    flanks = np.concatenate([shape.inner[shape.inner_cuts], ends[shape.inner_cuts]])
    assert flanks[:, 1].min() == pytest.approx(-3.4641, abs=1e-4) and flanks[:, 1].max() == 0
    body = Polygon(shape.outer)
    assert body.bounds[1] == -22 and body.bounds[2] == 500
    assert counter_clockwise(shape.outer) and counter_clockwise(shape.inner)


def test_a_measured_holder_replaces_blade_and_body() -> None:
    holder = [[-2.0, 3.0], [20.0, 3.0], [20.0, 80.0], [-2.0, 80.0]]
    shape = threading(holder)
    assert shape.assumed == ()
    assert Polygon(shape.outer).bounds == pytest.approx((-2, 0, 20, 80))


@pytest.mark.parametrize(
    ("sizes", "text"),
    [
        ({"flat": 4.0}, "threading.flat is 4 mm; give less than the width, 4 mm"),
        ({"flat": 0.5, "nose_radius": 0.2}, "beside a flat of 0.5 mm; give one of them"),
        ({"nose_radius": 3.5}, "too large for flanks 4 mm apart"),
        ({"reach": 3.4}, "the flanks are 3.464 mm high"),
    ],
)
def test_sizes_that_do_not_go_together(sizes: dict[str, float], text: str) -> None:
    with pytest.raises(ToolError, match=text):
        threading(**sizes)
