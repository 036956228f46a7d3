"""In which order of axes a tool can be brought from in front to a place, spindle stopped.

Frame: the section of one set-up, (z, r), millimetres. Nothing is cut: the whole tool must miss all
metal and every obstacle on the whole way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Kind, Motions, Path, Spindle
from standclear.sweeps.areas import union
from standclear.sweeps.sweep import Tooling, sweep

AWAY_MM = 20.0
"""How far in front of everything, and over it, the way begins: the turret comes from further off
along the same line."""
ENOUGH_MM = 1.0
"""Gap that both orders may leave alike: then the tool comes from in front, X first, where whoever
keys in sees it over the bar before it goes along. Our choice, no source."""
SAME_MM = 0.05


@dataclass(frozen=True)
class Order:
    """One axis at a time: `first` then the other, with the least gap on the way, mm."""

    first: str
    """`X` or `Z`."""
    gap: float


def order_to(
    motions: Motions,
    motion: int,
    tools: Sequence[Tooling | None],
    solid: BaseGeometry,
) -> Order | None:
    """How the tool of row `motion` gets to where that row begins, past `solid`; X first, from in
    front, unless that comes much nearer than from above. None where neither order keeps clear, or
    the tool is not known.
    """
    tooling = tools[int(motions.tool[motion])]
    if tooling is None or solid.is_empty:
        return None
    low = tooling.shape.outer.min(axis=0)
    _, _, z_max, r_max = solid.bounds
    z, r = motions.start[motion].tolist()
    far_z = max(z_max + AWAY_MM - low[0], z + AWAY_MM)
    far_r = max(r_max + AWAY_MM - low[1], r + AWAY_MM)
    ways = {"X": (far_z, r), "Z": (z, far_r)}
    found = []
    for first, corner in ways.items():
        gap = _least_gap(motions, motion, tools, ((far_z, far_r), corner, (z, r)), solid)
        found.append(Order(first, gap))
    from_in_front, from_above = found
    if from_in_front.gap >= min(from_above.gap, ENOUGH_MM) - SAME_MM and from_in_front.gap > 0:
        return from_in_front
    return from_above if from_above.gap > 0 else None


def _least_gap(
    motions: Motions,
    motion: int,
    tools: Sequence[Tooling | None],
    stations: Sequence[tuple[float, float]],
    solid: BaseGeometry,
) -> float:
    rows = motions.take(np.array([motion] * (len(stations) - 1), dtype=np.int64))
    table = replace(
        rows,
        kind=np.full_like(rows.kind, Kind.RAPID),
        path=np.full_like(rows.path, Path.STRAIGHT),
        spindle=np.full_like(rows.spindle, Spindle.STOPPED),
        sagitta=np.zeros_like(rows.sagitta),
        crest=np.zeros_like(rows.crest),
        start=np.array(stations[:-1], dtype=float),
        end=np.array(stations[1:], dtype=float),
    )
    z_min, r_min, z_max, r_max = solid.bounds
    reach = (z_min - AWAY_MM, r_min - AWAY_MM, z_max + AWAY_MM, r_max + AWAY_MM)
    swept = sweep(table, tools, 0.0, reach, true_outline=True)
    if len(swept.strike) == 0:
        return AWAY_MM
    return float(min(union(swept.strike).distance(solid), AWAY_MM))
