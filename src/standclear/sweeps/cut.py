"""F: what the active cutting edges sweep in feed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from standclear.sweeps.chain import Pieces, join_pieces, leading, sweep_chains
from standclear.sweeps.outline import Outline


def cut_sweeps(
    outlines: tuple[Outline, ...],
    start: NDArray[np.float64],
    end: NDArray[np.float64],
) -> Pieces:
    """What the cutting edges of `outlines` cut from `start` to `end`, both (m, 2) mm.

    A cutting edge cuts where it leads, that is faces the way the tool travels. The area runs from
    where the edges start: what the tool's body covers there has been cut or tested before.
    """
    travel = end - start
    return join_pieces(
        [
            sweep_chains(o, leading(o, travel) & o.cuts[None, :], start, end)
            for o in outlines
            if o.cuts.any()
        ]
    )
