"""What the page is started on: a folder of jobs, or one job and the folder that holds it."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import quote

from standclear.errors import Fault, FileError
from standclear.files import JOB_FILE
from standclear.page.store import Store


def opened(path: Path) -> tuple[Path, str]:
    """The folder of jobs, and the address that the browser opens at.

    Raises FileError where there is no such folder or job.
    """
    if path.is_dir():
        if not (path / JOB_FILE).is_file():
            return path.resolve(), "/"
        path = path / JOB_FILE
    if not path.is_file():
        found = "there is no such folder or job file"
        raise FileError(Fault(str(path), "", found, "give a folder of jobs, or a job"))
    root = path.resolve().parent
    for place in Store(root).jobs():
        if place.path == root / path.name:
            return root, f"/job/{quote(place.ident, safe='')}/"
    found = "this is no job file"
    raise FileError(Fault(str(path), "", found, f"give {JOB_FILE} or a file that ends so"))
