"""Jaws, chuck and stop: never cut, so no part of a tool may meet them, edges included."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Motions, Spindle
from standclear.proof.section import grow
from standclear.sweeps.areas import common, commons, union
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
    bound = np.array(wear)
    wide = margin + float(bound.max(initial=0.0))
    around = grow(union(list(solid.values())), wide, wide)
    z_min, r_min, z_max, r_max = around.bounds
    reach = (z_min, r_min, z_max, r_max)
    # With the spindle stopped no edge cuts: the whole tool counts.
    whole = replace(motions, spindle=np.full_like(motions.spindle, Spindle.STOPPED))
    inset = sweep(whole, tools, contact_limit, reach, rapid_corner=rapid_corner)
    # The tool's body where a motion starts is no part of its sweep, and an obstacle met there was
    # met by the motion before; so is the distance, but for the first of all.
    full = sweep(whole, tools, 0.0, reach, rapid_corner=rapid_corner, true_outline=True)
    found = []
    for name, area in solid.items():
        for worn in np.unique(bound):
            # A tool that may lie off along either axis meets what a box around it reaches.
            grown = grow(area, worn, worn)
            mine = bound[motions.tool[full.strike_motion]] == worn
            strike, owner = full.strike[mine], full.strike_motion[mine]
            met = bound[motions.tool[inset.strike_motion]] == worn
            hit = _struck(inset.strike[met], inset.strike_motion[met], grown)
            distance = shapely.distance(strike, grown)
            for motion in sorted(hit | set(owner[distance < margin].tolist())):
                gap = float(distance[owner == motion].min())
                overlap = common(union(strike[owner == motion]), grown)
                strikes = motion in hit
                found.append(Encounter(motion, name, 0.0 if strikes else gap, overlap, strikes))
    return tuple(sorted(found, key=lambda e: (e.motion, e.obstacle)))


def _struck(
    pieces: NDArray[np.object_], owner: NDArray[np.int64], obstacle: BaseGeometry
) -> set[int]:
    met = shapely.intersects(pieces, obstacle)
    depth = shapely.area(commons(pieces[met], obstacle))
    return set(owner[met][depth > 0].tolist())
