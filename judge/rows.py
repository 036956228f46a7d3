"""Rows of the control that a job leaves open: every value each of them may take."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

from judge.jobfile import JobFile

OPEN_VALUES: dict[str, tuple[str, ...]] = {
    "levels_from": ("moved-start", "start"),
    "last_level": ("left-to-profile", "own-level", "equalised"),
    "level_end": ("45-degrees", "along-profile"),
    "home_after_cycle": ("direct", "x-first", "z-first"),
}
"""Rows that act inside one call of a cycle; the others must be stated."""


def settled(job: JobFile) -> Iterator[JobFile]:
    """The job once for every way of settling its open rows."""
    left = [row for row in OPEN_VALUES if row not in job.control]
    for values in product(*(OPEN_VALUES[row] for row in left)):
        yield replace(job, control={**job.control, **dict(zip(left, values, strict=True))})
