"""Jaws, chuck and stop: never cut, so no part of a tool may meet them, edges included."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Kind, Motions
from standclear.proof.section import grow
from standclear.sweeps.areas import common, union
from standclear.sweeps.sweep import Tooling, sweep


@dataclass(frozen=True)
class Encounter:
    """A motion that strikes an obstacle or comes nearer than the margin."""

    motion: int
    obstacle: str
    distance: float
    """mm between the tool's full outline and the obstacle; 0 where it strikes."""
    overlap: BaseGeometry
    strikes: bool


def encounters(
    motions: Motions,
    tools: Sequence[Tooling | None],
    wear: Sequence[float],
    obstacles: Mapping[str, BaseGeometry],
    margin: float,
    contact_limit: float,
    rapid_corner: float = 0.0,
) -> tuple[Encounter, ...]:
    """Every motion within `margin` mm of an obstacle, in order of motion.

    The whole tool counts on every motion, feeds too; it strikes where it overlaps by more than the
    contact limit. Real distances, measured from the outline.
    """
    solid = {name: area for name, area in obstacles.items() if not area.is_empty}
    if not solid or len(motions) == 0:
        return ()
    worn = max(wear, default=0.0)
    around = grow(union(list(solid.values())), margin + worn, margin + worn)
    z_min, r_min, z_max, r_max = around.bounds
    reach = (z_min, r_min, z_max, r_max)
    whole = motions.take(np.arange(len(motions)))
    whole.kind[whole.kind == Kind.FEED] = Kind.RAPID
    inset = sweep(whole, tools, contact_limit, reach, rapid_corner=rapid_corner)
    hit = {name: _struck(inset.strike, inset.strike_motion, a) for name, a in solid.items()}
    # The tool's body where a motion starts is no part of its sweep, and an obstacle met there was
    # met by the motion before; so is the distance, but for the first of all.
    full = sweep(whole, tools, 0.0, reach, rapid_corner=rapid_corner, true_outline=True)
    found = []
    for name, area in solid.items():
        distance = shapely.distance(full.strike, area)
        for motion in np.unique(full.strike_motion[distance < margin + worn]).tolist():
            mine = full.strike_motion == motion
            gap = max(float(distance[mine].min()) - float(wear[motions.tool[motion]]), 0.0)
            strikes = motion in hit[name] or (gap == 0.0 and worn > 0)
            if strikes or gap < margin:
                overlap = common(union(full.strike[mine]), area)
                found.append(Encounter(motion, name, 0.0 if strikes else gap, overlap, strikes))
    return tuple(sorted(found, key=lambda e: (e.motion, e.obstacle)))


def _struck(
    pieces: NDArray[np.object_], owner: NDArray[np.int64], obstacle: BaseGeometry
) -> set[int]:
    met = shapely.intersects(pieces, obstacle)
    depth = shapely.area(shapely.intersection(pieces[met], obstacle))
    return set(owner[met][depth > 0].tolist())
