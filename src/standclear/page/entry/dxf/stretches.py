"""The lines and arcs of a DXF file as polylines in mm, each with the entity that it comes from."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from standclear.page.entry.part_rows import SAGITTA_MM

if TYPE_CHECKING:
    from ezdxf.document import Drawing

Point = tuple[float, float]
MM_OF_UNIT = {1: 25.4, 4: 1.0, 5: 10.0, 6: 1000.0, 14: 100.0}
"""`$INSUNITS`: inch, millimetre, centimetre, metre, decimetre."""
MOST_ENTITIES = 5000
CURVES = ("SPLINE", "ELLIPSE")
PLAIN = ("LINE", "ARC", "LWPOLYLINE", "POLYLINE")
PASSED_OVER = frozenset(
    {"TEXT", "MTEXT", "DIMENSION", "HATCH", "POINT", "LEADER", "MULTILEADER", "VIEWPORT", "IMAGE"}
    | {"ATTDEF", "TOLERANCE", "ARC_DIMENSION", "WIPEOUT", "XLINE", "RAY", "CIRCLE"}
)
"""What a drawing holds beside the outline, and what cannot be one."""
THIN_TYPES = ("CENT", "DASHDOT", "HIDDEN", "DASHED", "PHANTOM", "DIVIDE", "DOT", "ISO")
"""Beginnings of the names of line types that are no outline: centre, hidden and phantom lines."""


class NoProfile(ValueError):
    """A DXF file without a profile that can be read; the text says where and what is expected."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """One entity as a polyline in mm of the drawing."""

    name: str
    """`LINE 2F`: its kind and its handle in the file."""
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a file holds."""

    stretches: tuple[Stretch, ...]
    passed_over: tuple[str, ...]
    """Names of kinds that were left out, with their number: `3 TEXT`."""
    unit_stated: bool


def drawn_in(data: bytes, mm_of_unitless: float) -> Drawn:
    """The lines of a DXF file. `mm_of_unitless` is the unit of a file that states none.

    Raises NoProfile.
    """
    import ezdxf
    from ezdxf import recover

    try:
        document, _ = recover.read(io.BytesIO(data))
    except (OSError, ezdxf.DXFError, ValueError, KeyError, IndexError, TypeError) as error:
        raise NoProfile("the file is no DXF file that can be read: save it as DXF again") from error
    code = int(document.header.get("$INSUNITS", 0))
    if code and code not in MM_OF_UNIT:
        raise NoProfile(f"the drawing's unit has the code {code}: draw in mm or inches")
    scale = MM_OF_UNIT.get(code, mm_of_unitless)
    stretches: list[Stretch] = []
    others: dict[str, int] = {}
    for number, entity in enumerate(document.modelspace()):
        if number == MOST_ENTITIES:
            raise NoProfile(f"more than {MOST_ENTITIES} lines: save the outline alone")
        kind = entity.dxftype()
        if kind in PASSED_OVER or _is_thin(document, entity):
            others[kind] = others.get(kind, 0) + 1
            continue
        name = f"{kind} {entity.dxf.handle}"
        if kind == "INSERT":
            raise NoProfile(f"{name} is a block: explode it, so that its lines stand by themselves")
        if kind not in (*PLAIN, *CURVES):
            raise NoProfile(f"{name} is no line of a profile: give lines, arcs and polylines")
        for points in _polylines(entity, kind, name, scale):
            stretches.append(Stretch(name, points))
    if not stretches:
        raise NoProfile("the file holds no lines: draw the outline with lines, arcs or a polyline")
    passed = tuple(f"{count} {kind}" for kind, count in sorted(others.items()))
    return Drawn(tuple(stretches), passed, bool(code))


def _is_thin(document: Drawing, entity: Any) -> bool:
    """Whether the entity is drawn as a centre line, hidden or phantom line."""
    name = str(entity.dxf.get("linetype", "BYLAYER")).upper()
    if name == "BYLAYER":
        layer = entity.dxf.get("layer", "0")
        found = document.layers.get(layer) if document.layers.has_entry(layer) else None
        name = str(found.dxf.get("linetype", "CONTINUOUS")).upper() if found else "CONTINUOUS"
    return name.startswith(THIN_TYPES)


def _polylines(entity: Any, kind: str, name: str, scale: float) -> Iterator[tuple[Point, ...]]:
    """Raises NoProfile where the entity is not flat or a coordinate is no number."""
    sagitta = SAGITTA_MM / scale
    if kind == "LINE":
        raw = [tuple(entity.dxf.start), tuple(entity.dxf.end)]
    elif kind == "ARC":
        begin, end = math.radians(entity.dxf.start_angle), math.radians(entity.dxf.end_angle)
        sweep = (end - begin) % (2 * math.pi) or 2 * math.pi
        raw = _arc(tuple(entity.dxf.center), entity.dxf.radius, begin, sweep, sagitta)
    elif kind in CURVES:
        raw = [tuple(point) for point in entity.flattening(sagitta)]
    else:
        raw = _bulged(*_vertices(entity, kind, name), sagitta)
    points = [(float(p[0]) * scale, float(p[1]) * scale) for p in raw]
    if not all(math.isfinite(x) and math.isfinite(y) for x, y in points):
        raise NoProfile(f"{name} has a coordinate that is no number")
    if any(abs(float(p[2])) * scale > 1.0 for p in raw if len(p) > 2):
        raise NoProfile(f"{name} does not lie flat: draw the outline in one plane")
    kept = [p for i, p in enumerate(points) if not i or math.dist(p, points[i - 1]) > 1e-9]
    if len(kept) > 1:
        yield tuple(kept)


def _vertices(entity: Any, kind: str, name: str) -> tuple[list[tuple[Any, float]], bool]:
    """Places of a polyline, each with the bulge of what follows, and whether it closes."""
    if kind == "LWPOLYLINE":
        height = float(entity.dxf.elevation)
        return [((x, y, height), b) for x, y, b in entity.get_points("xyb")], bool(entity.closed)
    if entity.is_polygon_mesh or entity.is_poly_face_mesh:
        raise NoProfile(f"{name} is a mesh: give lines, arcs and polylines")
    found = [(tuple(v.dxf.location), float(v.dxf.get("bulge", 0.0))) for v in entity.vertices]
    return found, bool(entity.is_closed)


def _bulged(
    vertices: list[tuple[Any, float]], closed: bool, sagitta: float
) -> list[tuple[float, ...]]:
    """A polyline with its arcs; a bulge is the tangent of a quarter of the angle turned through,
    positive to the left (DXF reference, from memory)."""
    raw: list[tuple[float, ...]] = [vertices[0][0]] if vertices else []
    onward = [*vertices[1:], *([vertices[0]] if closed else [])]
    for (start, bulge), (end, _) in zip(vertices, onward, strict=False):
        chord = math.dist(start[:2], end[:2])
        if bulge and chord:
            turn = 4 * math.atan(bulge)
            heading = math.atan2(end[1] - start[1], end[0] - start[0])
            radius = chord / 2 / math.sin(abs(turn) / 2)
            side = math.copysign(math.pi / 2, turn)
            inward = heading - turn / 2 + side
            centre = (
                start[0] + radius * math.cos(inward),
                start[1] + radius * math.sin(inward),
                start[2],
            )
            raw += _arc(centre, radius, inward + math.pi, turn, sagitta)[1:-1]
        raw.append(end)
    return raw


def _arc(
    centre: tuple[float, ...], radius: float, begin: float, turn: float, sagitta: float
) -> list[tuple[float, ...]]:
    """Points on an arc, its ends included; angles in radians, `turn` positive to the left."""
    half = math.acos(max(1 - sagitta / radius, 0.0)) if radius > 0 else math.pi
    pieces = max(math.ceil(abs(turn) / (2 * half)), 1)
    return [
        (
            centre[0] + radius * math.cos(begin + turn * i / pieces),
            centre[1] + radius * math.sin(begin + turn * i / pieces),
            centre[2],
        )
        for i in range(pieces + 1)
    ]
