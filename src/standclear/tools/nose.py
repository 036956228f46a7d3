"""The nose of a tool: its radius, and where its centre lies from the controlled point."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.job.models import Tool
from standclear.tools.build import tool_shape
from standclear.tools.errors import ToolError


@dataclass(frozen=True, slots=True)
class ToolNose:
    """Millimetres; `centre` is (z, r) from the controlled point of the drawn shape."""

    radius: float
    centre: tuple[float, float]


def nose_of(tool: Tool) -> ToolNose | None:
    """The nose as the job describes the tool; None for a drill, for a corner drawn sharp, for an
    outline without a rounded corner at its tip, and for a tool whose shape cannot be drawn."""
    try:
        shape = tool_shape(tool)
    except ToolError:
        return None
    if shape.nose_centre is None or shape.nose_radius_mm <= 0:
        return None
    return ToolNose(shape.nose_radius_mm, shape.nose_centre)
