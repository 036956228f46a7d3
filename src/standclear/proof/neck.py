"""Metal that hangs by too little: the least neck of the job."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common, union

CREDIT_MM = 1e-6
"""Drawn off the least neck so that one of exactly that diameter holds."""


def hangs_by_less(metal: BaseGeometry, grip: Interval, least_neck: float) -> BaseGeometry:
    """What of `metal` hangs on the gripped end by a neck thinner than `least_neck` mm.

    A neck is a solid diameter or, where there is a bore, the wall. The full section, both sides of
    the axis, is drawn in by half the neck: what then lies apart from the gripped end hung by less.
    Empty where nothing does.
    """
    if least_neck <= 0 or metal.is_empty:
        return shapely.Polygon()
    mirror = shapely.transform(metal, lambda zr: zr * (1.0, -1.0))
    # Halves that meet on the axis are joined there, not left with a seam.
    full = union([metal, mirror]).buffer(1e-9, join_style="mitre")
    core = full.buffer(-(least_neck / 2 - CREDIT_MM))
    held = rectangle(grip.lo, grip.hi, -1e6, 1e6)
    apart = [p for p in shapely.get_parts(core) if not p.intersects(held)]
    if not apart:
        return shapely.Polygon()
    return common(union(apart).buffer(least_neck / 2), metal)
