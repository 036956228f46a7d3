"""Jobs for the tests of the set-up plan: of one's own making, and the examples."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from standclear.job.models import Job
from standclear.job.units import to_millimetres

EXAMPLES = Path(__file__).parents[3] / "examples"
INCH = 25.4
JAWS = {"profile": [[0, 0], [20, 0], [20, 15], [0, 15]]}


def job_of(
    first: dict[str, Any],
    second: dict[str, Any] | None = None,
    *,
    units: str = "mm",
    finished: float = 60.0,
    jaws: dict[str, Any] | None = JAWS,
    part: dict[str, Any] | None = None,
    **blank: Any,
) -> Job:
    """A job in millimetres: zeros of one or two set-ups on a stop, bar 40 x 63 unless stated."""
    setups = [{"name": "A", "zero": first, "jaws": jaws}]
    if second is not None:
        setups.append({"name": "B", "offset": "G55", "zero": second, "jaws": jaws})
    raw = {
        "units": units,
        "blank": {"size": 40.0, "length": 63.0, **blank},
        "part": {"length": finished, **(part or {})},
        "jaws": jaws,
        "setup": setups,
    }
    job = Job.model_validate(raw)
    return to_millimetres(job, job.units, job.units)
