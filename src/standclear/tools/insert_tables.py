"""Letters and size codes of indexable inserts, ISO 1832 and ANSI B212.4, from memory.

Sizes are looked up, never worked out: the code is the edge length with its decimals dropped, but
the tables of the trade round some lengths up (triangles of inscribed circle 6.35 have an edge of
10.999 and the code 11).
"""

from __future__ import annotations

INCH_MM = 25.4

INCLUDED_ANGLES: dict[str, float | None] = {
    "A": 85.0,
    "B": 82.0,
    "C": 80.0,
    "D": 55.0,
    "E": 75.0,
    "H": 120.0,
    "K": 55.0,
    "L": 90.0,
    "M": 86.0,
    "O": 135.0,
    "P": 108.0,
    "R": None,
    "S": 90.0,
    "T": 60.0,
    "V": 35.0,
    "W": 80.0,
}
"""Shape letter to the angle of the cutting corner in degrees; None for a round insert."""

UNEQUAL_SIDES = frozenset("ABKL")
"""Parallelograms and rectangles: no inscribed circle fixes their size."""

CLEARANCES: dict[str, float | None] = {
    "A": 3.0,
    "B": 5.0,
    "C": 7.0,
    "D": 15.0,
    "E": 20.0,
    "F": 25.0,
    "G": 30.0,
    "N": 0.0,
    "P": 11.0,
    "O": None,
}
"""Letter to the normal clearance in degrees; None for a special one."""

TOLERANCE_CLASSES = "ACEFGHJKLMNU"
TYPES = "ABCFGHJMNQRTUWX"
"""Letters for hole, countersink and chip breaker."""

CIRCLE_BY_CODE: dict[str, dict[str, float]] = {
    "C": {
        "03": 5 / 32,
        "04": 3 / 16,
        "05": 7 / 32,
        "06": 1 / 4,
        "08": 5 / 16,
        "09": 3 / 8,
        "12": 1 / 2,
        "16": 5 / 8,
        "19": 3 / 4,
        "25": 1.0,
    },
    "D": {
        "06": 7 / 32,
        "07": 1 / 4,
        "09": 5 / 16,
        "11": 3 / 8,
        "15": 1 / 2,
        "19": 5 / 8,
        "23": 3 / 4,
        "31": 1.0,
    },
    "S": {
        "05": 7 / 32,
        "06": 1 / 4,
        "07": 5 / 16,
        "09": 3 / 8,
        "12": 1 / 2,
        "15": 5 / 8,
        "19": 3 / 4,
        "25": 1.0,
    },
    "T": {
        "06": 5 / 32,
        "08": 3 / 16,
        "09": 7 / 32,
        "11": 1 / 4,
        "13": 5 / 16,
        "16": 3 / 8,
        "22": 1 / 2,
        "27": 5 / 8,
        "33": 3 / 4,
        "44": 1.0,
        "54": 5 / 4,
    },
    "V": {
        "09": 7 / 32,
        "11": 1 / 4,
        "13": 5 / 16,
        "16": 3 / 8,
        "22": 1 / 2,
        "27": 5 / 8,
        "33": 3 / 4,
        "44": 1.0,
    },
    "W": {
        "L3": 3 / 16,
        "03": 7 / 32,
        "04": 1 / 4,
        "05": 5 / 16,
        "06": 3 / 8,
        "08": 1 / 2,
        "10": 5 / 8,
        "13": 3 / 4,
        "17": 1.0,
    },
    "R": {
        "06": 1 / 4,
        "09": 3 / 8,
        "12": 1 / 2,
        "15": 5 / 8,
        "19": 3 / 4,
        "25": 1.0,
    },
}
"""Shape and size code to the inscribed circle in inches, in which these sizes are made."""

DOUBTFUL_CODES: dict[tuple[str, str], str] = {
    ("C", "03"): "tables disagree on size 03 of shape C: inscribed circle 3.97 taken, verify",
    ("W", "L3"): "size L3 of shape W stands on some tables only: inscribed circle 4.76 taken",
    ("V", "44"): "size 44 of shape V is uncertain: inscribed circle 25.4 taken, verify",
    ("W", "17"): "size 17 of shape W is uncertain: inscribed circle 25.4 taken, verify",
}

METRIC_ROUND_MM: dict[str, float] = {
    "06": 6.0,
    "08": 8.0,
    "10": 10.0,
    "12": 12.0,
    "16": 16.0,
    "20": 20.0,
    "25": 25.0,
    "32": 32.0,
}
"""Size code of a round insert with a metric diameter."""

THICKNESS_MM: dict[str, float] = {
    "01": 1.59,
    "T1": 1.98,
    "02": 2.38,
    "T2": 2.78,
    "03": 3.18,
    "T3": 3.97,
    "04": 4.76,
    "05": 5.56,
    "06": 6.35,
    "07": 7.94,
    "09": 9.52,
}

USUAL_RADIUS_CODES = ("00", "01", "02", "04", "08", "12", "16", "20", "24", "32")
"""Corner radius in tenths of a millimetre; other digits are read with a warning."""

INCH_CIRCLE: dict[str, float] = {
    "1.2": 5 / 32,
    "1.5": 3 / 16,
    "1.8": 7 / 32,
    "2": 1 / 4,
    "2.5": 5 / 16,
    "3": 3 / 8,
    "4": 1 / 2,
    "5": 5 / 8,
    "6": 3 / 4,
    "7": 7 / 8,
    "8": 1.0,
    "10": 5 / 4,
}
"""Eighths of an inch as charts write them, to the inscribed circle in inches."""

INCH_THICKNESS_MM: dict[str, float] = {
    "1": 1.59,
    "1.2": 1.98,
    "1.5": 2.38,
    "2": 3.18,
    "2.5": 3.97,
    "3": 4.76,
    "3.5": 5.56,
    "4": 6.35,
    "5": 7.94,
    "6": 9.52,
}
"""Sixteenths of an inch to the thickness in millimetres."""

INCH_RADIUS_MM: dict[str, float] = {
    "0": 0.0,
    "0.5": 0.2,
    "1": 0.4,
    "2": 0.8,
    "3": 1.2,
    "4": 1.6,
    "5": 2.0,
    "6": 2.4,
    "8": 3.2,
}
"""Sixty-fourths of an inch to the radius that ISO 1832 prints for the same insert."""
