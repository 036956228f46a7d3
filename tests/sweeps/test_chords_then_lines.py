"""Where an arc ends and a line goes on no film of metal is left between their sweeps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from section_shop import LIMIT, REACH, SQUARE, TURNING, appear, feed, table

from standclear.motions.table import Spindle
from standclear.sweeps.cut import rim_cuts
from standclear.sweeps.outline import Outline, inset
from standclear.sweeps.sweep import Tooling, sweep
from standclear.tools.shape import ToolShape

SAGITTA = 0.0005
ROWS = [appear((5, 15)), feed((5, 15), (0, 15.4)), feed((0, 15.4), (-10, 15.4))]
"""A chord that ends where a line along the axis begins."""


@pytest.mark.parametrize("tool", [SQUARE, TURNING])
@pytest.mark.parametrize("worn", [0.0, 0.05])
def test_no_film_stands_where_the_chord_ends(tool: ToolShape, worn: float) -> None:
    motions = replace(table(ROWS), sagitta=np.array([0.0, SAGITTA, 0.0]))
    tooling = [Tooling(tool, Spindle.FORWARD)]
    swept = sweep(motions, tooling, LIMIT, REACH, cut_inset=[worn])
    cut = shapely.union_all(swept.cut, grid_size=1e-9)
    across = shapely.box(-1.0, 15.6, 1.0, 20.0)
    assert across.difference(cut).area == pytest.approx(0.0, abs=1e-9)


def test_the_strip_lies_inside_the_tool_and_no_wider_than_the_arc_leaves_its_chord() -> None:
    """All that is cut lies within the sweep of the true edges or where the tool stands at first,
    and all of that sweep within two sagittas of what is cut."""
    motions = replace(table(ROWS), sagitta=np.array([0.0, SAGITTA, 0.0]))
    tooling = [Tooling(SQUARE, Spindle.FORWARD)]
    cut = shapely.union_all(sweep(motions, tooling, LIMIT, REACH).cut)
    plain = shapely.union_all(sweep(table(ROWS), tooling, LIMIT, REACH).cut)
    stands = shapely.union(plain, shapely.box(5, 15, 15, 25))
    assert cut.difference(stands).area == pytest.approx(0.0, abs=1e-9)
    assert plain.difference(cut.buffer(2 * SAGITTA)).area == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("lean", "film"), [(90.0, False), (10.0, False), (3.0, False), (2.8, True)]
)
def test_an_edge_keeps_its_film_only_where_it_leans_by_less_than_three_degrees(
    lean: float, *, film: bool
) -> None:
    """Fed towards -z, with an edge 20 long that leans by `lean` from the way and was drawn in by
    0.01: 20 times that ahead it stands 0.2 sin(lean) further on across itself, 0.01 or more from
    2.87 degrees on."""
    along = 20 * np.array([np.cos(np.radians(lean)), -np.sin(np.radians(lean))])
    corners = np.array([(0.0, 0.0), along, np.add(along, 30.0), (30.0, 30.0)])
    edge = Outline(corners, np.array([True, False, False, False]))
    drawn = inset(edge, 0.01)
    rim, _ = rim_cuts(drawn, (edge,), 0.01, np.array([(4.0, 50.0)]), np.array([(0.0, 50.0)]))
    outer = np.array([0.3 * along, 0.7 * along])
    inwards = np.array([-along[1], along[0]]) / 20
    strip = np.concatenate([outer, outer[::-1] + 0.01 * inwards]) + np.array([0.0, 50.0])
    left = shapely.Polygon(strip).difference(shapely.union_all(rim, grid_size=1e-9)).area
    # 8 long; at 2.8 degrees 0.01 - 0.2 sin 2.8 = 0.00023 wide.
    wide = 0.01 - 0.2 * np.sin(np.radians(lean)) if film else 0.0
    assert left == pytest.approx(8 * wide, abs=1e-6)
