"""Speeds and feeds that are usual for a material: the shop's own first, then a table's."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.estimate.materials import CARBIDE, Material
from standclear.interval import Interval
from standclear.job.models import Shop


@dataclass(frozen=True)
class Usual:
    """Ranges to set a program's S and F beside."""

    name: str
    """Of the material, with its ISO 513 group where a table gives it."""
    speed: Interval
    """m/min."""
    feed: Interval
    """mm a turn."""
    source: str


def usual_values(shop: Shop, named: str, material: Material | None, station: int) -> Usual | None:
    """For the material named in the job and one station; None where nobody knows any."""
    low = named.lower()
    for own in shop.values:
        if own.material.lower() in low and own.station in (None, station):
            return Usual(named, Interval(*own.speed), Interval(*own.feed), "the shop's own")
    if material is None:
        return None
    name = f"{material.name} (ISO 513 {material.group})"
    return Usual(name, Interval(*material.speed), Interval(*material.feed), CARBIDE)
