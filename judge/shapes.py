"""Tools as polygons from the controlled point, and the sample points of their outline.

Frame: (z, r) from the controlled point, mm. Polygons run counter-clockwise.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from judge.compiled import loop
from judge.motion import Point, Undecided
from judge.nose import Nose

BODY_MM = 80.0
"""How far a holder described only by its width reaches away from the work."""

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Shape:
    """A tool: its polygon and which of its edges cut."""

    points: Floats
    """(n, 2)."""
    cuts: NDArray[np.bool_]
    """Edge i runs from point i to point i + 1."""
    turns: int
    """The spindle direction it cuts with."""
    drill: bool = False
    """True: round about the axis, cuts only along z at r = 0."""
    core: Shape | None = None
    """Of a tap: what of it does not fit between the crests of its thread."""


@dataclass(frozen=True)
class Samples:
    """Points along the outline of a tool, every coordinate as its own array."""

    z: Floats
    r: Floats
    nz: Floats
    """Outward normal of the edge."""
    nr: Floats
    cut: NDArray[np.bool_]
    inner_z: Floats
    """The point moved inwards."""
    inner_r: Floats
    inner_ok: NDArray[np.bool_]
    """False where the point moved inwards has left the tool, or nearly."""
    edges: NDArray[np.int64]
    """Where the points of each edge begin, and their number at the end."""


def _rounded(points: list[Point], cuts: list[bool], corners: Mapping[int, float]
             ) -> tuple[list[Point], list[bool]]:  # fmt: skip
    """The polygon with the given corners drawn as arcs; an arc cuts where both its edges do."""
    out: list[Point] = []
    flags: list[bool] = []
    count = len(points)
    for i, here in enumerate(points):
        if i not in corners:
            out.append(here)
            flags.append(cuts[i])
            continue
        radius = corners[i]
        a, b = points[i - 1], points[(i + 1) % count]
        ua = _unit(a[0] - here[0], a[1] - here[1])
        ub = _unit(b[0] - here[0], b[1] - here[1])
        half = math.acos(max(-1.0, min(1.0, ua[0] * ub[0] + ua[1] * ub[1]))) / 2
        length = radius / math.tan(half)
        mid = _unit(ua[0] + ub[0], ua[1] + ub[1])
        reach = radius / math.sin(half)
        centre = (here[0] + mid[0] * reach, here[1] + mid[1] * reach)
        first = (here[0] + ua[0] * length, here[1] + ua[1] * length)
        last = (here[0] + ub[0] * length, here[1] + ub[1] * length)
        from_angle = math.atan2(first[1] - centre[1], first[0] - centre[0])
        turn = math.atan2(last[1] - centre[1], last[0] - centre[0]) - from_angle
        turn = (turn + math.pi) % (2 * math.pi) - math.pi
        steps = max(4, math.ceil(abs(turn) / 0.1))
        for k in range(steps + 1):
            angle = from_angle + turn * k / steps
            out.append((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)))
            flags.append((cuts[i - 1] and cuts[i]) if k < steps else cuts[i])
    return out, flags


def _unit(z: float, r: float) -> Point:
    size = math.hypot(z, r)
    return z / size, r / size


def _from_outline(table: Mapping[str, Any], unit: float) -> tuple[list[Point], list[bool]]:
    points = [(z * unit, r * unit) for z, r in table["points"]]
    marked = set(table["cutting"])
    cuts = [i in marked for i in range(len(points))]
    corners = {c["point"]: c["radius"] * unit for c in table.get("corners", ())}
    return _rounded(points, cuts, corners)


def _from_grooving(table: Mapping[str, Any], unit: float) -> tuple[list[Point], list[bool]]:
    """The blade stands centred behind the edge. The job does not say to which side of it the body
    lies: it is drawn as far as it could reach to either. Outside tools with sharp corners only."""
    if table.get("where", "outside") != "outside" or table.get("corner_radius", 0.0):
        raise Undecided("grooving tool inside, on the face or with rounded corners")
    width = table["width"] * unit
    reach = table["reach"] * unit
    blade = (table.get("blade") or table["width"]) * unit
    height = min((table.get("edge_height") or table["width"]) * unit, reach)
    body = max(table.get("body", 20.0 / unit) * unit, blade)
    shift = 0.0 if table.get("controlled", "chuck-side") == "chuck-side" else -width
    mid = width / 2
    right = [
        (width, 0.0), (width, height), (mid + blade / 2, height), (mid + blade / 2, reach),
        (body, reach), (body, reach + BODY_MM),
    ]  # fmt: skip
    left = [(width - z, r) for z, r in reversed(right)]
    points = [(z + shift, r) for z, r in right + left]
    cuts = [False] * len(points)
    cuts[0] = cuts[-2] = cuts[-1] = True
    return points, cuts


def _from_drill(table: Mapping[str, Any], unit: float) -> tuple[list[Point], list[bool]]:
    half = table["diameter"] * unit / 2
    point = half / math.tan(math.radians(table.get("point_angle", 118.0)) / 2)
    length = table["length"] * unit
    holder = (table.get("holder_diameter") or table["diameter"]) * unit / 2
    upper = [
        (point, half), (length, half), (length, holder), (length + BODY_MM, holder),
    ]  # fmt: skip
    lower = [(z, -r) for z, r in upper]
    points = [(0.0, 0.0), *lower, *reversed(upper)]
    cuts = [False] * len(points)
    cuts[0] = cuts[-1] = True
    return points, cuts


def _from_tap(table: Mapping[str, Any], unit: float, across: float
              ) -> tuple[list[Point], list[bool]]:  # fmt: skip
    """A cylinder with a square end; `across` is its diameter. None of it cuts: a tap opens no
    hole."""
    half, length = across * unit / 2, table["length"] * unit
    holder = (table.get("holder_diameter") or table["diameter"]) * unit / 2
    upper = [(0.0, half), (length, half), (length, holder), (length + BODY_MM, holder)]
    points = [(0.0, 0.0), *((z, -r) for z, r in upper), *reversed(upper)]
    return points, [False] * len(points)


def _from_threading(table: Mapping[str, Any], unit: float) -> tuple[list[Point], list[bool]]:
    """A pointed insert, flat or rounded at its tip, as wide behind its flanks as they are there;
    the body as far as it could reach to either side. Outside tools only."""
    if table.get("where", "outside") != "outside":
        raise Undecided("threading tool inside, by its sizes")
    side, flat = table["width"] * unit / 2, table.get("flat", 0.0) * unit
    nose, reach = table.get("nose_radius", 0.0) * unit, table["reach"] * unit
    half = math.radians(table.get("angle", 60.0)) / 2
    beyond = nose * (1 / math.sin(half) - 1)
    high = (side - flat / 2) / math.tan(half) - beyond
    body = max(table.get("body", 20.0 / unit) * unit, 2 * side)
    right = [
        (side, high), (side, reach), (body - side, reach), (body - side, reach + BODY_MM),
    ]  # fmt: skip
    tip = [(-flat / 2, 0.0), (flat / 2, 0.0)] if flat > 0 else [(0.0, -beyond)]
    points = [*tip, *right, *((-z, r) for z, r in reversed(right))]
    cuts = [i < len(tip) or i == len(points) - 1 for i in range(len(points))]
    return _rounded(points, cuts, {0: nose}) if nose > 0 else (points, cuts)


def tool_shape(table: Mapping[str, Any], unit: float) -> Shape:
    """The shape of one tool of the job; `unit` is mm in one unit of the job."""
    if table.get("outline"):
        points, cuts = _from_outline(table["outline"], unit)
    elif table.get("grooving"):
        points, cuts = _from_grooving(table["grooving"], unit)
    elif table.get("drill"):
        points, cuts = _from_drill(table["drill"], unit)
    elif table.get("tap"):
        points, cuts = _from_tap(table["tap"], unit, table["tap"]["diameter"])
    elif table.get("threading"):
        points, cuts = _from_threading(table["threading"], unit)
    else:
        raise Undecided("tool by designation")
    turns = 1 if table.get("cuts_with", "M03") == "M03" else -1
    core = None
    if table.get("tap"):
        core = _shape(*_from_tap(table["tap"], unit, table["tap"]["hole"]), turns, True)
    return replace(_shape(points, cuts, turns, core is not None or "drill" in table), core=core)


def _shape(points: list[Point], cuts: list[bool], turns: int, on_axis: bool) -> Shape:
    """Without edges of no length, counter-clockwise."""
    keep = [i for i in range(len(points)) if math.dist(points[i], points[(i + 1) % len(points)])
            > 1e-9]  # fmt: skip
    outline = np.array([points[i] for i in keep])
    flags = np.array([cuts[i] for i in keep])
    z, r = outline[:, 0], outline[:, 1]
    if float(np.sum(z * np.roll(r, -1) - np.roll(z, -1) * r)) < 0:
        outline = outline[::-1].copy()
        flags = np.roll(flags[::-1], -1).copy()
    return Shape(outline, flags, turns, on_axis)


def nose_of(table: Mapping[str, Any], unit: float) -> Nose | None:
    """The nose that compensation goes by: its radius and the direction of its tip; None for a tool
    without exactly one rounded corner, or whose tip no direction fits."""
    outline = table.get("outline") or {}
    corners = outline.get("corners", ())
    if len(corners) != 1:
        return None
    radius, at = corners[0]["radius"] * unit, corners[0]["point"]
    if table.get("tip") is not None:
        return Nose(radius, int(table["tip"]))
    points = [(z * unit, r * unit) for z, r in outline["points"]]
    here, a, b = points[at], points[at - 1], points[(at + 1) % len(points)]
    ua, ub = _unit(a[0] - here[0], a[1] - here[1]), _unit(b[0] - here[0], b[1] - here[1])
    half = math.acos(max(-1.0, min(1.0, ua[0] * ub[0] + ua[1] * ub[1]))) / 2
    mid = _unit(ua[0] + ub[0], ua[1] + ub[1])
    centre = (
        here[0] + mid[0] * radius / math.sin(half), here[1] + mid[1] * radius / math.sin(half),
    )  # fmt: skip
    for tip in range(9):
        offset = Nose(radius, tip).offset
        if math.dist((-centre[0], -centre[1]), offset) < 0.05 * radius:
            return Nose(radius, tip)
    return None


def upper_half(shape: Shape) -> Shape:
    """The half of a drill above the axis, for moves along it: the other half is its mirror."""
    keep = np.flatnonzero(shape.points[:, 1] >= -1e-9)
    points = shape.points[keep]
    start = int(np.flatnonzero((points[:, 0] == 0) & (points[:, 1] == 0))[0])
    points = np.roll(points, -start, axis=0)
    foot = np.array([[points[1, 0], 0.0]])
    cuts = np.zeros(len(points) + 1, dtype=bool)
    cuts[-1] = bool(shape.cuts.any())
    outline = np.vstack([points[:1], foot, points[1:]])
    return Shape(outline, cuts, shape.turns, True)


@loop
def _inside(points: Floats, z: Floats, r: Floats) -> tuple[NDArray[np.bool_], Floats]:
    """Whether each place lies in the polygon, and how far from its outline."""
    n = len(points)
    inside = np.zeros(len(z), np.bool_)
    nearest = np.full(len(z), np.inf)
    for k in range(n):
        az, ar = points[k, 0], points[k, 1]
        bz, br = points[(k + 1) % n, 0], points[(k + 1) % n, 1]
        dz, dr = bz - az, br - ar
        size = dz * dz + dr * dr
        for i in range(len(z)):
            if (ar > r[i]) != (br > r[i]) and z[i] < az + (r[i] - ar) * dz / dr:
                inside[i] = not inside[i]
            share = min(1.0, max(0.0, ((z[i] - az) * dz + (r[i] - ar) * dr) / size))
            away = math.hypot(z[i] - az - share * dz, r[i] - ar - share * dr)
            nearest[i] = min(nearest[i], away)
    return inside, nearest


def sample(shape: Shape, pixel: float) -> Samples:
    """Points of the outline: a quarter of a pixel apart on cutting edges, half on the others.

    The ends of every edge are among its points. Inner points lie 0.7 pixel inside.
    """
    parts: list[Floats] = []
    flags: list[NDArray[np.bool_]] = []
    for i, (a, b) in enumerate(zip(shape.points, np.roll(shape.points, -1, axis=0), strict=True)):
        length = float(np.hypot(*(b - a)))
        count = max(1, math.ceil(length / (pixel * (0.25 if shape.cuts[i] else 0.5))))
        share = np.linspace(0.0, 1.0, count + 1)[:, None]
        along = (b - a) / length
        normal = np.broadcast_to(np.array([along[1], -along[0]]), (count + 1, 2))
        parts.append(np.hstack([a + share * (b - a), normal]))
        flags.append(np.full(count + 1, bool(shape.cuts[i])))
    rows = np.ascontiguousarray(np.vstack(parts).T)
    inner_z, inner_r = rows[0] - 0.7 * pixel * rows[2], rows[1] - 0.7 * pixel * rows[3]
    inside, away = _inside(shape.points, inner_z, inner_r)
    return Samples(
        rows[0], rows[1], rows[2], rows[3], np.concatenate(flags),
        inner_z, inner_r, inside & (away >= 0.65 * pixel),
        np.cumsum([0, *(len(part) for part in parts)]),
    )  # fmt: skip
