"""Speeds and feeds that are usual for a material: the shop's own first, then a table's."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.estimate.materials import CARBIDE, Material
from standclear.interval import Interval
from standclear.job.models import Shop

DRILLING = {"P": (20.0, 120.0), "M": (8.0, 60.0), "K": (20.0, 120.0), "N": (40.0, 300.0)}
"""m/min by ISO 513 group, from drills of high-speed steel to those of carbide."""
DRILL_FEED = (0.008, 0.025)
"""A turn, in diameters of the drill."""
DRILLS = "common practice from high-speed steel to carbide, no source"
TAPPING = {"P": (5.0, 25.0), "M": (3.0, 12.0), "K": (5.0, 20.0), "N": (10.0, 40.0)}
"""m/min by ISO 513 group."""
TAPS = "common practice, no source"
THREADING = (0.4, 0.8)
"""Of the speeds usual for turning."""
GROOVING = (0.5, 0.8)
GROOVING_FEED = (0.05, 0.2)
"""A turn, mm."""


@dataclass(frozen=True)
class Usual:
    """Ranges to set a program's S and F beside."""

    name: str
    """Of the material, with its ISO 513 group where a table gives it."""
    speed: Interval
    """m/min."""
    feed: Interval | None
    """mm a turn; None where the thread's lead is the feed."""
    source: str


def usual_values(
    shop: Shop, named: str, material: Material | None, station: int, kind: str, across: float
) -> Usual | None:
    """For the material named in the job, one station and the `kind` of its tool, of which a drill
    is `across` mm in diameter; None where nobody knows any."""
    low = named.lower()
    for own in shop.values:
        if own.material.lower() in low and own.station in (None, station):
            feed = None if kind in ("threading", "tap") else Interval(*own.feed)
            return Usual(named, Interval(*own.speed), feed, "the shop's own")
    if material is None:
        return None
    name = f"{material.name} (ISO 513 {material.group})"
    if kind == "drill":
        least, most = DRILL_FEED
        speed = Interval(*DRILLING[material.group])
        return Usual(name, speed, Interval(least * across, most * across), DRILLS)
    if kind == "tap":
        return Usual(name, Interval(*TAPPING[material.group]), None, TAPS)
    share = {"threading": THREADING, "grooving": GROOVING}.get(kind, (1.0, 1.0))
    speed = Interval(share[0] * material.speed[0], share[1] * material.speed[1])
    if kind == "threading":
        return Usual(name, speed, None, CARBIDE)
    feed = Interval(*(GROOVING_FEED if kind == "grooving" else material.feed))
    return Usual(name, speed, feed, CARBIDE)
