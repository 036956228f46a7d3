"""A small shop for the tests of motions: one job whose rows are all stated, and short views."""

from __future__ import annotations

from typing import Any

import numpy as np

from standclear.blocks.read import read_program
from standclear.job.models import Job
from standclear.motions.table import Kind, Motions, Path, Trace
from standclear.motions.trace import trace_setup

STATED = {
    "cycle_words": "cycles-g90",
    "number_without_point": "increment",
    "cycle_number_without_point": "increment",
    "arc_centre": "incremental",
    "levels_from": "moved-start",
    "last_level": "own-level",
    "level_end": "45-degrees",
    "home_after_cycle": "direct",
    "level_outside_profile": "to-exit",
    "pocket_in_plain_roughing": "left",
    "pecking_x": "radial",
    "tool_with_motion": "before",
    "offset_with_motion": "with-motion",
    "block_delete": "off",
    "optional_stop": "on",
}
FAR = 10_000.0


def job(
    *,
    units: str = "mm",
    control: dict[str, Any] | None = None,
    tools: list[dict[str, Any]] | None = None,
    setups: list[dict[str, Any]] | None = None,
    m_words: list[dict[str, Any]] | None = None,
    **machine: Any,
) -> Job:
    """A job in mm; rows of the control set to None are open."""
    rows = {k: v for k, v in {**STATED, **(control or {})}.items() if v is not None}
    return Job.model_validate(
        {
            "units": units,
            "blank": {"size": 50.0, "length": 80.0},
            "part": {"length": 75.0},
            "machine": {"home": "beyond", "rapid_path": "straight", **machine, "control": rows},
            "tools": tools or [{"station": 1}, {"station": 2}, {"station": 3}],
            "m_words": m_words or [],
            "setup": [
                {"name": f"end {i}", "program": "p.nc", "zero": {"way": "touch"}, **each}
                for i, each in enumerate(setups or [{}])
            ],
        }
    )


def traces(text: str, setup: int = 0, **changes: Any) -> tuple[Trace, ...]:
    """Every reading of a program."""
    return trace_setup(read_program(text.encode("latin-1"), "p.nc"), job(**changes), setup)


def trace(text: str, setup: int = 0, **changes: Any) -> Trace:
    """The only reading of a program."""
    (only,) = traces(text, setup, **changes)
    return only


def ways(motions: Motions) -> list[tuple[str, tuple[float, float], tuple[float, float]]]:
    """Rows as (kind and path, start, end), rounded to the micrometre."""
    names = {
        (Kind.RAPID, Path.STRAIGHT): "rapid",
        (Kind.RAPID, Path.ANYWHERE): "anywhere",
        (Kind.FEED, Path.STRAIGHT): "feed",
        (Kind.APPEAR, Path.STRAIGHT): "appear",
    }
    start, end = np.round(motions.start, 3) + 0.0, np.round(motions.end, 3) + 0.0
    return [
        (
            names[Kind(motions.kind[i]), Path(motions.path[i])],
            (float(start[i, 0]), float(start[i, 1])),
            (float(end[i, 0]), float(end[i, 1])),
        )
        for i in range(len(motions))
    ]


def codes(of: Trace) -> list[str]:
    """Codes of its findings, in order."""
    return [finding.code for finding in of.findings]


def unproven_from(of: Trace) -> int | None:
    """The motion from which on the trace is unproven, None if it never is."""
    return min((f.motion for f in of.findings if f.unproven), default=None)


BEGIN = "G21 G54\nT0101\nG97 S1000 M03 F.2\nG00 X60. Z5.\n"
"""Mm, tool 1, spindle on, at z 5, r 30: rows 0 (appear at home) and 1 (the way from there)."""
