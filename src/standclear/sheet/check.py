"""Whether a sheet still stands for the files beside it: hash by hash, and the tool's own."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from standclear.errors import Fault, FileError
from standclear.files import JOB_FILE, read_limited
from standclear.plan.later.since import tool_hash
from standclear.sheet.record import Record, record_of

SAME, CHANGED, GONE = "the same", "CHANGED", "NOT THERE"


@dataclass(frozen=True)
class SheetCheck:
    """A sheet beside what it stands for."""

    record: Record
    folder: Path
    """Where the job's files were looked for."""
    files: tuple[tuple[str, str], ...]
    """Name of each file, and `SAME`, `CHANGED` or `GONE`."""
    same_tool: bool

    @property
    def stands(self) -> bool:
        """Nothing has changed since the sheet was made."""
        return self.same_tool and all(state == SAME for _, state in self.files)


def check_sheet(sheet: Path, job: Path | None = None, *, large: bool = False) -> SheetCheck:
    """Every hash of the sheet in a PDF against the file it is of. `job` is the job file or its
    folder; left out, where it lay from the sheet when that was made.

    Raises FileError where the PDF cannot be read or is no sheet, or where there is no job file.
    """
    record = record_of(_keywords(sheet))
    if record is None:
        raise FileError(Fault(str(sheet), "", "this is no set-up sheet", _MADE_BY))
    file = _job_file(sheet, record, job)
    if not file.is_file():
        accepted = "give the job beside it: standclear sheet --check FILE.pdf JOB"
        raise FileError(Fault(str(file), "", "the job of the sheet is not there", accepted))
    states = []
    for name, digest in sorted(record.files.items()):
        # The job file itself may have another name by now; its bytes are what counts.
        own = file if name == record.job.rsplit("/", 1)[-1] else file.parent / name
        states.append((name, _state(own, digest, large=large)))
    return SheetCheck(record, file.parent, tuple(states), record.tool == tool_hash())


_MADE_BY = "give a PDF made by: standclear sheet JOB -o FILE.pdf"


def _job_file(sheet: Path, record: Record, job: Path | None) -> Path:
    if job is not None:
        return job / JOB_FILE if job.is_dir() else job
    if not record.job:
        accepted = "give the job beside it: standclear sheet --check FILE.pdf JOB"
        raise FileError(Fault(str(sheet), "", "the sheet does not say where its job is", accepted))
    return sheet.parent / record.job


def _state(file: Path, digest: str, *, large: bool) -> str:
    try:
        data = read_limited(file, large=large)
    except FileError:
        return GONE
    return SAME if hashlib.sha256(data).hexdigest() == digest else CHANGED


def _keywords(sheet: Path) -> list[str]:
    import logging

    from pypdf import PdfReader

    data = read_limited(sheet, large=True)
    # What is wrong with a file is said once, as our own error.
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    try:
        info = PdfReader(BytesIO(data)).metadata
        words = "" if info is None else str(info.get("/Keywords", ""))
    except Exception as error:  # pypdf's own kinds and what broken files make it trip over
        raise FileError(Fault(str(sheet), "", "this PDF cannot be read", _MADE_BY)) from error
    return [word.strip() for word in words.split(",")]
