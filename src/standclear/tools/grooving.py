"""Grooving and parting tools by their sizes.

Frame of the drawing: an outside tool, plunging towards the axis (-r), front edge on r = 0, chuck
on the side of -z; the inside tool is its reflection in r, the face tool exchanges z and r.
"""

from __future__ import annotations

import shapely
from shapely.geometry import box

from standclear.job.models import GroovingTool, Tool
from standclear.tools.errors import ToolError
from standclear.tools.measured import measured_outline
from standclear.tools.outline import held, rounded
from standclear.tools.reflections import (
    Reflection,
    along_axis,
    exchanged,
    in_section,
    reflected,
    reflected_point,
)
from standclear.tools.shape import ToolShape

BODY_LENGTH_MM = 500.0
"""How far the full body goes on from the front edge: as long as the longest shank of ISO 5608."""
BAR_AHEAD_MM = 2.0
"""How far the bar of an inside grooving tool may stand out in front of its edge towards the bore's
bottom (common practice, no source)."""

_REFLECTION: dict[str, tuple[Reflection, ...]] = {
    "outside": (),
    "inside": (along_axis,),
    "face": (exchanged,),
}


def grooving_tool(tool: Tool) -> ToolShape:
    """Shape of a tool given by `grooving`, lengths in mm.

    The front edge cuts, and both sides as far as `edge_height`, rounded corners between them. The
    blade stands in the middle behind the edge as far as `reach`. The full body beyond may lie to
    either side of the blade, so the envelope takes both until `holder_outline` replaces blade and
    body. An inside tool's body is a bar of diameter `body` along the axis. The controlled corner
    of a face tool is the one nearer the axis for `chuck-side`.
    Raises `ToolError` where the sizes do not go together.
    """
    given = tool.grooving
    if given is None:
        raise ToolError(f"tool {tool.station} has no `grooving`")
    width, height = given.width, given.edge_height or given.width
    _check(given, height)
    low = 0.0 if given.controlled == "chuck-side" else -width
    corners = [(low, 0.0), (low + width, 0.0), (low + width, height), (low, height)]
    radii = [given.corner_radius, given.corner_radius, 0.0, 0.0]
    cuts = [True, True, False, True]
    reflections = _REFLECTION[given.where]
    outer, inner = (
        in_section(rounded(corners, radii, cuts, side), reflections) for side in ("outer", "inner")
    )
    if tool.holder_outline is not None:
        body: shapely.Geometry = measured_outline(tool.holder_outline)
        assumed: tuple[str, ...] = ()
    else:
        blade = given.blade or width
        straight = body_behind(
            (low, height), (width, blade), given.reach, given.body, inside=given.where == "inside"
        )
        body = reflected(straight, reflections)
        assumed = ("body behind the blade taken on both sides of it: verify",)
    if given.where == "face":
        assumed += (
            f"face grooving: controlled corner taken as the one "
            f"{'nearer' if given.controlled == 'chuck-side' else 'further from'} the axis",
            "face grooving: the curve of the blade was not compared with the groove's diameter",
        )
    whole, free = held(outer, inner, body, tool.station)
    return ToolShape(
        outer=whole.points,
        outer_cuts=whole.cuts,
        inner=free.points,
        inner_cuts=free.cuts,
        cutting_part=inner.points,
        nose_radius_mm=given.corner_radius,
        nose_centre=_nose_centre(given, reflections),
        kind="grooving",
        assumed=assumed,
    )


def _nose_centre(
    given: GroovingTool, reflections: tuple[Reflection, ...]
) -> tuple[float, float] | None:
    """Centre of the controlled corner's rounding; None where the corner is drawn sharp."""
    radius = given.corner_radius
    if radius == 0:
        return None
    along = radius if given.controlled == "chuck-side" else -radius
    return reflected_point((along, radius), reflections)


def _check(given: GroovingTool, height: float) -> None:
    if 2 * given.corner_radius > given.width:
        raise ToolError(
            f"grooving.corner_radius is {given.corner_radius:g} mm; "
            f"at most half of the width, {given.width / 2:g} mm, fits"
        )
    if given.corner_radius > height:
        raise ToolError(
            f"grooving.corner_radius is {given.corner_radius:g} mm; "
            f"at most the edge height, {height:g} mm, fits"
        )
    if given.reach < height:
        raise ToolError(
            f"grooving.reach is {given.reach:g} mm; give at least the edge height, {height:g} mm"
        )


def body_behind(
    corner: tuple[float, float],
    widths: tuple[float, float],
    reach: float,
    body: float,
    *,
    inside: bool,
) -> shapely.Geometry:
    """Blade and full body in the frame of the drawing, mm.

    `corner` (z, r) is the rear corner of the cutting part on the chuck's side, `widths` are of the
    cutting part and of the blade in its middle; the blade reaches to `reach`. `body` is the width
    of the full body beyond, taken on both sides, or with `inside` the diameter of a bar along the
    axis.
    """
    (low, height), (width, blade) = corner, widths
    middle = low + width / 2
    behind = [box(middle - blade / 2, height, middle + blade / 2, reach)]
    if reach == height:
        behind = []
    if inside:
        full = box(low - BAR_AHEAD_MM, reach, BODY_LENGTH_MM, reach + body)
    else:
        side = max(body, blade)
        full = box(low + width - side, reach, low + side, max(BODY_LENGTH_MM, reach))
    return shapely.union_all([*behind, full])
