"""Clean-up: raw skin that the set-ups leave standing, and the band between two ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.proof.section import rectangle
from standclear.sweeps.areas import SLIVER_MM, common, less, thickness

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


@dataclass(frozen=True)
class Cleaned:
    """Which faces have surely lost their skin in the set-ups so far.

    A face is best judged in the set-up that cuts it: in a later one it lies no better known than
    zero and seat there, though nothing brings its skin back.
    """

    outer: bool
    chuck_side: bool

    def turned_round(self) -> Cleaned:
        """The same faces once the part is turned round."""
        return Cleaned(self.chuck_side, self.outer)

    def without(self, skin: Sequence[RawLeft]) -> tuple[RawLeft, ...]:
        """`skin` less what lies on faces that have none."""
        gone = {Where.OUTER_FACE: self.outer, Where.CHUCK_FACE: self.chuck_side}
        return tuple(each for each in skin if not gone.get(each.where, False))

    def after(self, skin: Sequence[RawLeft]) -> Cleaned:
        """Once all that a set-up may leave raw is `skin`."""
        left = {each.where for each in skin}
        return Cleaned(Where.OUTER_FACE not in left, Where.CHUCK_FACE not in left)


NEITHER = Cleaned(outer=False, chuck_side=False)


def raw_left(
    left: BaseGeometry,
    raw: BaseGeometry,
    clean: BaseGeometry,
    skin_depth: float,
    finished: BaseGeometry | None,
) -> tuple[RawLeft, ...]:
    """Raw skin on `left`, the most metal that remains.

    raw: raw outline of the largest blank.
    clean: raw outline of the smallest blank less its skin, `skin_depth` mm deep.
    finished: finished outline; where it reaches out to the bar's own surface, that may stay raw.

    What is thinner than the sweeps may be wrong by is no skin. A band is a stretch of the diameter
    that was not cut at all and has cut ones on both sides.
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
    skin = less(left, core)
    if finished is not None:
        outer = rectangle(-WIDE, WIDE, r_max + skin_depth - LEAST_SKIN_MM, WIDE)
        for part in shapely.get_parts(common(finished, outer)):
            if part.is_empty:
                continue
            z_from, _, z_to, _ = part.bounds
            skin = less(skin, rectangle(z_from, z_to, r_max - LEAST_SKIN_MM, WIDE))
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
            if part.is_empty or thickness(part) < SLIVER_MM:
                continue
            z_from, r_from, z_to, r_to = part.bounds
            uncut = r_to > raw.bounds[3] - SLIVER_MM
            is_band = where is Where.DIAMETER and uncut and ends[0] < z_from and z_to < ends[2]
            found.append(
                RawLeft(Where.BAND if is_band else where, part, z_from, z_to, r_from, r_to)
            )
    return tuple(found)
