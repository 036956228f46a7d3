"""The sizes that come out: diameters and lengths of the section that is left, beside those wanted.

Frame: the finished part's own, z = 0 at its front face and negative inwards, millimetres.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Part, WantedSize
from standclear.proof.result import SizeFound
from standclear.proof.section import rectangle
from standclear.proof.skin import LEAST_SKIN_MM
from standclear.sweeps.areas import SLIVER_MM, common, less, union

WIDE = 1e6
GENERAL_TOLERANCE_MM = 0.1
"""Plus or minus, on diameters and lengths, where the job gives an outline and no size: common
practice for a turned size without a tolerance, no source."""
BLEND_MM = 2.0
"""How far the cuts of two ends may overlap where they meet; common practice, no source."""
FLAT_MM = 0.05
"""Shortest straight stretch of an outline whose diameter is worth a line of its own."""


def sizes_of(left: BaseGeometry, part: Part) -> tuple[SizeFound, ...]:
    """Sizes of `left` beside those that the part asks for, or that its outline implies.

    A pip on the axis that may be nothing but the error of the sweeps is no part of a face. Where
    nothing is left, every size is 0.
    """
    left = common(left, rectangle(-WIDE, WIDE, SLIVER_MM, WIDE))
    wanted = list(part.sizes) or _from_outline(part)
    found = [_one(left, size) for size in wanted]
    if not any(s.kind == "length" and s.wanted == part.length for s in found):
        found.append(_overall(left, part.length, (-GENERAL_TOLERANCE_MM, GENERAL_TOLERANCE_MM)))
    return tuple(found)


def sizes_over(
    nominal: BaseGeometry, least: BaseGeometry, most: BaseGeometry, part: Part
) -> tuple[SizeFound, ...]:
    """Sizes of `nominal`, each with the range that the tolerances leave it and judged over that.

    The range reaches as far to either side as `least` or `most` lies off: what may come out larger
    by wear or touching off may come out smaller by as much.
    """
    found = []
    for size, *others in zip(*(sizes_of(a, part) for a in (nominal, least, most)), strict=True):
        spread = max(abs(other.found - size.found) for other in others)
        low, high = size.found - spread, size.found + spread
        right = all(
            _judged("", "", 0.0, 0.0, at, size.wanted, size.tolerance).right
            for at in (low, high)
            if size.wanted is not None and size.tolerance is not None
        )
        found.append(replace(size, right=right, least=low, most=high))
    return tuple(found)


def _from_outline(part: Part) -> list[WantedSize]:
    """Every straight stretch of the outline along the axis, and every shoulder between them."""
    if part.outline is None:
        return []
    tolerance = (-GENERAL_TOLERANCE_MM, GENERAL_TOLERANCE_MM)
    wanted = []
    for (z0, d0), (z1, d1) in pairwise(part.outline):
        if d0 == d1 and abs(z1 - z0) > FLAT_MM and d0 > 0:
            wanted.append(WantedSize(diameter=d0, at_z=(z0 + z1) / 2, tolerance=tolerance))
        if z0 == z1 and abs(d1 - d0) > FLAT_MM and z0 not in (0.0, -part.length):
            wanted.append(WantedSize(length=-z0, tolerance=tolerance))
    return wanted


def _one(left: BaseGeometry, size: WantedSize) -> SizeFound:
    if size.length is not None:
        return _length(left, size.length, size.tolerance, size.name)
    assert size.diameter is not None
    at = size.at_z if size.at_z is not None else 0.0
    line = shapely.LineString([(at, -1.0), (at, WIDE)]).intersection(left)
    kind = "bore" if size.inside else "diameter"
    if line.is_empty:
        found = 0.0
    else:
        low, high = line.bounds[1], line.bounds[3]
        found = 2 * (max(low, 0.0) if size.inside else high)
    name = size.name or f"{kind} {size.diameter:g} at Z{at:g}"
    return _judged(name, kind, at, at, found, size.diameter, size.tolerance)


def _length(
    left: BaseGeometry, wanted: float, tolerance: tuple[float, float], name: str
) -> SizeFound:
    """Distance from the front face to the flat face nearest to `wanted`."""
    front = left.bounds[2] if not left.is_empty else 0.0
    faces = sorted(_flat_faces(left), key=lambda z: abs(front - z - wanted))
    found = front - faces[0] if faces else 0.0
    return _judged(
        name or f"length {wanted:g}", "length", front - found, front, found, wanted, tolerance
    )


def _overall(left: BaseGeometry, wanted: float, tolerance: tuple[float, float]) -> SizeFound:
    z_min, _, z_max, _ = left.bounds if not left.is_empty else (0.0, 0.0, 0.0, 0.0)
    return _judged("overall length", "length", z_min, z_max, z_max - z_min, wanted, tolerance)


def _flat_faces(left: BaseGeometry) -> set[float]:
    """Z of every face square to the axis."""
    faces = set()
    for part in shapely.get_parts(left):
        ring = shapely.get_coordinates(shapely.get_exterior_ring(part))
        for (z0, r0), (z1, r1) in pairwise(ring):
            if abs(z0 - z1) < 1e-9 and abs(r1 - r0) > FLAT_MM:
                faces.add(float(z0))
    return faces


def _judged(
    name: str,
    kind: str,
    z_from: float,
    z_to: float,
    found: float,
    wanted: float,
    tolerance: tuple[float, float],
) -> SizeFound:
    off = found - wanted
    noise = 1e-6
    right = tolerance[0] - noise <= off <= tolerance[1] + noise
    return SizeFound(name, kind, z_from, z_to, found, wanted, tolerance, right)


def allowed_under(part: Part) -> float:
    """How far, mm on radius, a cut may go under the finished outline: half of the widest lower
    tolerance that the part's diameters have, the general tolerance where it has none."""
    lower = [-s.tolerance[0] for s in part.sizes if s.diameter is not None and not s.inside]
    return max([*lower, 0.0 if lower else GENERAL_TOLERANCE_MM]) / 2


def finished_columns(left: BaseGeometry, clean: BaseGeometry) -> BaseGeometry:
    """What of `left` lies under diameters that a set-up has turned: the finished section of its
    end where the job gives no outline. `clean` is the raw outline less its skin.

    Next to the skin the last `BLEND_MM` are left out: two ends may overlap where they meet.
    """
    skin = common(left, rectangle(-WIDE, WIDE, clean.bounds[3] - LEAST_SKIN_MM, WIDE))
    columns = [
        rectangle(p.bounds[0] - BLEND_MM, p.bounds[2] + BLEND_MM, -1.0, WIDE)
        for p in shapely.get_parts(skin)
        if not p.is_empty
    ]
    return less(left, union(columns)) if columns else left
