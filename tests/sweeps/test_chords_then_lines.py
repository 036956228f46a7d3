"""Where an arc ends and a line goes on no film of metal is left between their sweeps."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from section_shop import LIMIT, REACH, SQUARE, TURNING, appear, feed, table

from standclear.motions.table import Spindle
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
