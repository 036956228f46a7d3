"""The tools of a set-up in the words of a tool list."""

from __future__ import annotations

from standclear.job.models import Tool
from standclear.motions.table import Kind
from standclear.proof.held import Held, tools_of
from standclear.proof.result import SetupProof
from standclear.report.sizes import length, number
from standclear.sheet.content import ToolRow


def tool_rows(held: Held, setup: SetupProof) -> tuple[ToolRow, ...]:
    """Every tool that moves in the set-up, by station."""
    units = held.files.job.units
    tools = tools_of(held.files.job)
    motions = setup.trace.motions
    moving = {int(t) for t in motions.tool[motions.kind != Kind.APPEAR]}
    found: dict[tuple[int, int], ToolRow] = {}
    for k, use in enumerate(setup.trace.tools):
        if moving and k not in moving:
            continue
        station = f"T{use.station}"
        if use.tool < 0:
            found[use.station, use.offset] = ToolRow(station, "", "not in the job's tool table", "")
            continue
        tool = tools[use.tool]
        found[use.station, use.offset] = ToolRow(
            station, tool.name, shape_words(tool, units), _offset(tool, use.offset, units)
        )
    return tuple(found[key] for key in sorted(found))


def shape_words(tool: Tool, units: str) -> str:
    """What the tool is, as it would be asked for at the crib: `CNMG120408 in PCLNR2525M12`."""
    return f"{_body(tool, units)}; {tool.cuts_with}"


def _body(tool: Tool, units: str) -> str:
    if tool.insert is not None:
        shape = f"{tool.insert} in {tool.holder}"
        measured = tool.holder_outline is not None
        return f"{shape}, holder measured" if measured else f"{shape}, holder not measured: verify"
    if tool.grooving is not None:
        blade = tool.grooving
        return (
            f"grooving {blade.where}, {length(blade.width, units)} wide, reach "
            f"{length(blade.reach, units)}, {blade.controlled.replace('-', ' ')} corner programmed"
        )
    if tool.threading is not None:
        thread = tool.threading
        reach = length(thread.reach, units)
        return f"threading {thread.where}, {thread.angle:g} degrees, reach {reach}"
    if tool.drill is not None:
        drill = tool.drill
        return (
            f"drill {length(drill.diameter, units)}, point {drill.point_angle:g} degrees, "
            f"{length(drill.length, units)} to the holder"
        )
    if tool.tap is not None:
        tap = tool.tap
        hole = number(tap.hole, units)
        return f"tap {length(tap.diameter, units)} for a hole of {hole}"
    corners = tool.outline.corners if tool.outline is not None else []
    nose = f", nose radius {length(corners[0].radius, units)}" if corners else ""
    return f"outline measured{nose}"


def _offset(tool: Tool, called: int, units: str) -> str:
    said = str(called)
    if tool.geometry is not None:
        said += f": X{number(tool.geometry.x, units)} Z{number(tool.geometry.z, units)}"
    return said
