"""Bounds that a job leaves out: they count as 0, and the answer says so."""

from __future__ import annotations

from standclear.job.models import Job
from standclear.job.setup_checks import NEEDS_SEAT


def bounds_not_given(job: Job) -> tuple[str, ...]:
    """One sentence that names every bound that `job` leaves out, in the order of the job file."""
    blank = job.blank
    names = [
        ("run-out of the blank", blank.run_out is None),
        ("bow of the blank", blank.bow is None),
        ("skin of the blank", blank.skin is None),
        ("squareness of the sawn faces", blank.out_of_square is None),
        ("tolerance of the blank's size", "size_tolerance" not in blank.model_fields_set),
        ("tolerance of the blank's length", "length_tolerance" not in blank.model_fields_set),
    ]
    for tool in job.tools if not isinstance(job.tools, str) else ():
        names.append((f"wear and touch-off error of T{tool.station}", tool.wear is None))
    for setup in job.setup:
        zero_stated = "error" in setup.zero.model_fields_set
        names.append((f"error of the zero of set-up {setup.name}", not zero_stated))
        sticks_out = setup.seat.on == "stick-out" and setup.zero.way not in NEEDS_SEAT
        stated = "error" in setup.seat.model_fields_set
        names.append((f"error of the stick-out of set-up {setup.name}", sticks_out and not stated))
    left_out = [name for name, out in names if out]
    return (f"no bound is given, and 0 counts, for: {'; '.join(left_out)}",) if left_out else ()
