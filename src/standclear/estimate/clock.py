"""What times are counted with, as far as the job states it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from standclear.estimate.rapids import Axes, axes_of
from standclear.job.models import Job, Machine, Shop


@dataclass(frozen=True)
class Clock:
    """What times are counted with."""

    axes: Axes | None
    """None: rapids are not counted."""
    spindle_limit: float
    """rpm; infinity where none is stated."""
    run_up: float
    """Seconds from rest to the spindle limit; 0 where it is not counted."""
    chip_to_chip: bool
    """The time of a tool change holds rapids and run-up between the two tools' cuts."""


def clock_of(job: Job) -> Clock:
    """The clock of a job whose machine and shop stand in it as objects, lengths in mm."""
    assert isinstance(job.machine, Machine)
    assert isinstance(job.shop, Shop)
    limit = job.machine.spindle_limit if job.machine.spindle_limit is not None else np.inf
    return Clock(
        axes_of(job.machine),
        limit,
        job.shop.spindle_run_up or 0.0,
        job.shop.tool_change is not None and job.shop.tool_change_counts == "chip-to-chip",
    )
