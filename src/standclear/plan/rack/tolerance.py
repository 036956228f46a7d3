"""Tolerances on the size of bar by the standards that it is sold to. Millimetres.

Figures from memory of the standards, whose text was not opened: buy or borrow it where a thousandth
matters, and state `size_tolerance` instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Literal

INCH = 25.4

Standard = Literal[
    "EN 10278 h9",
    "EN 10278 h10",
    "EN 10278 h11",
    "EN 10278 h12",
    "EN 10060",
    "ASTM A108 to 0.28 % C",
    "ASTM A108 over 0.28 % C",
    "ASTM A29",
]
"""What a rack file may name: bright bar by its grade, hot-rolled round, cold-finished round by its
carbon, hot-rolled round in inch sizes."""

_IT_SIZES = (3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0)
"""Size bands of ISO 286-1: over each to the next."""
_IT = {
    "h9": (0.030, 0.036, 0.043, 0.052, 0.062, 0.074, 0.087, 0.100),
    "h10": (0.048, 0.058, 0.070, 0.084, 0.100, 0.120, 0.140, 0.160),
    "h11": (0.075, 0.090, 0.110, 0.130, 0.160, 0.190, 0.220, 0.250),
    "h12": (0.120, 0.150, 0.180, 0.210, 0.250, 0.300, 0.350, 0.400),
}
"""Fundamental tolerances IT9 to IT12 of ISO 286-1, all of it minus for h; from memory."""

_Bands = tuple[tuple[float, float, float], ...]
"""(over, lower, upper) deviations up to the next row's `over`; the last row only ends the table."""

_HOT_ROLLED: _Bands = (
    (9.999, -0.4, 0.4), (15.0, -0.5, 0.5), (25.0, -0.6, 0.6), (35.0, -0.8, 0.8), (50.0, -1.0, 1.0),
    (80.0, -1.3, 1.3), (100.0, -1.5, 1.5), (120.0, -2.0, 2.0), (160.0, -2.5, 2.5), (200.0, 0, 0),
)  # fmt: skip
"""EN 10060, normal tolerance; from memory, agreeing with an excerpt of a public page."""
_INCHES: Mapping[str, _Bands] = {
    "ASTM A108 to 0.28 % C": (
        (0.0, -0.002, 0.0), (1.5, -0.003, 0.0), (2.5, -0.004, 0.0), (4.0, -0.005, 0.0),
        (6.0, 0, 0),
    ),
    "ASTM A108 over 0.28 % C": (
        (0.0, -0.003, 0.0), (1.5, -0.004, 0.0), (2.5, -0.005, 0.0), (4.0, -0.006, 0.0),
        (6.0, 0, 0),
    ),
    "ASTM A29": (
        (1.5, -1 / 64, 1 / 64), (2.0, 0.0, 1 / 32), (2.5, 0.0, 3 / 64), (3.5, 0.0, 1 / 16),
        (4.5, 0, 0),
    ),
}  # fmt: skip
"""Inches; from memory, in part agreeing with excerpts of public pages. A108: drawn or turned round,
carbon to 0.28 % or over it to 0.55 %; over 4 in the least sure. Merchants may print plus-minus."""
HEXAGONS = ("EN 10278 h11", "EN 10278 h12")
"""Standards that give hexagon and square bar too."""


def tolerance_of(standard: Standard, size: float) -> tuple[float, float] | None:
    """Lower and upper deviation of bar of this size by a standard, mm; None where its table here
    does not reach."""
    if standard.startswith("EN 10278"):
        widths = _IT[standard.split()[-1]]
        for (over, upper), width in zip(pairwise(_IT_SIZES), widths, strict=True):
            if over < size <= upper:
                return -width, 0.0
        return None
    bands, unit = (_HOT_ROLLED, 1.0) if standard == "EN 10060" else (_INCHES[standard], INCH)
    for (over, low, high), (upper, _, _) in pairwise(bands):
        if over < size / unit <= upper + 1e-9:
            return low * unit, high * unit
    return None
