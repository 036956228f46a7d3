"""From a tool as the job gives it to its shape in the section."""

from __future__ import annotations

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.job.models import Tool
from standclear.tools.drill import drill_tool, tap_tool
from standclear.tools.errors import ToolError
from standclear.tools.grooving import grooving_tool
from standclear.tools.measured import outline_tool
from standclear.tools.shape import ToolShape
from standclear.tools.threading import threading_tool
from standclear.tools.turning import indexable_tool


def tool_shape(tool: Tool) -> ToolShape:
    """The shape of a tool whose lengths are already in millimetres.

    Raises `ToolError` (or one of its kinds, `DesignationError` and `MismatchError`), its text
    naming the tool, where the description is missing, doubled or does not fit.
    """
    ways = {
        "holder": tool.holder is not None or tool.insert is not None,
        "outline": tool.outline is not None,
        "grooving": tool.grooving is not None,
        "threading": tool.threading is not None,
        "drill": tool.drill is not None,
        "tap": tool.tap is not None,
    }
    given = [way for way, present in ways.items() if present]
    if len(given) != 1:
        raise ToolError(
            f"tool {tool.station} is described by {' and '.join(given) or 'nothing'}; "
            "give one of `holder` with `insert`, `outline`, `grooving`, `threading`, `drill`, `tap`"
        )
    builders = {
        "holder": indexable_tool,
        "outline": outline_tool,
        "grooving": grooving_tool,
        "threading": threading_tool,
        "drill": drill_tool,
        "tap": tap_tool,
    }
    return builders[given[0]](tool)


def tool_findings(tool: Tool, shape: ToolShape) -> tuple[Finding, ...]:
    """One note with everything that the shape of a tool takes on trust; none where nothing."""
    if not shape.assumed:
        return ()
    name = f"Tool {tool.station}" + (f" ({tool.name})" if tool.name else "")
    cure = "" if tool.holder_outline else "Measure the holder and give it as `holder_outline`."
    return (
        Finding(
            code="tool-outline-assumed",
            severity=Severity.NOTE,
            message=f"{name}: {'; '.join(shape.assumed)}.",
            cure=cure,
            measures=(Measure("station", tool.station, Quantity.COUNT),),
        ),
    )
