"""The motion that comes nearest to what is never cut, and how near.

Frame: the section of one set-up, (z, r), millimetres.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Spindle
from standclear.proof.held import HeldReading
from standclear.sweeps.areas import union
from standclear.sweeps.sweep import sweep

SEEN_MM = 60.0
"""How far from jaws, chuck and stop a motion is still looked at: no pass further off has anything
to do with them."""


def nearest_to(
    obstacles: Mapping[str, BaseGeometry], reading: HeldReading
) -> tuple[int, str, float] | None:
    """(motion, name of the obstacle, mm) where the whole tool, wear included, comes nearest; the
    first of equals. None where nothing comes within `SEEN_MM`."""
    solid = {name: area for name, area in obstacles.items() if not area.is_empty}
    motions = reading.trace.motions
    if not solid or len(motions) == 0:
        return None
    everything = union(list(solid.values()))
    least = _least_distance(reading, everything)
    # A box round the whole way is never further off than the tool itself: sweep the nearest by
    # box until none that is left can come nearer than what is found.
    order = np.argsort(least, kind="stable")
    best: tuple[float, int, str] | None = None
    for chunk in np.array_split(order, max(1, len(order) // 16)):
        limit = SEEN_MM if best is None else best[0]
        rows = np.sort(chunk[least[chunk] < limit])
        if len(rows) == 0:
            break
        for found in _swept(reading, rows, solid):
            best = found if best is None or found[:2] < best[:2] else best
    if best is None or best[0] >= SEEN_MM:
        return None
    return best[1], best[2], best[0]


def _least_distance(reading: HeldReading, area: BaseGeometry) -> NDArray[np.float64]:
    """(n,) mm from `area` to the box round what the tool reaches in each motion."""
    motions = reading.trace.motions
    low = np.minimum(motions.start, motions.end)
    high = np.maximum(motions.start, motions.end)
    for index, tooling in enumerate(reading.tools):
        rows = motions.tool == index
        if tooling is None:
            continue
        low[rows] += tooling.shape.outer.min(axis=0)
        high[rows] += tooling.shape.outer.max(axis=0)
    boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    distance: NDArray[np.float64] = shapely.distance(boxes, area)
    unknown = np.array([t is None for t in reading.tools])[motions.tool]
    distance[unknown] = np.inf
    return distance


def _swept(
    reading: HeldReading, rows: NDArray[np.int64], solid: Mapping[str, BaseGeometry]
) -> list[tuple[float, int, str]]:
    motions = reading.trace.motions
    # With the spindle stopped no edge cuts: the whole tool counts.
    table = replace(motions, spindle=np.full_like(motions.spindle, Spindle.STOPPED)).take(rows)
    z_min, r_min, z_max, r_max = union(list(solid.values())).bounds
    reach = (z_min - SEEN_MM, r_min - SEEN_MM, z_max + SEEN_MM, r_max + SEEN_MM)
    full = sweep(table, reading.tools, 0.0, reach, true_outline=True)
    wear = np.array([*reading.wear, 0.0])
    found = []
    for piece, row in zip(full.strike, full.strike_motion.tolist(), strict=True):
        motion = int(rows[row])
        worn = float(wear[motions.tool[motion]]) * float(np.sqrt(2))
        name, away = min(
            ((n, float(piece.distance(a))) for n, a in solid.items()), key=lambda each: each[1]
        )
        found.append((max(0.0, away - worn), motion, name))
    return found
