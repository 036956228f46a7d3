"""Time, load and cost of a part for the sheet, in words."""

from __future__ import annotations

from standclear.drawing.maps.run_strip import ON_SHEET, run_strip
from standclear.drawing.writers.svg import to_svg
from standclear.estimate.along import runs_of
from standclear.estimate.job_time import JobTime, job_time
from standclear.estimate.load import JobLoad, ToolLoad, job_load
from standclear.estimate.taken import all_taken
from standclear.job.models import Machine
from standclear.plan.cost.side_by_side import Costed, bars_beside
from standclear.proof.held import Held
from standclear.proof.result import JobProof
from standclear.report.plan.cost import NOT_CLEAR, cost_table
from standclear.report.plan.load import CAUTION, grip_words, limit_words, reached_words, span
from standclear.report.plan.timing import NOT_KNOWN, part_words, seconds
from standclear.report.sizes import length, number
from standclear.report.words import exit_status
from standclear.sheet.content import CostColumns, EffortPage, EffortRow
from standclear.sheet.picture import in_grey

OF_TIME = "time: "
"""What the cost leaves out because the time does begins with it."""
MOST_LIMITS = 6
"""Limits that a sheet names one by one."""


def effort_page(held: Held, proof: JobProof) -> EffortPage:
    """All of it; beside the bar in hand stand its neighbours."""
    job = held.files.job
    assert isinstance(job.machine, Machine)
    taken = all_taken(held, job, proof)
    time, load = job_time(job, taken), job_load(job, proof, taken)
    strip = run_strip(runs_of(job, proof, taken), proof.title, job.machine.spindle_power, ON_SHEET)
    columns = bars_beside(held, job, proof, lambda size: f"bar {number(size, proof.units)}")
    return EffortPage(
        part_words(time),
        in_grey(to_svg(strip)),
        _rows(time, load, proof.units),
        reached_words(load),
        _limits(load),
        tuple(f"{setup.name}: {said}" for setup in load.setups if (said := grip_words(setup))),
        CAUTION,
        _cost(columns),
        _left_out(time, load, columns),
    )


def _rows(time: JobTime, load: JobLoad, units: str) -> tuple[EffortRow, ...]:
    loads = {
        (setup.name, tool.station, tool.offset): tool
        for setup in load.setups
        for tool in setup.tools
    }
    return tuple(
        EffortRow(
            setup.name,
            f"T{tool.station:02d}{tool.offset:02d}",
            seconds(tool.total),
            seconds(tool.metal),
            seconds(tool.air),
            seconds(tool.rapid) if setup.rapids_known else NOT_KNOWN,
            *_load(loads.get((setup.name, tool.station, tool.offset)), units),
        )
        for setup in time.setups
        for tool in setup.tools
        if tool.total.hi > 0
    )


def _load(tool: ToolLoad | None, units: str) -> tuple[str, str, str]:
    """Deepest cut, force and power of a tool; empty where not known."""
    if tool is None:
        return "", "", ""
    force, power = tool.force, tool.power
    # Of a tool on the axis its turning counts: the force on its lips pushes nothing aside.
    acts, unit = (force, "N") if tool.torque is None else (tool.torque, "N m")
    return (
        f"{length(tool.depth, units)}, line {tool.line}",
        "" if acts is None else span(acts.lo, acts.hi, unit),
        "" if power is None else span(power.lo, power.hi, "kW"),
    )


def _limits(load: JobLoad) -> tuple[str, ...]:
    said = [limit_words(limit) for limit in load.limits]
    more = len(said) - MOST_LIMITS
    return (*said[:MOST_LIMITS], *([f"{more} more like these"] if more > 0 else []))


def _cost(columns: list[Costed]) -> CostColumns:
    table = cost_table(columns)
    clear = not any(exit_status(c.proof) for c in columns)
    note = "Beside it the usual bars next to it (common practice, no source), all else as it is."
    return CostColumns(
        table.money,
        (f"{table.titles[0]}, in hand", *table.titles[1:]),
        table.rows,
        (note if len(columns) > 1 else "") + ("" if clear else f" {NOT_CLEAR}"),
    )


def _left_out(time: JobTime, load: JobLoad, columns: list[Costed]) -> tuple[str, ...]:
    of_cost = [s for c in columns for s in c.cost.left_out if not s.startswith(OF_TIME)]
    return tuple(dict.fromkeys([*time.left_out, *load.left_out, *of_cost]))
