"""What is held of a job: its programs read and swept, ready for any blank."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np

from standclear.blocks.program import Program, linked
from standclear.blocks.read import read_program
from standclear.errors import Fault, JobError
from standclear.findings.finding import Finding
from standclear.job.models import Job, Machine, Tool
from standclear.job.placing import Placing, place_setups
from standclear.job.read import JobFiles
from standclear.motions.table import Motions, Spindle, Trace
from standclear.motions.trace import trace_setup
from standclear.proof.approach import Places
from standclear.proof.keep_out import KeepOut, Reach, keep_out
from standclear.sweeps.sweep import Tooling, least_contact_limit
from standclear.tools.build import tool_findings, tool_shape
from standclear.tools.errors import ToolError
from standclear.tools.shape import ToolShape

CONTACT_LIMIT_MM = 0.005
"""Depth below which touching is not striking, where the job states none."""
REACH_MM = 4.0
"""How far beyond the stated blank, over the diameter and past both ends, the keep-out is known
where nobody asks for more: so that the next bar size can be asked about without sweeping again."""


@dataclass(frozen=True)
class HeldReading:
    """One reading of one set-up's program, swept. Tuples go by tool of the trace."""

    trace: Trace
    tools: tuple[Tooling | None, ...]
    names: tuple[str, ...]
    wear: tuple[float, ...]
    depth_limits: tuple[float | None, ...]
    """Greatest depth of cut, mm; None where the job gives none or the tool cuts by its width."""
    corner: float
    """How far corners between rapids may be rounded, mm."""
    keep: KeepOut

    @cached_property
    def places(self) -> Places:
        """The tools where air is owed, within the reach of `keep`."""
        return Places(self.trace.motions, self.tools, self.keep.reach)

    @cached_property
    def further(self) -> dict[float, HeldReading]:
        """By contact limit: the same, swept again for a blank that this one does not reach."""
        return {}


@dataclass(frozen=True)
class Held:
    """Everything of a job that does not depend on the blank."""

    files: JobFiles
    programs: dict[str, Program]
    """By the name that the set-ups give it, with the files of `subprograms` linked."""
    readings: tuple[tuple[HeldReading, ...], ...]
    """For each set-up the readings of its program."""
    findings: tuple[Finding, ...]
    """Of the shapes of the tools that are called."""


def hold(files: JobFiles, known: Held | None = None) -> Held:
    """Read the programs, sweep their motions and find the keep-out of every set-up.

    `known` holds the same job with other programs: a set-up whose motions are the same there is
    not swept again.

    Raises `JobError` where a tool's description does not make a shape, or the contact limit is
    finer than arcs are followed, or where a set-up has no program.
    """
    job = files.job
    _check_programs(files)
    read = {name: read_program(data, name) for name, data in files.programs.items()}
    others = [read[name] for name in job.subprograms]
    programs = {setup.program: linked(read[setup.program], others) for setup in job.setup}
    tools = tools_of(job)
    shapes = _shapes(files.path.name, tools)
    traces = [
        trace_setup(programs[setup.program], job, index) for index, setup in enumerate(job.setup)
    ]
    _check_contact_limit(files, [t for each in traces for t in each])
    swept = ((),) * len(traces) if known is None or known.files.job is not job else known.readings
    readings = tuple(
        tuple(
            _as_known(trace, before) or _held(job, trace, tools, shapes, _reach(placing))
            for trace in each
        )
        for each, placing, before in zip(traces, place_setups(job), swept, strict=True)
    )
    used = sorted({u.tool for held in readings for r in held for u in r.trace.tools if u.tool >= 0})
    findings = tuple(f for t in used for f in tool_findings(tools[t], shapes[t]))
    return Held(files, programs, readings, findings)


def reaching(held: HeldReading, job: Job, box: Reach) -> HeldReading:
    """`held` with its keep-out known throughout `box`: swept again where it is not, with room for
    the next blank, and kept for that."""
    limit = contact_limit(job)
    known = (held, held.further.get(limit, held))
    for each in known:
        if reaches(each, box):
            return each
    z_min, _, z_max, r_max = known[-1].keep.reach
    reach = (
        z_min if z_min <= box[0] else box[0] - REACH_MM,
        0.0,
        z_max if box[2] <= z_max else box[2] + REACH_MM,
        r_max if box[3] <= r_max else box[3] + REACH_MM,
    )
    keep = keep_out(held.trace.motions, held.tools, held.wear, limit, reach, held.corner)
    held.further[limit] = replace(held, keep=keep)
    return held.further[limit]


def reaches(held: HeldReading, box: Reach) -> bool:
    """Whether the keep-out is known throughout `box`."""
    z_min, _, z_max, r_max = held.keep.reach
    return z_min <= box[0] and box[2] <= z_max and box[3] <= r_max


def tools_of(job: Job) -> list[Tool]:
    """The job's tools, which `read_job` has put in place of a file name."""
    assert isinstance(job.tools, list)
    return job.tools


def contact_limit(job: Job) -> float:
    """Depth in mm below which touching is not striking."""
    return CONTACT_LIMIT_MM if job.contact_limit is None else job.contact_limit


def _check_programs(files: JobFiles) -> None:
    """A job that was read to be planned may lack what a proof needs."""
    bare = [k for k, setup in enumerate(files.job.setup) if not setup.program]
    keys = [f"setup[{k}].program" for k in bare] if files.job.setup else ["setup"]
    faults = [Fault(files.path.name, key, "missing", "a proof needs it") for key in keys]
    if faults:
        raise JobError(faults)


def _check_contact_limit(files: JobFiles, traces: list[Trace]) -> None:
    limit = contact_limit(files.job)
    least = max(least_contact_limit(t.motions) for t in traces)
    if limit <= least:
        accepted = f"give more than {least:g} mm: outlines and arcs are known to half of that"
        raise JobError([Fault(files.path.name, "contact_limit", f"{limit:g} mm", accepted)])


def _shapes(file: str, tools: list[Tool]) -> list[ToolShape]:
    shapes, faults = [], []
    for tool in tools:
        try:
            shapes.append(tool_shape(tool))
        except ToolError as error:
            faults.append(
                Fault(file, f"tools.T{tool.station}", f"no shape: {error}", "mend its description")
            )
    if faults:
        raise JobError(faults)
    return shapes


def _as_known(trace: Trace, known: tuple[HeldReading, ...]) -> HeldReading | None:
    """The reading of `known` with the motions and tools of `trace`, now of that trace."""
    for reading in known:
        same_tools = reading.trace.tools == trace.tools
        if same_tools and _same_motions(reading.trace.motions, trace.motions):
            return replace(reading, trace=trace)
    return None


def _same_motions(one: Motions, other: Motions) -> bool:
    """Alike but for the blocks that make them."""
    return len(one) == len(other) and all(
        np.array_equal(getattr(one, f.name), getattr(other, f.name))
        for f in fields(Motions)
        if f.name not in ("block", "profile")
    )


def _held(
    job: Job, trace: Trace, tools: list[Tool], shapes: list[ToolShape], reach: Reach
) -> HeldReading:
    assert isinstance(job.machine, Machine)
    called = [u.tool for u in trace.tools]
    fitted = tuple(Tooling(shapes[t], _spindle(tools[t])) if t >= 0 else None for t in called)
    wear = tuple((tools[t].wear or 0.0) if t >= 0 else 0.0 for t in called)
    corner = job.machine.rapid_corner or 0.0
    return HeldReading(
        trace,
        fitted,
        tuple(
            _name(tools[t]) if t >= 0 else f"T{u.station}"
            for t, u in zip(called, trace.tools, strict=True)
        ),
        wear,
        tuple(_depth_limit(tools[t]) if t >= 0 else None for t in called),
        corner,
        keep_out(trace.motions, fitted, wear, contact_limit(job), reach, corner),
    )


def _spindle(tool: Tool) -> Spindle:
    return Spindle.FORWARD if tool.cuts_with == "M03" else Spindle.REVERSE


def _name(tool: Tool) -> str:
    return f"T{tool.station} {tool.name}".strip()


def _depth_limit(tool: Tool) -> float | None:
    by_width = any(each is not None for each in (tool.grooving, tool.drill, tool.tap))
    return None if by_width else tool.greatest_depth


def _reach(placing: Placing) -> Reach:
    """The box in which a set-up's keep-out is known."""
    return (
        placing.back_face.lo - REACH_MM,
        0.0,
        placing.face_strike_z + REACH_MM,
        placing.strike_radius + REACH_MM,
    )
