"""Indexable inserts by their designation: ISO 1832 (CNMG120408) and ANSI B212.4 (CNMG432).

Lengths in millimetres, angles in degrees. The corner radius is the one that ISO 1832 prints: an
insert made to inches has n/64 in instead, smaller by 0.003 mm at 0.4 and by 0.0125 mm at 1.6.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from standclear.tools.errors import DesignationError
from standclear.tools.insert_tables import (
    CIRCLE_BY_CODE,
    CLEARANCES,
    DOUBTFUL_CODES,
    INCH_CIRCLE,
    INCH_MM,
    INCH_RADIUS_MM,
    INCH_THICKNESS_MM,
    INCLUDED_ANGLES,
    METRIC_ROUND_MM,
    THICKNESS_MM,
    TOLERANCE_CLASSES,
    TYPES,
    UNEQUAL_SIDES,
    USUAL_RADIUS_CODES,
)
from standclear.tools.shape import in_both

_METRIC = re.compile(r"(?P<size>[0-9A-Z]\d)(?P<thickness>[0-9A-Z]\d)(?P<corner>[0-9A-Z]{2})")
_NUMBER = r"(?:\((\d+(?:\.\d+)?)\)|(\d(?:\.\d)?))"
_INCH = re.compile(_NUMBER * 3)
_EDGE_AND_HAND = re.compile(r"[EFKPST]?[LNR]?(-.*)?")
"""Positions 8 and 9 (state of the edge, hand) and the maker's own part after a dash."""

_RHOMBUS = frozenset("CDEMV")
_SIDES = {"T": 3, "S": 4, "P": 5, "H": 6, "O": 8}


@dataclass(frozen=True, slots=True)
class Insert:
    """An insert as its designation gives it."""

    designation: str
    shape: str
    included_angle: float | None
    """Angle of the cutting corner; None for a round insert."""
    clearance: str
    """Letter of the normal clearance."""
    clearance_angle: float | None
    """None where the letter says special."""
    tolerance_class: str
    type: str
    """Letter for hole, countersink and chip breaker."""
    circle_mm: float
    """Diameter of the inscribed circle; of the insert itself if round."""
    size_code: str | None
    """ISO 1832 size code, as a holder repeats it; None where no table has one."""
    thickness_mm: float
    corner_radius_mm: float
    """Half the diameter if round, 0 if sharp."""
    form: Literal["metric", "inch"]
    warnings: tuple[str, ...] = ()
    """Sentences: where the designation can be read in more than one way."""

    @property
    def edge_length_mm(self) -> float:
        """Length of an edge between sharp corners, from the inscribed circle (closed form)."""
        return edge_length(self.shape, self.circle_mm)


def edge_length(shape: str, circle_mm: float) -> float:
    """Edge between sharp corners of a shape with this inscribed circle, mm (closed forms)."""
    angle = INCLUDED_ANGLES[shape]
    if angle is None:
        return circle_mm
    if shape in _RHOMBUS:
        return circle_mm / math.sin(math.radians(angle))
    if shape == "W":
        return circle_mm / 2 * (_cot(40.0) + _cot(80.0))
    return circle_mm * math.tan(math.pi / _SIDES[shape])


def read_insert(designation: str) -> Insert:
    """Decode an insert designation, metric or inch.

    Raises `DesignationError` naming the position, what was found and what is accepted.
    """
    text = re.sub(r"\s+", "", designation).upper()
    letters = (
        (1, "shape", tuple(INCLUDED_ANGLES)),
        (2, "normal clearance", tuple(CLEARANCES)),
        (3, "tolerance class", tuple(TOLERANCE_CLASSES)),
        (4, "type", tuple(TYPES)),
    )
    for position, what, accepted in letters:
        found = text[position - 1 : position]
        if found not in accepted:
            raise DesignationError(designation, position, what, found, accepted)
    if text[0] in UNEQUAL_SIDES:
        fixed = [s for s in INCLUDED_ANGLES if s not in UNEQUAL_SIDES]
        raise DesignationError(
            designation, 1, "shape with unequal sides, describe it by `outline`", text[0], fixed
        )
    rest = text[4:]
    metric = _METRIC.match(rest)
    if metric and _EDGE_AND_HAND.fullmatch(rest[metric.end() :]):
        return _metric(designation, text, metric)
    inch = _INCH.match(rest)
    if inch and _EDGE_AND_HAND.fullmatch(rest[inch.end() :]):
        numbers = [a or b for a, b in zip(inch.groups()[::2], inch.groups()[1::2], strict=True)]
        return _inch(designation, text, numbers)
    raise DesignationError(
        designation,
        5,
        "size, thickness and corner",
        rest,
        ("six characters such as 120408 or 09T304", "inch numbers such as 432 or 3(2.5)1"),
    )


def _metric(designation: str, text: str, match: re.Match[str]) -> Insert:
    shape = text[0]
    size, corner = match["size"], match["corner"]
    warnings: list[str] = []
    if shape == "R":
        circle = _round_diameter(designation, size, corner, warnings)
        radius = circle / 2
    else:
        sizes = CIRCLE_BY_CODE.get(shape)
        if sizes is None:
            raise DesignationError(
                designation,
                1,
                "shape with a size code from the table; others in inch form",
                shape,
                CIRCLE_BY_CODE,
            )
        if size not in sizes:
            raise DesignationError(designation, 5, "size", size, sizes)
        circle = sizes[size] * INCH_MM
        if (shape, size) in DOUBTFUL_CODES:
            warnings.append(f"{designation}: {DOUBTFUL_CODES[shape, size]}")
        radius = _radius(designation, corner, warnings)
    thickness = match["thickness"]
    if thickness not in THICKNESS_MM:
        raise DesignationError(designation, 6, "thickness", thickness, THICKNESS_MM)
    return _insert(
        designation, text, circle, size, THICKNESS_MM[thickness], radius, "metric", warnings
    )


def _round_diameter(designation: str, size: str, corner: str, warnings: list[str]) -> float:
    """Diameter of a round insert: `M0` says metric, `00` says made to inches."""
    inches = CIRCLE_BY_CODE["R"]
    if corner == "M0":
        if size not in METRIC_ROUND_MM:
            raise DesignationError(designation, 5, "metric diameter", size, METRIC_ROUND_MM)
        return METRIC_ROUND_MM[size]
    if corner != "00":
        raise DesignationError(designation, 7, "corner of a round insert", corner, ("00", "M0"))
    if size in inches:
        return inches[size] * INCH_MM
    if size in METRIC_ROUND_MM:
        warnings.append(
            f"{designation}: 00 says made to inches, but no inch size has the code {size}; "
            f"diameter {in_both(METRIC_ROUND_MM[size])} taken"
        )
        return METRIC_ROUND_MM[size]
    raise DesignationError(designation, 5, "diameter", size, inches)


def _radius(designation: str, corner: str, warnings: list[str]) -> float:
    if not corner.isdigit():
        raise DesignationError(
            designation, 7, "corner radius in tenths of a millimetre", corner, USUAL_RADIUS_CODES
        )
    if corner not in USUAL_RADIUS_CODES:
        taken = in_both(int(corner) / 10)
        warnings.append(f"{designation}: corner {corner} is not a usual radius; {taken} taken")
    return int(corner) / 10


def _inch(designation: str, text: str, numbers: list[str]) -> Insert:
    size, thickness, corner = numbers
    checks = (
        (5, "size in eighths of an inch", size, INCH_CIRCLE),
        (6, "thickness in sixteenths of an inch", thickness, INCH_THICKNESS_MM),
        (7, "corner radius in sixty-fourths of an inch", corner, INCH_RADIUS_MM),
    )
    for position, what, found, table in checks:
        if found not in table:
            raise DesignationError(designation, position, what, found, table)
    circle = INCH_CIRCLE[size] * INCH_MM
    warnings = []
    if size in ("5", "6", "7"):
        warnings.append(
            f"{designation}: size {size} can mean {size}/8 in or, on small inserts, {size}/32 in; "
            f"{size}/8 in taken"
        )
    elif INCH_CIRCLE[size] < 1 / 4:
        warnings.append(
            f"{designation}: inserts under 1/4 in are counted in eighths or in thirty-seconds; "
            f"inscribed circle {in_both(round(circle, 3))} taken"
        )
    shape = text[0]
    radius = INCH_RADIUS_MM[corner]
    if shape == "R":
        if radius:
            raise DesignationError(designation, 7, "corner of a round insert", corner, ("0",))
        radius = circle / 2
    codes = {inches: code for code, inches in CIRCLE_BY_CODE.get(shape, {}).items()}
    return _insert(
        designation,
        text,
        circle,
        codes.get(INCH_CIRCLE[size]),
        INCH_THICKNESS_MM[thickness],
        radius,
        "inch",
        warnings,
    )


def _insert(
    designation: str,
    text: str,
    circle: float,
    size_code: str | None,
    thickness: float,
    radius: float,
    form: Literal["metric", "inch"],
    warnings: list[str],
) -> Insert:
    if text[1] == "O":
        warnings.append(f"{designation}: clearance O is special, the angle is not known")
    return Insert(
        designation=designation,
        shape=text[0],
        included_angle=INCLUDED_ANGLES[text[0]],
        clearance=text[1],
        clearance_angle=CLEARANCES[text[1]],
        tolerance_class=text[2],
        type=text[3],
        circle_mm=circle,
        size_code=size_code,
        thickness_mm=thickness,
        corner_radius_mm=radius,
        form=form,
        warnings=tuple(warnings),
    )


def _cot(degrees: float) -> float:
    return 1 / math.tan(math.radians(degrees))
