"""Threading tools by their sizes.

Frame of the drawing: an outside tool, its tip on r = 0 pointing towards the axis (-r), chuck on the
side of -z; the inside tool is its reflection in r. The controlled point is the tip: the lowest
point of the nose, in the middle between the flanks.
"""

from __future__ import annotations

import math

from standclear.job.models import ThreadingTool, Tool
from standclear.tools.errors import ToolError
from standclear.tools.grooving import body_behind
from standclear.tools.measured import measured_outline
from standclear.tools.outline import held, rounded
from standclear.tools.reflections import Reflection, along_axis, in_section, reflected
from standclear.tools.shape import ToolShape

_REFLECTION: dict[str, tuple[Reflection, ...]] = {"outside": (), "inside": (along_axis,)}


def threading_tool(tool: Tool) -> ToolShape:
    """Shape of a tool given by `threading`, lengths in mm.

    Flat or nose and both flanks cut, as far up as `width` lets the flanks run. Behind them a blade
    as wide as the insert stands as far as `reach`. The full body beyond may lie to either side of
    it, so the envelope takes both until `holder_outline` replaces blade and body; an inside tool's
    body is a bar of diameter `body` along the axis.
    Raises `ToolError` where the sizes do not go together.
    """
    given = tool.threading
    if given is None:
        raise ToolError(f"tool {tool.station} has no `threading`")
    lean = math.tan(math.radians(given.angle / 2))
    # How far the sharp corner between the flanks would lie beyond the nose.
    beyond = given.nose_radius * (1 / math.sin(math.radians(given.angle / 2)) - 1)
    height = (given.width - given.flat) / 2 / lean - beyond
    _check(given, height)
    side = given.width / 2
    half = given.flat / 2
    tip = [(-half, 0.0), (half, 0.0)] if half > 0 else [(0.0, -beyond)]
    corners = [*tip, (side, height), (-side, height)]
    radii = [given.nose_radius if given.flat == 0 else 0.0] + [0.0] * (len(corners) - 1)
    cuts = [True] * len(tip) + [False, True]
    reflections = _REFLECTION[given.where]
    outer, inner = (
        in_section(rounded(corners, radii, cuts, way), reflections) for way in ("outer", "inner")
    )
    if tool.holder_outline is not None:
        body = measured_outline(tool.holder_outline)
        assumed: tuple[str, ...] = ()
    else:
        body = reflected(
            body_behind(
                (-side, height),
                (given.width, given.width),
                given.reach,
                given.body,
                inside=given.where == "inside",
            ),
            reflections,
        )
        assumed = ("body behind the threading insert taken on both sides of it: verify",)
    whole, free = held(outer, inner, body, tool.station)
    return ToolShape(
        outer=whole.points,
        outer_cuts=whole.cuts,
        inner=free.points,
        inner_cuts=free.cuts,
        cutting_part=inner.points,
        nose_radius_mm=given.nose_radius,
        kind="threading",
        assumed=assumed,
    )


def _check(given: ThreadingTool, height: float) -> None:
    """Raise `ToolError` naming the first size that does not fit the others."""
    if given.flat >= given.width:
        raise ToolError(
            f"threading.flat is {given.flat:g} mm; give less than the width, {given.width:g} mm"
        )
    if given.flat > 0 and given.nose_radius > 0:
        raise ToolError(
            f"threading.nose_radius is {given.nose_radius:g} mm beside a flat of "
            f"{given.flat:g} mm; give one of them"
        )
    if height <= 0:
        raise ToolError(
            f"threading.nose_radius is {given.nose_radius:g} mm, too large for flanks "
            f"{given.width:g} mm apart"
        )
    if given.reach < height:
        raise ToolError(
            f"threading.reach is {given.reach:g} mm; the flanks are {height:.3f} mm high, give at "
            "least that"
        )
