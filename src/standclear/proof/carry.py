"""What one set-up leaves, as it lies in the next.

The placing counts from faces where the job puts them. A program that leaves the front face
elsewhere, or parts the piece off, moves the part: it seats on the face it has, and the face that is
touched is the one it has. So the way into the next set-up is mended by where the metal really ends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.job.placing import Placing
from standclear.proof.bench import WIDE, Metal
from standclear.proof.section import rectangle, slide, surely, turned
from standclear.proof.shares import BURR_MM
from standclear.sweeps.areas import common, on_grid

NOWHERE = Interval(0.0, 0.0)
MAY_GIVE_WAY_MM = (0.05, BURR_MM, 0.2)
"""Thickness of burr that surely gives way where the part is seated or touched, that is taken to in
the middle, and that surely holds; in between the face may lie on either side of it. Common
practice, no source."""


@dataclass(frozen=True)
class Way:
    """How a part goes from one set-up into the next: z becomes c - z where it is turned round,
    z + c where not."""

    c: Interval
    """Every value, over the tolerances."""
    nominal: float
    """The value when every size and zero lies in the middle of its tolerance."""
    seat: Interval
    """How far the chuck-side face lies from where the placing has it, + away from the spindle."""
    ahead: Interval
    """How far the outer face does."""


AS_PLACED = Way(NOWHERE, 0.0, NOWHERE, NOWHERE)
"""Of the first set-up."""


def way_of(
    metal: Metal, back: Interval, placing: Placing, before: Way, *, unclamped: bool, struck: bool
) -> Way:
    """The way of `metal` into the set-up that `placing` describes.

    back: where the placing of the set-up before has its chuck-side face.
    before: the way into the set-up before.
    unclamped: the part was taken out of the jaws.
    struck: something was struck before; what struck metal makes of the faces is not what a setter
        will find, so they lie where they are meant to.
    """
    if struck:
        back, meant = Interval.about(back.middle, 0.0), metal.nominal
        metal = Metal(meant, meant, meant)
    spare = _ends(metal, 0, back)
    if placing.mirror is None:
        assert placing.shift is not None
        if not unclamped:
            return Way(placing.shift, placing.shift.middle, before.seat, before.ahead)
        nominal = placing.shift.middle - spare.middle
        return Way(placing.shift - spare, nominal, NOWHERE, NOWHERE)
    front = _ends(metal, 2, NOWHERE)
    middle = placing.mirror.middle
    if placing.length_follows_saw:
        return Way(placing.mirror + spare, middle + spare.middle, spare - front, NOWHERE)
    nominal = middle + (front.hi if metal.nominal.is_empty else _end(metal.nominal, 2, BURR_MM))
    return Way(placing.mirror + front, nominal, NOWHERE, front - spare)


def _ends(metal: Metal, side: int, placed: Interval) -> Interval:
    """How far the face at one end (0 chuck side, 2 front) lies from where it is placed."""
    most, least = (m if not m.is_empty else metal.most for m in (metal.most, metal.least))
    if most.is_empty:
        return NOWHERE
    outermost, innermost = (placed.lo, placed.hi) if side == 0 else (placed.hi, placed.lo)
    off = [
        _end(area, side, burr) - where
        for area, where in ((most, outermost), (least, innermost))
        for burr in MAY_GIVE_WAY_MM
    ]
    return Interval(min(off), max(off))


def _end(area: BaseGeometry, side: int, burr: float) -> float:
    """Z of the face that a stop or a touch finds where what no disc of the diameter `burr` fits in
    gives way: a pip at the axis or foil in front of the face."""
    firm = area.buffer(-burr / 2)
    if firm.is_empty:
        return float(area.bounds[side])
    return float(firm.bounds[side]) + (-burr / 2 if side == 0 else burr / 2)


def moved_by_way(area: BaseGeometry, placing: Placing, way: Way) -> BaseGeometry:
    """`area` of the set-up before as it lies now, zeros in mid tolerance."""
    return translate(turned(area, 0.0) if placing.mirror is not None else area, way.nominal)


def carried(before: Metal, placing: Placing, way: Way) -> Metal:
    """What the set-up before left, as it lies now: turned round or moved as `way` says."""
    if placing.mirror is not None:
        most, least, nominal = (
            turned(area, 0.0) for area in (before.most, before.least, before.nominal)
        )
    else:
        most, least, nominal = before.most, before.least, before.nominal
    most, least = slide(most, way.c), surely(least, way.c)
    if placing.mirror is not None:
        # Where the zero is taken from the raw face, the face stays and the part behind it moves.
        most = common(most, rectangle(-WIDE, placing.face_strike_z + way.ahead.hi, -1.0, WIDE))
    return Metal(*on_grid(np.array([most, least, translate(nominal, way.nominal)], dtype=object)))
