"""The jobs of a list of files and folders."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from standclear.errors import Fault, FileError
from standclear.files import JOB_FILE

DRAFT_ENDING = ".job.toml"
"""Of a job drafted beside its program."""
EARLIER = "earlier"
"""Folder of the versions before, beside the file."""
NOT_LOOKED_INTO = frozenset({EARLIER, "proofs"})
"""Folders of versions before and of kept answers: the jobs in them are copies."""


def jobs_in(paths: Iterable[Path]) -> tuple[Path, ...]:
    """Every job that the paths name or hold, each once, in their order: a file, a folder with a
    job in it, or a folder with such folders below.

    Raises FileError where a folder holds no job, or cannot be looked into.
    """
    found: dict[Path, Path] = {}
    for path in paths:
        inside = [path] if not path.is_dir() or (path / JOB_FILE).exists() else list(_below(path))
        if not inside:
            there = f"this is a directory without {JOB_FILE}, and none lies below it"
            raise FileError(Fault(str(path), "", there, f"name a folder with a {JOB_FILE} below"))
        for job in inside:
            file = job / JOB_FILE if job.is_dir() else job
            found.setdefault(file.resolve(), job)
    return tuple(found.values())


def holds_many(paths: Iterable[Path]) -> bool:
    """Whether one of the paths is a folder whose jobs lie in it or below it, not a job's own."""
    return any(path.is_dir() and not (path / JOB_FILE).exists() for path in paths)


def _below(folder: Path) -> Iterator[Path]:
    try:
        entries = sorted(os.scandir(folder), key=lambda each: each.name)
    except OSError as error:
        fault = Fault(str(folder), "", f"it cannot be looked into ({error.strerror})", "allow it")
        raise FileError(fault) from error
    names = [each.name for each in entries if each.is_file()]
    yield from (folder / name for name in names if name == JOB_FILE)
    yield from (folder / n for n in names if n.endswith(DRAFT_ENDING) and n != JOB_FILE)
    for each in entries:
        hidden = each.name.startswith(".") or each.name in NOT_LOOKED_INTO
        if not hidden and each.is_dir(follow_symlinks=False):
            yield from _below(folder / each.name)
