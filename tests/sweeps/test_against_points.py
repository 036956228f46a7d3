"""The keep-out against a reading by sample points, over random motions."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from by_points import STRUCK, read_by_points
from section_shop import TOOLS, Row, anyhow, appear, feed, keep_out_area, rapid

from standclear.motions.table import Kind
from standclear.tools.shape import ToolShape

BAND = 0.3
"""Points nearer to the border of the keep-out are not compared, mm: more than a step along the way
or between places in a rectangle."""
POINTS = 400


def random_rows(rng: np.random.Generator) -> list[Row]:
    """Eight motions between whole millimetres, some along an axis, some past the axis."""
    here = (5.0, 30.0)
    rows = [appear(here)]
    for _ in range(8):
        dz, dr = (float(d) for d in rng.integers(-8, 9, 2))
        if rng.random() < 0.3:
            dz = 0.0
        elif rng.random() < 0.3:
            dr = 0.0
        there = (here[0] + dz, max(here[1] + dr - 2.0 * (rng.random() < 0.5), -4.0))
        kind = rng.choice([feed, feed, feed, feed, rapid, anyhow])
        rows.append(kind(here, there))
        here = there
    return rows


def low_rows(rng: np.random.Generator) -> list[Row]:
    """The same nearer to the axis."""
    return [(k, p, (a[0], a[1] - 24.0), (b[0], b[1] - 24.0)) for k, p, a, b in random_rows(rng)]


def slants_past_the_axis(tool: ToolShape, rows: list[Row]) -> bool:
    """A feed neither along nor straight towards the axis that brings the tool past it: there the
    proof grants no shade where the section would."""
    low = tool.outer[:, 1].min()
    return any(
        kind == Kind.FEED
        and min(a[1], b[1]) + low < 0
        and a[1] != b[1]
        and not (a[0] == b[0] and b[1] < a[1])
        for kind, _, a, b in rows
    )


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("name", TOOLS)
@pytest.mark.parametrize("ways", [random_rows, low_rows])
def test_keep_out_is_what_points_see(ways: object, name: str, seed: int) -> None:
    rng = np.random.default_rng([seed, *name.encode()])
    tool, rows = TOOLS[name], ways(rng)  # type: ignore[operator]
    keep = keep_out_area(tool, rows)
    points = np.column_stack([rng.uniform(-25, 35, POINTS), rng.uniform(0, 45, POINTS)])
    state = read_by_points(tool, rows, points)
    in_keep = shapely.contains_xy(keep, points)
    clear_of_border = shapely.distance(shapely.points(points), keep.boundary) > BAND
    missed = points[clear_of_border & (state == STRUCK) & ~in_keep]
    assert len(missed) == 0, missed
    needless = points[clear_of_border & (state != STRUCK) & in_keep]
    assert len(needless) == 0 or slants_past_the_axis(tool, rows), needless


def test_random_motions_cut_strike_and_leave() -> None:
    """The comparison is worth something: points of every fate, and few too near a border."""
    seen = np.zeros(3)
    for name, tool in TOOLS.items():
        rng = np.random.default_rng([0, *name.encode()])
        rows = random_rows(rng)
        points = np.column_stack([rng.uniform(-25, 35, 100), rng.uniform(0, 45, 100)])
        seen += np.bincount(read_by_points(tool, rows, points), minlength=3)
    assert (seen > 15).all(), seen
