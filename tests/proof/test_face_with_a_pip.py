"""Where a part seats that carries a pip on its face."""

from __future__ import annotations

import pytest
import shapely

from standclear.interval import Interval
from standclear.proof.bench import Metal
from standclear.proof.carry import MAY_GIVE_WAY_MM, _end, _ends


def faced(pip: float, high: float) -> shapely.Polygon:
    """Half a bar of radius 10 whose front lies at z = 0, with a cylinder of radius `pip` on it."""
    return shapely.unary_union([shapely.box(-20, 0, 0, 10), shapely.box(-1, 0, high, pip)])


def ends(area: shapely.Polygon) -> Interval:
    return _ends(Metal(area, area, area), 2, Interval(0.0, 0.0))


def in_the_pip(pip: float, burr: float) -> float:
    """How far a disc that is too thick for the pip reaches into its foot: where the pip begins it
    is as wide as the pip lets it be beside the axis."""
    radius = burr / 2
    return float(radius - (radius**2 - max(0.0, pip - radius) ** 2) ** 0.5)


@pytest.mark.parametrize(
    ("pip", "least", "most"),
    [
        (0.02, 0.0, 0.0),  # gives way
        (0.07, in_the_pip(0.07, 0.2), 0.3),  # may give way or hold
        (0.15, in_the_pip(0.15, 0.2), 0.3),
        (0.25, 0.3, 0.3),  # holds
    ],
)
def test_a_pip_gives_way_or_holds_by_its_thickness(pip: float, least: float, most: float) -> None:
    found = ends(faced(pip, 0.3))
    # The disc is a polygon.
    assert (found.lo, found.hi) == pytest.approx((least, most), abs=1e-3)


def test_a_pointed_pip_ends_where_it_is_thick_enough() -> None:
    # A cone of 45 degrees, 0.4 high: half a section like a set square. A disc of diameter d that
    # rolls into its corner touches the axis and the slope, and its front lies at
    # 0.4 - d/2 (1 + sqrt 2) + d/2.
    cone = shapely.Polygon([(0, 0), (0.4, 0), (0, 0.4)])
    area = shapely.unary_union([shapely.box(-20, 0, 0, 10), cone])
    for burr in MAY_GIVE_WAY_MM:
        front = 0.4 - burr / 2 * (1 + 2**0.5) + burr / 2
        assert _end(area, 2, burr) == pytest.approx(front, abs=1e-6)
    assert _end(area, 0, 0.1) == pytest.approx(-20.0)
