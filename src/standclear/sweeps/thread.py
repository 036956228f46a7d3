"""R of thread passes: what of a threading tool must not meet the metal of the thread.

A pass cuts a groove that winds round the work; between its turns the metal stays, so nothing of the
tool follows in the wake of an edge as it does in turning. Only the insert may be in the metal, and
only between the tip and the crest.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.sweeps.areas import common, less, union
from standclear.sweeps.chain import Pieces, join_pieces, no_pieces
from standclear.sweeps.outline import Outline, outlines_of
from standclear.sweeps.strike import body_sweeps
from standclear.tools.shape import OUTLINE_ERROR_MM


def thread_sweeps(
    body: tuple[Outline, ...],
    cutting_part: NDArray[np.float64],
    by: float,
    start: NDArray[np.float64],
    end: NDArray[np.float64],
    crest: NDArray[np.float64],
) -> Pieces:
    """What the tool sweeps besides the insert between tip and crest, on passes (m, 2) mm.

    `body` is the tool inset by `by` mm, the contact limit; `cutting_part` the insert. `crest` (m,)
    is how far from the tip metal of the thread reaches, counted across the pass, square to the axis
    that the pass mostly runs along.
    """
    moving = np.flatnonzero(np.hypot(*(end - start).T) > 0)
    if len(moving) == 0:
        return no_pieces()
    whole = union(outline.polygon for outline in body)
    # Touching is not striking: what the contact limit takes off the body is given to the insert
    # where the two join, and to its reach.
    rim = max(by, 2 * OUTLINE_ERROR_MM)
    insert = shapely.Polygon(cutting_part).buffer(rim, join_style="mitre")
    size = 2 * float(max(np.abs(outline.points).max() for outline in body)) + 1 if body else 0.0
    travel = end[moving] - start[moving]
    kinds, group = np.unique(
        np.column_stack([crest[moving], _lean(travel)]), axis=0, return_inverse=True
    )
    parts: list[Pieces] = []
    for number, (deep, along_z, slope) in enumerate(kinds.tolist()):
        rows = moving[group.reshape(-1) == number]
        band = _band(deep + by, slope, size, along_z=bool(along_z))
        rest = outlines_of(less(whole, common(insert, band)))
        pieces, local = body_sweeps(rest, start[rows], end[rows])
        parts.append((pieces, rows[local]))
    return join_pieces(parts)


def _lean(travel: NDArray[np.float64]) -> NDArray[np.float64]:
    """(m, 2): 1 where a pass runs mostly along Z, else 0, and how far it goes across for each
    millimetre along."""
    z, r = travel.T
    along_z = np.abs(z) >= np.abs(r)
    main, cross = np.where(along_z, z, r), np.where(along_z, r, z)
    return np.column_stack([along_z, cross / main])


def _band(deep: float, slope: float, size: float, *, along_z: bool) -> shapely.Polygon:
    """Within `deep` of the line through the tip that the pass runs along."""
    low, high = slope * -size, slope * size
    corners = np.array(
        [(-size, low - deep), (size, high - deep), (size, high + deep), (-size, low + deep)]
    )
    return shapely.Polygon(corners if along_z else corners[:, ::-1])
