"""Sliding areas against points tried one by one."""

from __future__ import annotations

import pytest
import shapely
from shapely.affinity import translate

from standclear.interval import Interval
from standclear.proof.section import grow, slide

NOISE_MM2 = 1e-7
"""A grid of a nanometre along a border of some tens of millimetres."""


def ring() -> shapely.Polygon:
    return shapely.Point(0.0, 20.0).buffer(6.0).difference(shapely.Point(0.0, 20.0).buffer(4.0))


@pytest.mark.parametrize("travel", [(0.0, 1.0), (0.0, 30.0), (3.0, 0.0), (2.0, 5.0)])
def test_a_hole_is_covered_as_its_border_slides_over_it(travel: tuple[float, float]) -> None:
    """Every place that the area has at some shift lies in what it slides over, and so does its
    hole, which stands for what may be metal or jaw."""
    dz, dr = travel
    found = slide(ring(), Interval(0.0, dz), Interval(0.0, dr))
    for step in range(11):
        share = step / 10
        there = translate(ring(), dz * share, dr * share)
        assert there.difference(found).area < NOISE_MM2
    assert found.contains(shapely.Point(0.0, 20.0))
    assert found.geom_type == "Polygon" and not found.interiors


def test_what_does_not_slide_keeps_its_hole() -> None:
    found = slide(ring(), Interval(2.0, 2.0))
    assert found.symmetric_difference(translate(ring(), 2.0)).area < NOISE_MM2


def test_growing_fills_a_hole() -> None:
    assert grow(ring(), 0.5, 0.5).contains(shapely.Point(0.0, 20.0))
