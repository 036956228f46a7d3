"""Motions of a program of which nothing but the text is known: a job made up to run it.

Every row of the control is stated, so that there is one reading; home and every place of a tool
change count as beyond the work; tools have no nose, so that motions are as programmed.
What is made up here goes into no job file.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from standclear.blocks.program import Program
from standclear.draft.spans import Cut, Span
from standclear.job.models import Job
from standclear.motions.table import FAR, Trace
from standclear.motions.trace import trace_setup

_ROWS = {
    "number_without_point": "increment",
    "cycle_number_without_point": "increment",
    "arc_centre": "incremental",
    "levels_from": "moved-start",
    "last_level": "left-to-profile",
    "level_end": "45-degrees",
    "home_after_cycle": "direct",
    "level_outside_profile": "to-exit",
    "pocket_in_plain_roughing": "left",
    "tool_with_motion": "before",
    "offset_with_motion": "with-motion",
    "block_delete": "off",
    "compensation_in_cycles": "ignored",
    "compensation_entry": "perpendicular",
    "compensation_corner": "arc",
    "pocket_order": "by-level",
    "pocket_levels_begin": "moved-start",
    "pocket_infeed": "along-profile",
    "pecking_x": "radial",
    "pattern_one_pass": "unshifted",
    "drilling_r": "incremental",
    "drilling_return": "initial",
    "threading_finish_passes": 1,
    "threading_angle": 60.0,
    "threading_least_depth": 0.05,
    "threading_finish_allowance": 0.02,
    "roughing_depth": 2.0,
    "roughing_withdrawal": 0.5,
    "pecking_return": 0.5,
}


def mark_of(cut: Cut | None) -> dict[str, int | str] | None:
    """A cut as the mark of a set-up."""
    if cut is None:
        return None
    return {"offset": cut.offset} if cut.offset is not None else {"stop": cut.stop or 1}


def motions_of(
    program: Program,
    spans: Sequence[Span],
    tools: Sequence[tuple[int, int]],
    units: str,
    control: Mapping[str, str],
) -> tuple[Trace, ...]:
    """What each span of a program does; `tools` are its (station, offset) pairs, `control` the
    rows that the program tells of.
    """
    rows = {**_ROWS, **control}
    beyond = 1.0 - FAR
    job = Job.model_validate(
        {
            "units": units,
            "blank": {"size": 50.0, "length": 100.0},
            "part": {"length": 100.0},
            "machine": {
                "rapid_path": "straight",
                "home": "beyond",
                "second_home": "beyond",
                "safe_x": beyond,
                "safe_z": beyond,
                "control": rows,
            },
            "tools": [{"station": s, "offset": o} for s, o in dict.fromkeys(tools)]
            or [{"station": 1}],
            "setup": [
                {
                    "name": f"{number}",
                    "program": program.name,
                    "start": mark_of(span.begins),
                    "end": mark_of(span.ends),
                    "offset": span.offset,
                    "zero": {"way": "touch", "face_allowance": 0.0},
                }
                for number, span in enumerate(spans)
            ],
        }
    )
    return tuple(trace_setup(program, job, index)[0] for index in range(len(spans)))
