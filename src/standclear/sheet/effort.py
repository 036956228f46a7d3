"""Time and load of a part for the sheet: one row a tool."""

from __future__ import annotations

from standclear.estimate.job_time import JobTime, job_time
from standclear.estimate.load import JobLoad, job_load
from standclear.estimate.taken import all_taken
from standclear.proof.held import Held
from standclear.proof.result import JobProof
from standclear.report.plan.timing import clock_words, seconds
from standclear.sheet.content import EffortRow


def effort_rows(held: Held, proof: JobProof) -> tuple[str, tuple[EffortRow, ...]]:
    """The time of one part in words, and a row for each tool of each set-up."""
    job = held.files.job
    taken = all_taken(held, job, proof)
    time, load = job_time(job, taken), job_load(job, proof, taken)
    return clock_words(time.total), _rows(time, load)


def _rows(time: JobTime, load: JobLoad) -> tuple[EffortRow, ...]:
    powers = {
        (setup.name, tool.station, tool.offset): tool.power
        for setup in load.setups
        for tool in setup.tools
    }
    rows = []
    for setup in time.setups:
        for tool in setup.tools:
            power = powers.get((setup.name, tool.station, tool.offset))
            rows.append(
                EffortRow(
                    setup.name,
                    f"T{tool.station:02d}{tool.offset:02d}",
                    seconds(tool.total),
                    seconds(tool.metal),
                    "" if power is None else f"{power.lo:.1f} to {power.hi:.1f}",
                )
            )
    return tuple(rows)
