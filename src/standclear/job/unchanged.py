"""Whether the files of a job are still those that were read."""

from __future__ import annotations

import hashlib

from standclear.errors import Fault, FileError
from standclear.files import read_limited
from standclear.job.read import JobFiles


def check_unchanged(files: JobFiles) -> None:
    """Raises FileError where a file of the job, as `read_job` gave it, is another one by now or
    cannot be read any more: an answer would be that of a job which is no longer there."""
    for name, digest in files.files.items():
        data = read_limited(files.folder / name, large=True)
        if hashlib.sha256(data).hexdigest() != digest:
            found = "the file changed while it was proved"
            raise FileError(Fault(str(files.folder / name), "", found, "prove it again"))
