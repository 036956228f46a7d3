"""The edges of a window, each with what lies beyond it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.plan.windows.sources import Scope, Source
from standclear.proof.section import rectangle
from standclear.sweeps.areas import less

NEAR_MM = 1e-4
"""Two borders this near are one."""
PROBE_MM = 0.004
"""How far beyond an edge is looked for the block that is met there."""


@dataclass(frozen=True)
class Edge:
    """One edge of a window, between two corners (across, size), and what lies beyond it."""

    start: tuple[float, float]
    end: tuple[float, float]
    side: str
    """`strikes`, `does not clean up`, `comes loose` or `not looked further`."""
    against: str
    """`metal`, `jaws`, `chuck`, `stop`, `diameter`, `face`, `outline`, `out of reach`; empty where
    not looked further."""
    setup: str
    line: int
    """Of the block first met there, counted from 1; 0 where none is."""


def edges_of(scope: Scope, region: BaseGeometry, sources: Sequence[Source]) -> Iterator[Edge]:
    """The edges of `region`, ring by ring in order; `sources` are what blocks beyond it."""
    for part in shapely.get_parts(region):
        if part.is_empty:
            continue
        for ring in (part.exterior, *part.interiors):
            points = [(float(x), float(y)) for x, y in ring.coords]
            for start, end in pairwise(points):
                yield _edge(scope, start, end, sources)


def _edge(
    scope: Scope, start: tuple[float, float], end: tuple[float, float], sources: Sequence[Source]
) -> Edge:
    middle = shapely.Point((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    near = [s for s in sources if not s.region.is_empty and s.region.distance(middle) < NEAR_MM]
    if not near:
        return Edge(start, end, "not looked further", "", "", 0)
    source = near[0]
    line = source.line or first_met(scope, source, middle.x, middle.y)
    name = scope.proof.setups[source.setup].name
    return Edge(start, end, source.side, source.against, name, line)


def first_met(scope: Scope, source: Source, x: float, size: float) -> int:
    """Line of the first block that a blank just beyond the edge is struck by; 0 where none is."""
    layer, frame = source.layer, scope.frames[source.setup]
    if layer is None:
        return 0
    by = PROBE_MM + layer.grow
    blank = rectangle(
        frame.back.value(x),
        frame.face.value(x) + by,
        scope.bore(source.setup),
        frame.radius.value(size) + by,
    )
    met = layer.first_strikes(less(blank, source.cuts.at(x - scope.varied.stated)))
    if not met:
        return 0
    setup = scope.proof.setups[source.setup]
    block = int(setup.trace.motions.block[met[0]])
    return setup.program.blocks[block].line if block >= 0 else 0
