"""Dated answers beside the job, none ever written over."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from standclear.errors import Fault, FileError
from standclear.files import write_new
from standclear.job.read import JobFiles
from standclear.plan.later.kept_files import Asked, keep_files
from standclear.plan.later.since import TOOL, tool_hash
from standclear.proof.result import JobProof
from standclear.report.json_answer import answer, to_json

SAME_SECOND = 1000
"""How many answers of one second are numbered before giving up."""


def keep_proof(files: JobFiles, proof: JobProof, asked: Asked) -> Path:
    """Put a dated answer, and every file read for it, into `proofs/` beside the job, and return the
    answer's path. Raises FileError as `keep_answer` and `keep_files`."""
    now = datetime.now().astimezone()
    with_tool = replace(proof, files={**proof.files, TOOL: tool_hash()})
    text = to_json(answer(with_tool, now.isoformat(timespec="seconds")))
    kept = keep_answer(files.folder / files.path.name, text, now)
    keep_files(kept, files, asked)
    return kept


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
