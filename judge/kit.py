"""Tools of a random job, as tables of the job file in mm.

Points are (z, r) from the controlled point.
"""

from __future__ import annotations

import math
from random import Random
from typing import Any

Tool = dict[str, Any]


def _polar(length: float, degrees: float) -> tuple[float, float]:
    return (
        length * math.cos(math.radians(degrees)),
        length * math.sin(math.radians(degrees)),
    )


def turning(station: int, side: float, end: float, end_angle: float, nose: float,
            shank: float = 20.0) -> Tool:  # fmt: skip
    """Outside right-hand tool, its side edge at 95 degrees, `side` and `end` mm of edge."""
    end_z, end_r = _polar(end, end_angle)
    side_z, side_r = _polar(side, 85.0)
    recess = side_z + 0.5
    points = [
        (0.0, 0.0), (end_z, end_r), (max(shank, end_z + 4), end_r + 3.0),
        (max(shank, end_z + 4), side_r + 60.0), (recess, side_r + 60.0), (recess, side_r + 1.0),
        (side_z, side_r),
    ]  # fmt: skip
    outline: dict[str, Any] = {"points": points, "cutting": [0, 6]}
    if nose > 0:
        outline["corners"] = [{"point": 0, "radius": nose}]
    return {"station": station, "outline": outline}


def profiling(station: int, side: float, heel_angle: float, shank: float = 22.0,
              side_angle: float = 87.0) -> Tool:  # fmt: skip
    """Outside tool for finishing: a short end edge, then a heel that does not cut."""
    edge_z, edge_r = _polar(2.5, heel_angle)
    heel_z, heel_r = _polar(9.0, heel_angle)
    side_z, side_r = _polar(side, side_angle)
    recess = side_z + 0.4
    points = [
        (0.0, 0.0), (edge_z, edge_r), (heel_z, heel_r), (shank, heel_r + 3.0),
        (shank, side_r + 60.0), (recess, side_r + 60.0), (recess, side_r + 1.0), (side_z, side_r),
    ]  # fmt: skip
    return {"station": station, "outline": {"points": points, "cutting": [0, 7]}}


def nosed(tool: Tool, radius: float, below: bool = False) -> Tool:
    """The same tool with its corner rounded and moved so that the controlled point is the imaginary
    tip of that nose; `below` for a boring bar, whose nose lies under its tip."""
    outline = tool["outline"]
    points = outline["points"]
    here, a, b = points[0], points[-1], points[1]
    ua, ub = _unit(a, here), _unit(b, here)
    half = math.acos(ua[0] * ub[0] + ua[1] * ub[1]) / 2
    mid = (ua[0] + ub[0], ua[1] + ub[1])
    size = math.hypot(*mid)
    reach = radius / math.sin(half)
    centre = (here[0] + mid[0] / size * reach, here[1] + mid[1] / size * reach)
    dz, dr = radius - centre[0], (-radius if below else radius) - centre[1]
    moved = [(round(z + dz, 5), round(r + dr, 5)) for z, r in points]
    corners = [{"point": 0, "radius": radius}]
    return {**tool, "tip": 2 if below else 3,
            "outline": {**outline, "points": moved, "corners": corners}}  # fmt: skip


def _unit(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float]:
    size = math.dist(a, b)
    return (a[0] - b[0]) / size, (a[1] - b[1]) / size


def grooving(station: int, width: float, blade: float, reach: float, rng: Random) -> Tool:
    """Outside grooving tool, as its own table or drawn as an outline."""
    height = min(2.0, reach / 2)
    body = width + 8.0
    if rng.random() < 0.4:
        return {
            "station": station,
            "grooving": {
                "width": width, "reach": reach, "blade": blade, "edge_height": height,
                "body": body,
            },
        }  # fmt: skip
    gap = (width - blade) / 2
    left, right = width / 2 - body / 2, width / 2 + body / 2
    points = [
        (0.0, 0.0), (width, 0.0), (width, height), (width - gap, height), (width - gap, reach),
        (right, reach), (right, reach + 50.0), (left, reach + 50.0), (left, reach),
        (gap, reach), (gap, height), (0.0, height),
    ]  # fmt: skip
    cutting = [0, 1, 11]
    if abs(gap) < 1e-9:
        keep = [0, 1, 2, 4, 5, 6, 7, 8, 9, 11]
        points = [points[i] for i in keep]
        cutting = [0, 1, 9]
    return {"station": station, "outline": {"points": points, "cutting": cutting}}


def drill(station: int, diameter: float, length: float) -> Tool:
    """Drill on the centre line."""
    return {
        "station": station,
        "drill": {
            "diameter": diameter, "point_angle": 118.0, "length": length,
            "holder_diameter": diameter + 16.0,
        },
    }  # fmt: skip


def boring(station: int, bar: float, edge: float) -> Tool:
    """Boring bar of diameter `bar`, its tip 1.5 mm above the bar; `edge` mm of leading edge."""
    tip = 1.5
    front_z, front_r = _polar(edge, -85.0)
    back_z, back_r = _polar(3.5, -20.0)
    points = [
        (0.0, 0.0), (front_z, front_r), (front_z + 0.3, front_r - 0.2),
        (front_z + 0.3, -(tip + bar)), (100.0, -(tip + bar)), (100.0, -tip),
        (back_z + 1.0, -tip), (back_z, back_r),
    ]  # fmt: skip
    return {"station": station, "outline": {"points": points, "cutting": [0, 7]}}


def tap(station: int, hole: float, crest: float, length: float) -> Tool:
    """Tap on the centre line; `hole` and `crest` are radii."""
    return {
        "station": station,
        "tap": {
            "diameter": crest * 2, "hole": hole * 2, "length": length,
            "holder_diameter": crest * 2 + 12.0,
        },
    }  # fmt: skip


def away(tool: Tool) -> Tool:
    """The left-hand twin of an outside tool, cutting away from the chuck: mirrored along z. Its
    outline runs the other way round."""
    outline = tool["outline"]
    mirrored = {**tool, "outline": {**outline, "points": [(-z, r) for z, r in outline["points"]]}}
    if "tip" in tool:
        mirrored["tip"] = {3: 4, 2: 1}[tool["tip"]]
    return mirrored


def inside_grooving(station: int, width: float, reach: float, bar: float) -> Tool:
    """Bar of diameter `bar` with a blade of `reach`; controlled at the chuck side of its edge."""
    low = -(reach + bar)
    height = min(1.5, reach / 2)
    points = [
        (0.0, 0.0), (0.0, -height), (0.0, -reach), (-0.5, -reach), (-0.5, low), (100.0, low),
        (100.0, -reach), (width, -reach), (width, -height), (width, 0.0),
    ]  # fmt: skip
    return {"station": station, "outline": {"points": points, "cutting": [0, 8, 9]}}


def face_grooving(station: int, width: float, reach: float) -> Tool:
    """Blade of `reach` along z, controlled at the corner of its edge that is nearer the axis."""
    height = min(2.0, reach / 2)
    points = [
        (0.0, 0.0), (height, 0.0), (reach, 0.0), (reach, -4.0), (reach + 50.0, -4.0),
        (reach + 50.0, width + 5.0), (reach, width + 5.0), (reach, width), (height, width),
        (0.0, width),
    ]  # fmt: skip
    return {"station": station, "outline": {"points": points, "cutting": [0, 8, 9]}}
