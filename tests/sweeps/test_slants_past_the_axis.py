"""Slanting feeds past the centre line against a reading by sample points close to the axis."""

from __future__ import annotations

import by_points
import numpy as np
import pytest
import shapely
from by_points import CUT, STRUCK, read_by_points
from section_shop import TOOLS, Row, appear, feed, keep_out_area, shape, strikes

BAND = 0.05
"""Points nearer to the border of the keep-out are not compared, mm: some steps along the way."""


def slant(rng: np.random.Generator) -> list[Row]:
    """One feed from outside past the axis by less than 2 mm, and for some one back out."""
    out = (float(rng.uniform(-3, 3)), float(rng.uniform(3, 8)))
    past = (out[0] + float(rng.uniform(-3, 3)), float(-rng.uniform(0.2, 1.4)))
    back = (past[0] + float(rng.uniform(-2, 2)), float(rng.uniform(1, 4)))
    rows = [appear(out), feed(out, past)]
    return [*rows, feed(past, back)] if rng.random() < 0.5 else rows


@pytest.fixture(autouse=True)
def _fine_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(by_points, "STEP", 0.01)


def compare(name: str, rows: list[Row], rng: np.random.Generator, reach: float) -> None:
    """The keep-out of `rows` against what points nearer to the axis than `reach` see."""
    tool = TOOLS[name]
    keep = keep_out_area(tool, rows)
    points = np.column_stack([rng.uniform(-8, 16, 300), rng.uniform(0, reach, 300)])
    state = read_by_points(tool, rows, points)
    assert (state == CUT).any()
    in_keep = shapely.contains_xy(keep, points)
    clear_of_border = shapely.distance(shapely.points(points), keep.boundary) > BAND
    clear_of_border |= keep.is_empty
    missed = points[clear_of_border & (state == STRUCK) & ~in_keep]
    assert len(missed) == 0, missed
    needless = points[clear_of_border & (state != STRUCK) & in_keep]
    assert len(needless) == 0, needless


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("name", ["turning", "grooving", "square", "hooked"])
def test_what_slants_past_the_axis_is_what_points_see(name: str, seed: int) -> None:
    rng = np.random.default_rng([seed, 7])
    compare(name, slant(rng), rng, reach=2.0)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("name", ["turning", "grooving", "square", "hooked", "necked"])
def test_what_goes_straight_in_far_past_the_axis_is_what_points_see(name: str, seed: int) -> None:
    # So far that what stands over the cutting part gets past the axis too.
    rng = np.random.default_rng([seed, 11])
    z = float(rng.uniform(-3, 3))
    rows = [appear((z, 40.0)), feed((z, 40.0), (z, -float(rng.uniform(1, 14))))]
    compare(name, rows, rng, reach=12.0)


def test_some_of_them_strike() -> None:
    struck = 0
    for seed in range(12):
        rng = np.random.default_rng([seed, 7])
        struck += not keep_out_area(TOOLS["grooving"], slant(rng)).is_empty
    assert struck > 3


@pytest.mark.parametrize("past", [1.0, 1.4178])
def test_a_way_outward_is_past_the_axis_only_until_the_tool_is_back_from_there(
    past: float,
) -> None:
    """A blade 0.5 wide that leans towards +z by one in five, so that at the far side it does not
    cover the image of its own lower corner. Fed in by 1 past the axis, then out by 45 degrees to
    0.6 this side of it: 2.26 long, of which 1.41 lie past the axis, where it cuts with its right
    side all that its lower edge meets on the far side later. Up to 2 mm of such a way are followed
    step by step: 1.4178 past the axis, less the contact limit, 1.998."""
    blade = shape([(0, 0), (0.5, 0), (2.5, 10), (2, 10)], [0, 1])
    rows = [
        appear((0, 20)),
        feed((0, 20), (0, -past)),
        feed((0, -past), (past + 0.6, 0.6)),
    ]
    assert strikes(blade, rows, shapely.box(-60, 0, 20, 5)) == []
