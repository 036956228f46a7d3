"""The measurements of a first part, as a CSV file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from standclear.job.models import Job
from standclear.plan.first_part.correction import Gauge
from standclear.plan.table import Row, read_table
from standclear.proof.result import JobProof

NEEDED, OTHERS = ("name", "measured"), ("uncertainty",)
"""Columns of such a table."""


def read_measurements(path: Path, job: Job, proof: JobProof) -> tuple[Gauge, ...]:
    """The measurements of a CSV file with the columns name, measured and, if wanted, uncertainty
    (plus or minus; left out, 0), in the job's unit.

    Raises FileError or JobError, line named, where the file does not fit the sizes of the job.
    """
    return gauges_of(read_table(path, NEEDED, OTHERS), job, proof)


def gauges_of(rows: Sequence[Row], job: Job, proof: JobProof) -> tuple[Gauge, ...]:
    """The measurements in `rows`, as `read_measurements`. Raises JobError, line named."""
    known = {size.name.lower(): size.name for size in proof.sizes}
    found: dict[str, Gauge] = {}
    for row in rows:
        name = known.get(row.cells["name"].lower())
        if name is None:
            accepted = "give one of: " + "; ".join(known.values())
            raise row.fault("name", f'"{row.cells["name"]}"', accepted)
        if name in found:
            raise row.fault("name", f'"{name}", a second time', "give each size once")
        found[name] = Gauge(
            name, row.length("measured", job.units), row.length("uncertainty", job.units, 0.0)
        )
    return tuple(found.values())
