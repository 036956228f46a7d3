"""Clean-up: raw skin that the set-ups leave standing, and the band between two ends."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.proof.section import rectangle
from standclear.sweeps.areas import common

LEAST_SKIN_MM = 0.01
"""A raw surface must lose at least this much to count as cut: less is a tool rubbing over it."""
WIDE = 1e6


class Where(StrEnum):
    """Which raw surface is left."""

    OUTER_FACE = "outer face"
    CHUCK_FACE = "chuck-side face"
    DIAMETER = "diameter"
    BAND = "band"
    BORE = "bore"


@dataclass(frozen=True)
class RawLeft:
    """Raw skin left between two values of z, in the frame of the last set-up."""

    where: Where
    area: BaseGeometry
    z_from: float
    z_to: float
    r_from: float
    r_to: float


def raw_left(
    left: BaseGeometry, clean: BaseGeometry, wanted_raw: BaseGeometry | None
) -> tuple[RawLeft, ...]:
    """Raw skin on `left`, the most metal that remains.

    clean: raw outline less skin of the smallest blank, in the same frame.
    wanted_raw: finished outline; where it reaches out to the raw skin, the skin may stay.
    """
    if left.is_empty or clean.is_empty:
        return ()
    z_min, r_min, z_max, r_max = clean.bounds
    core = rectangle(
        z_min + LEAST_SKIN_MM,
        z_max - LEAST_SKIN_MM,
        r_min + LEAST_SKIN_MM if r_min > 0 else 0.0,
        r_max - LEAST_SKIN_MM,
    )
    skin = left.difference(core)
    if wanted_raw is not None:
        outer = rectangle(-WIDE, WIDE, r_max - LEAST_SKIN_MM, WIDE)
        for part in shapely.get_parts(common(wanted_raw, outer)):
            if part.is_empty:
                continue
            z_from, _, z_to, _ = part.bounds
            skin = skin.difference(rectangle(z_from, z_to, r_max - LEAST_SKIN_MM, WIDE))
    found = []
    zones = (
        (Where.OUTER_FACE, rectangle(core.bounds[2], WIDE, 0.0, core.bounds[3])),
        (Where.CHUCK_FACE, rectangle(-WIDE, core.bounds[0], 0.0, core.bounds[3])),
        (Where.BORE, rectangle(core.bounds[0], core.bounds[2], 0.0, core.bounds[1])),
        (Where.DIAMETER, rectangle(-WIDE, WIDE, core.bounds[3], WIDE)),
    )
    ends = left.bounds
    for where, zone in zones:
        for part in shapely.get_parts(common(skin, zone)):
            if part.geom_type != "Polygon" or part.area == 0.0:
                continue
            z_from, r_from, z_to, r_to = part.bounds
            is_band = where is Where.DIAMETER and ends[0] < z_from and z_to < ends[2]
            found.append(
                RawLeft(Where.BAND if is_band else where, part, z_from, z_to, r_from, r_to)
            )
    return tuple(found)
