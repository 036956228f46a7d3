"""Drills on the centre line, by diameter, point angle and length."""

from __future__ import annotations

import math

import numpy as np
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Tool
from standclear.tools.errors import ToolError
from standclear.tools.measured import measured_outline
from standclear.tools.outline import Outline, united
from standclear.tools.shape import ToolShape, in_both

HOLDER_DIAMETER_MM = 60.0
"""Across a drill's holder where the job gives none; at least three times the drill."""
HOLDER_LENGTH_MM = 500.0
"""How far the holder goes on: as long as the longest shank of ISO 5608."""


def drill_tool(tool: Tool) -> ToolShape:
    """Shape of a tool given by `drill`, lengths in mm: point at (0, 0), even about r = 0.

    The two edges of the point cut; margins slide along the wall and count as body. A point angle
    of 180 degrees is a flat end. All edges are straight, so both outlines are exact.
    Raises `ToolError` where the drill is shorter than its point.
    """
    given = tool.drill
    if given is None:
        raise ToolError(f"tool {tool.station} has no `drill`")
    radius = given.diameter / 2
    point = radius / math.tan(math.radians(given.point_angle / 2)) if given.point_angle < 180 else 0
    if given.length <= point:
        raise ToolError(
            f"drill.length is {given.length:g} mm; a point of {given.point_angle:g} degrees on "
            f"diameter {given.diameter:g} mm alone is {point:.3f} mm long"
        )
    corners = [
        (point, -radius),
        (given.length, -radius),
        (given.length, radius),
        (point, radius),
        (0.0, 0.0),
    ]
    drill = Outline(np.array(corners), np.array([False, False, False, True, True]))
    assumed: tuple[str, ...] = ()
    body: BaseGeometry
    if tool.holder_outline is not None:
        body = measured_outline(tool.holder_outline)
    else:
        across = given.holder_diameter
        if across is None:
            across = max(HOLDER_DIAMETER_MM, 3 * given.diameter)
            assumed = (f"holder of the drill taken as {in_both(across)} across: verify",)
        body = box(given.length, -across / 2, given.length + HOLDER_LENGTH_MM, across / 2)
    whole = united(drill, body, "holder_outline")
    if not whole.cuts.any():
        raise ToolError(f"tool {tool.station}: holder_outline covers the point of the drill")
    return ToolShape(
        outer=whole.points,
        outer_cuts=whole.cuts,
        inner=drill.points,
        inner_cuts=drill.cuts,
        cutting_part=drill.points,
        nose_radius_mm=0.0,
        kind="drill",
        assumed=assumed,
    )
