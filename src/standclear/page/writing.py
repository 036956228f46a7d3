"""What is on the bench written into the job file, in the file's own form and with its comments."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Mapping
from typing import Any

from standclear.errors import Fault, JobError
from standclear.job.models import Job
from standclear.job.writing import edited_toml
from standclear.page.handles import dragged
from standclear.report.sizes import MM_PER_INCH


def with_values(text: str, job: Job, values: Mapping[str, float]) -> str:
    """The job file `text` with handles at `values`, in the job's unit; `job` is what it holds.

    Raises JobError where a value has no place of its own in the file: jaws stand in a file that
    other jobs may share.
    """
    moved = dragged(job, values)
    tables: dict[str, Any] = copy.deepcopy(tomllib.loads(text))
    for key in ("size", "length"):
        if {"size": "bar", "length": "length"}[key] in values:
            tables["blank"][key] = _in_unit(getattr(moved.blank, key), job)
    put_zeros(tables, job, moved)
    for index, (old, new) in enumerate(zip(job.setup, moved.setup, strict=True)):
        setup = tables["setup"][index]
        if old.seat != new.seat:
            setup["seat"]["stick_out"] = _in_unit(new.seat.stick_out, job)
        if old.jaws != new.jaws:
            accepted = "put them back, and give the set-up a jaw file with their true outline"
            found = "moved, and their outline stands in a file that jobs may share"
            raise JobError([Fault("page", f"jaws of {new.name}", found, accepted)])
    return edited_toml(text, tables)


def put_zeros(tables: dict[str, Any], job: Job, then: Job) -> None:
    """The zeros of `then` into the tables of the file that holds `job`, where they differ."""
    for index, (old, new) in enumerate(zip(job.setup, then.setup, strict=True)):
        if old.zero != new.zero:
            name = "from_stop" if old.zero.from_stop != new.zero.from_stop else "face_allowance"
            tables["setup"][index]["zero"][name] = _in_unit(getattr(new.zero, name), job)


def _in_unit(mm: float | None, job: Job) -> float:
    assert mm is not None
    return round(mm / (MM_PER_INCH if job.units == "inch" else 1.0), 6)
