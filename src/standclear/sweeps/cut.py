"""F: what the active cutting edges sweep in feed."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.sweeps.areas import commons
from standclear.sweeps.chain import Pieces, join_pieces, leading, no_pieces, sweep_chains
from standclear.sweeps.outline import Outline

RIM = 20.0
"""How many times further than it was drawn in an edge may lie ahead: one that leans from the travel
by less than three degrees keeps its film."""


def cut_sweeps(
    outlines: tuple[Outline, ...],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
) -> Pieces:
    """What the cutting edges of `outlines` cut from `start` to `end`, both (m, 2) mm.

    A cutting edge cuts where it leads, that is faces the way the tool travels. The area runs from
    where the edges start: what the tool's body covers there has been cut or tested before.
    """
    if len(start) == 0:
        return no_pieces()
    travel = end - start
    return join_pieces(
        [
            sweep_chains(o, leading(o, travel) & o.cuts[None, :], start, end)
            for o in outlines
            if o.cuts.any()
        ]
    )


def rim_cuts(
    drawn: tuple[Outline, ...],
    outlines: tuple[Outline, ...],
    by: float,
    start: NDArray[np.float64],
    end: NDArray[np.float64],
) -> Pieces:
    """What chords from `start` to `end`, both (m, 2) mm, have cut between their edges as drawn in,
    `drawn`, and the true ones, `outlines`, where these stand at the end.

    Chords are swept with edges drawn in by `by`, since the arc leaves them; but the end of a chord
    lies on the arc. Without this strip the next line, whose edges are not drawn in, would leave a
    film of metal where its edges start.
    """
    travel = end - start
    length = np.hypot(travel[:, 0], travel[:, 1])
    moving = np.flatnonzero(length > 0)
    at, forward = end[moving], travel[moving] / length[moving][:, None]
    ahead, local = cut_sweeps(drawn, at, at + RIM * by * forward)
    parts = []
    for outline in outlines:
        inside = shapely.polygons(at[local][:, None, :] + outline.points[None])
        parts.append((commons(ahead, inside), moving[local]))
    return join_pieces(parts)
