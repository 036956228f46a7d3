"""Blanks from bars: how many, what they weigh and cost. Millimetres, kilograms.

    blanks from a bar = whole part of (length - end trim - end that cannot be used) / (blank + kerf)

and where the last piece, cut to length already, needs no further cut, one kerf more is there.
Common practice, no source; the sums follow from the cuts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import floor, pi, sqrt

from standclear.job.models import Blank

DENSITY = (
    (("304", "316", "austenitic", "1.43", "1.44"), 7.95),
    (("17-4", "17-4ph"), 7.8),
    (("stainless",), 7.8),
    (("7075",), 2.81),
    (("2024",), 2.78),
    (("6061", "6082", "alumin"), 2.70),
    (("brass", "c360", "cuzn"), 8.5),
    (("bronze", "cusn", "gunmetal"), 8.8),
    (("copper",), 8.94),
    (("ti-6al-4v", "titanium"), 4.43),
    (("718",), 8.2),
    (("cast iron", "gjl"), 7.2),
    (("steel", "s235", "s275", "s355", "e295", "e335", "12l14"), 7.85),
)  # fmt: skip
"""Words of a material's name, and grams per cubic centimetre: usual values, good to 1 % (from
memory of handbook tables and makers' data sheets; steels 7.85)."""

HEXAGON_AREA = sqrt(3) / 2
"""Of the square of the width across flats: closed form."""


CARBON_OR_ALLOY_STEEL = re.compile(
    r"\bc\d\d|\b\d{1,3}(?:s?mn|cr|mo|ni|crmo|nicr)|\b(?:1[0-5]|4[0-9]|5[01]|86)\d\d\b"
)
"""Names of carbon and low-alloy steels as EN 10027-1 and the four-figure series write them, such as
C45, 16MnCr5, 1045, 4140; all at 7.85."""


def density_of(material: str) -> float | None:
    """Grams per cubic centimetre of a material by its name; None where the name says nothing."""
    name = material.lower()
    for words, density in DENSITY:
        if any(word in name for word in words):
            return density
    return 7.85 if CARBON_OR_ALLOY_STEEL.search(name) else None


def section_mm2(shape: str, size: float, bore: float) -> float:
    """Area of the section of a bar, mm2: `size` across, `bore` 0 where solid."""
    if shape == "hexagon":
        return HEXAGON_AREA * size * size
    if shape == "square":
        return size * size
    return pi / 4 * (size * size - bore * bore)


def weight_kg(blank: Blank, size: float, length: float, density: float) -> float:
    """Weight of `length` mm of a bar of the blank's shape, sizes as stated."""
    area = section_mm2(blank.shape, size, blank.bore or 0.0)
    return area * length * density * 1e-6


@dataclass(frozen=True)
class Saw:
    """What sawing takes of a bar, mm."""

    kerf: float
    trim: float = 0.0
    """Cut off the front end first, its own kerf counted in."""
    remnant: float = 0.0
    """End that cannot be used: what saw or feeder must hold."""
    last_as_it_is: bool = False
    """The last piece needs no further cut: no kerf behind it."""


@dataclass(frozen=True)
class Yield:
    """What a bar gives."""

    count: int
    left: float
    """Of the bar, with the end that cannot be used, mm."""


def blanks_from(bar: float, blank: float, saw: Saw) -> Yield:
    """Blanks of length `blank` from a bar of length `bar`, mm."""
    usable = bar - saw.trim - saw.remnant + (saw.kerf if saw.last_as_it_is else 0.0)
    # Sums of stated sizes may lie a last bit under a whole number of blanks.
    count = max(0, floor(usable / (blank + saw.kerf) + 1e-9))
    cuts = count - 1 if saw.last_as_it_is and count > 0 else count
    spent = count * blank + cuts * saw.kerf
    return Yield(count, bar - spent - (saw.trim if count else 0.0))


def bar_needed(count: int, blank: float, saw: Saw) -> float:
    """Length of bar that gives `count` blanks, mm: the reverse of `blanks_from`."""
    kerfs = count - 1 if saw.last_as_it_is else count
    return saw.trim + saw.remnant + count * blank + max(kerfs, 0) * saw.kerf
