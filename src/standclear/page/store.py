"""The folder of jobs on disk: what may be read, what is saved, and that nothing of it gets lost.

Only files below the folder that the page was started on are touched. Saving needs the revision
(the SHA-256) that the editor has seen: where another one lies on the disk, both texts are kept and
the save is refused. What was there before goes to `earlier/` beside the file, and the new text is
written aside and renamed.
"""

from __future__ import annotations

import hashlib
import os
import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from standclear.archive.find import DRAFT_ENDING, EARLIER, NOT_LOOKED_INTO
from standclear.errors import Fault, FileError
from standclear.files import JOB_FILE, read_text_bytes, write_aside, write_new

DEEPEST = 4
"""Folders below the one of jobs that are looked into."""
BETWEEN = "~"
"""Stands for `/` in a job's name in addresses."""
PLAIN_NAME = re.compile(r"[^\W_][\w .+\-]{0,99}")
"""Names that a file sent to the page may have: no folder, no leading dot."""


class Stale(Exception):
    """The file has changed since the editor saw it; both texts are on the disk."""

    def __init__(self, there: bytes, revision: str, kept_as: Path) -> None:
        super().__init__(f"the file has changed meanwhile; yours is kept as {kept_as.name}")
        self.there = there
        self.revision = revision
        self.kept_as = kept_as


@dataclass(frozen=True)
class JobPlace:
    """A job of the folder: its name in addresses, and its file."""

    ident: str
    path: Path

    @property
    def folder(self) -> Path:
        return self.path.parent


@dataclass
class Store:
    """The folder of jobs. `root` is resolved; every path handed out lies in it."""

    root: Path
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def __post_init__(self) -> None:
        self.root = self.root.resolve()

    def jobs(self) -> tuple[JobPlace, ...]:
        """Every job of the folder and below, by name."""
        found: dict[str, JobPlace] = {}
        for path in self._job_files(self.root, 0):
            for ident in self._idents(path):
                if ident not in found:
                    found[ident] = JobPlace(ident, path)
                    break
        return tuple(sorted(found.values(), key=lambda each: each.ident.lower()))

    def job(self, ident: str) -> JobPlace | None:
        """The job of that name; None where the folder holds none."""
        return next((each for each in self.jobs() if each.ident == ident), None)

    def inside(self, folder: Path, name: str) -> Path:
        """The file `name` beside a job. Raises FileError where that leads out of the folder of
        jobs, by dots, a root or a link."""
        path = folder if "\0" in name else (folder / name).resolve()
        if "\0" in name or not path.is_relative_to(self.root):
            found = "it lies outside the folder that the page was started on"
            accepted = "start the page on a folder that holds it too"
            raise FileError(Fault(name, "", found, accepted))
        return path

    def read(self, path: Path) -> tuple[bytes, str]:
        """The bytes of a file and their revision. Raises FileError."""
        data = read_text_bytes(self.inside(path.parent, path.name))
        return data, revision_of(data)

    def save(self, path: Path, data: bytes, seen: str) -> str:
        """Put `data` in place of what has the revision `seen`; returns the new revision.

        What was there is kept in `earlier/`. Raises Stale where something else lies there now, and
        FileError where it cannot be written.
        """
        path = self.inside(path.parent, path.name)
        with self._lock:
            there = read_text_bytes(path)
            revision = revision_of(there)
            if revision != seen:
                raise Stale(there, revision, self.keep(path, data, "refused"))
            if data != there:
                self.keep(path, there)
                write_aside(path, data)
        return revision_of(data)

    def add(self, folder: Path, name: str, data: bytes) -> Path:
        """A new file; nothing is written over. Raises FileError where the name is no plain one, or
        is taken."""
        path = self.inside(folder, plain_name(name))
        with self._lock:
            folder.mkdir(parents=True, exist_ok=True)
            write_new(path, data)
        return path

    def keep(self, path: Path, data: bytes, why: str = "") -> Path:
        """Put `data` into `earlier/` beside `path`, under a name that says when, and what it is."""
        folder = self.inside(path.parent, EARLIER)
        folder.mkdir(exist_ok=True)
        now = datetime.now().strftime("%Y-%m-%dT%H-%M-%S")
        mark = ".".join(part for part in (now, why, revision_of(data)[:8]) if part)
        kept = self.inside(folder, f"{path.name}.{mark}")
        if not kept.exists():
            write_new(kept, data)
        return kept

    def earlier(self, path: Path) -> tuple[Path, ...]:
        """Versions of a file that were kept, latest first."""
        kept = path.parent / EARLIER
        found = kept.glob(f"{_literal(path.name)}.*") if kept.is_dir() else ()
        return tuple(sorted(found, key=lambda each: each.name, reverse=True))

    def _job_files(self, folder: Path, depth: int) -> Iterator[Path]:
        try:
            entries = sorted(os.scandir(folder), key=lambda each: each.name)
        except OSError:
            return
        names = [e.name for e in entries if e.name.endswith(DRAFT_ENDING) or e.name == JOB_FILE]
        for name in sorted(names, key=lambda each: each != JOB_FILE):
            if (folder / name).resolve().is_relative_to(self.root):
                yield folder / name
        if depth < DEEPEST:
            for entry in entries:
                hidden = entry.name.startswith(".") or entry.name in NOT_LOOKED_INTO
                if not hidden and entry.is_dir(follow_symlinks=False):
                    yield from self._job_files(folder / entry.name, depth + 1)

    def _idents(self, path: Path) -> Iterator[str]:
        """Names for a job, the best first."""
        parts = path.relative_to(self.root).parts
        if path.name == JOB_FILE:
            yield BETWEEN.join(parts[:-1]) or self.root.name or "job"
        else:
            yield BETWEEN.join((*parts[:-1], path.name.removesuffix(DRAFT_ENDING)))
        yield BETWEEN.join(parts)


def plain_name(name: str) -> str:
    """`name`, which was sent with a file. Raises FileError where it is more than a plain name."""
    if not PLAIN_NAME.fullmatch(name) or name.endswith("."):
        accepted = "use letters, digits, dots, dashes and blanks"
        raise FileError(Fault(name, "", "this name cannot be a file's here", accepted))
    return name


def revision_of(data: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def _literal(name: str) -> str:
    return re.sub(r"([*?\[])", r"[\1]", name)
