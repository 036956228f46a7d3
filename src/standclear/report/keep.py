"""Dated answers beside the job, none ever written over."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from standclear.errors import Fault, FileError
from standclear.files import write_new

SAME_SECOND = 1000
"""How many answers of one second are numbered before giving up."""


def keep_answer(job_path: Path, text: str, at: datetime) -> Path:
    """Put a dated answer into `proofs/` beside the job and return its path.

    The name carries the second (`2031-05-06T07-08-09.json`); where that is taken, a number
    follows. Raises FileError where the folder cannot be made or written to.
    """
    folder = job_path.parent / "proofs"
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        found = f"the folder cannot be made ({error.strerror})"
        raise FileError(Fault(str(folder), "", found, "choose a place that can be written")) from (
            error
        )
    stem = at.strftime("%Y-%m-%dT%H-%M-%S")
    for count in range(1, SAME_SECOND):
        target = folder / (f"{stem}.json" if count == 1 else f"{stem}-{count}.json")
        if target.exists():
            continue
        try:
            write_new(target, text.encode("utf-8"))
        except FileError:
            if target.exists():
                continue
            raise
        return target
    raise FileError(Fault(str(folder), "", f"{SAME_SECOND} answers of one second", "wait a moment"))
