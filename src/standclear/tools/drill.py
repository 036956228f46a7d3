"""Drills and taps on the centre line, by diameter and length."""

from __future__ import annotations

import math

import numpy as np
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Drill, Tap, Tool
from standclear.tools.errors import ToolError
from standclear.tools.measured import measured_outline
from standclear.tools.outline import Outline, united
from standclear.tools.shape import ToolShape, in_both

HOLDER_DIAMETER_MM = 60.0
"""Across the holder of a drill or tap where the job gives none; at least three times the tool."""
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
    return _in_holder(tool, drill, "drill", given)


def tap_tool(tool: Tool) -> ToolShape:
    """Shape of a tool given by `tap`, lengths in mm: its end at (0, 0), even about r = 0.

    A plain cylinder over the crests, its end square. Between the radius of the hole and the crests
    the end cuts, within it does not: no tap opens a hole. All edges are straight.
    Raises `ToolError` where the holder covers the tap.
    """
    given = tool.tap
    if given is None:
        raise ToolError(f"tool {tool.station} has no `tap`")
    crest, hole = given.diameter / 2, given.hole / 2
    corners = [
        (0.0, -crest),
        (given.length, -crest),
        (given.length, crest),
        (0.0, crest),
        (0.0, hole),
        (0.0, -hole),
    ]
    tap = Outline(np.array(corners), np.array([False, False, False, True, False, True]))
    return _in_holder(tool, tap, "tap", given)


def _in_holder(tool: Tool, body: Outline, kind: str, given: Drill | Tap) -> ToolShape:
    """The outline `body` of a drill or tap together with its holder."""
    assumed: tuple[str, ...] = ()
    holder: BaseGeometry
    if tool.holder_outline is not None:
        holder = measured_outline(tool.holder_outline)
    else:
        across = given.holder_diameter
        if across is None:
            across = max(HOLDER_DIAMETER_MM, 3 * given.diameter)
            assumed = (f"holder of the {kind} taken as {in_both(across)} across: verify",)
        holder = box(given.length, -across / 2, given.length + HOLDER_LENGTH_MM, across / 2)
    whole = united(body, holder, "holder_outline")
    if not whole.cuts.any():
        raise ToolError(f"tool {tool.station}: holder_outline covers the cutting end of the {kind}")
    return ToolShape(
        outer=whole.points,
        outer_cuts=whole.cuts,
        inner=body.points,
        inner_cuts=body.cuts,
        cutting_part=body.points,
        nose_radius_mm=0.0,
        kind=kind,
        assumed=assumed,
    )
