"""What lies on the bench: jobs that are open, each read, held and proved once, ready to be asked.

An open job is known by its revision, a hash over every file that it is made of. Where a file
changes on the disk, the job is read anew at the next question; motions that stay are not swept
again.
"""

from __future__ import annotations

import hashlib
import threading
import tomllib
from collections import OrderedDict
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from standclear.errors import Fault, FileError, JobError, StandclearError
from standclear.job.read import JobFiles, read_job
from standclear.page.store import JobPlace, Store
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

MOST_OPEN = 6
"""Jobs held at the same time: each keeps its sweeps in memory."""
Mark = tuple[tuple[str, int, int], ...]
"""Name, time of change and size of each file: the quick look whether anything has changed."""


@dataclass(frozen=True)
class OpenJob:
    """A job as its files are now. Where it cannot be proved, `faults` say why, and the rest that
    needs it is None."""

    place: JobPlace
    revision: str
    names: tuple[str, ...]
    """Every file that the job is made of, as its job file names them; the job file first."""
    faults: tuple[Fault, ...] = ()
    files: JobFiles | None = None
    held: Held | None = None
    proof: JobProof | None = None
    memo: dict[str, Any] = field(default_factory=dict)
    """What views have worked out of this revision; gone with it."""
    lock: threading.Lock = field(default_factory=threading.Lock)
    """Held while something for the memo is worked out."""

    @property
    def ident(self) -> str:
        return self.place.ident

    @property
    def ready(self) -> tuple[JobFiles, Held, JobProof]:
        """Raises JobError with the faults where the job cannot be proved."""
        if self.files is None or self.held is None or self.proof is None:
            raise JobError(self.faults)
        return self.files, self.held, self.proof


@dataclass
class Bench:
    """The open jobs of a folder. Safe to be asked by several threads at once."""

    store: Store
    _open: OrderedDict[str, tuple[Mark, OpenJob]] = field(default_factory=OrderedDict)
    _places: dict[str, JobPlace] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)
    """Held for the tables alone."""
    _reading: dict[str, threading.Lock] = field(default_factory=dict)
    """By job, held while it is read and proved: others are answered meanwhile."""

    def place(self, ident: str) -> JobPlace | None:
        """Where the job of that name lies; None where there is none."""
        with self._lock:
            known = self._places.get(ident)
        if known is not None and known.path.is_file():
            return known
        places = {place.ident: place for place in self.store.jobs()}
        with self._lock:
            self._places = places
        return places.get(ident)

    def job(self, ident: str) -> OpenJob:
        """The job of that name as its files are now. Raises KeyError where there is none."""
        place = self.place(ident)
        if place is None:
            raise KeyError(ident)
        with self._lock:
            reading = self._reading.setdefault(ident, threading.Lock())
        with reading:
            with self._lock:
                mark, known = self._open.get(ident, ((), None))
            if known is not None and mark == self._mark(place, known.names):
                fresh = known
            else:
                names, faults = self._names(place)
                # Taken before reading: what changes meanwhile is read at the next question.
                mark = self._mark(place, names)
                fresh = self._read(place, names, faults, known)
            with self._lock:
                self._open[ident] = (mark, fresh)
                self._open.move_to_end(ident)
                while len(self._open) > MOST_OPEN:
                    self._open.popitem(last=False)
            return fresh

    def _read(
        self,
        place: JobPlace,
        names: tuple[str, ...],
        faults: tuple[Fault, ...],
        known: OpenJob | None,
    ) -> OpenJob:
        revision = self._revision(place, names)
        if known is not None and known.revision == revision:
            return known
        if faults:
            return OpenJob(place, revision, names, faults)
        try:
            files = read_job(place.path)
            before = known.held if known is not None else None
            if before is not None and before.files.job == files.job:
                # The same object tells `hold` that only programs may differ.
                files = replace(files, job=before.files.job)
            held = hold(files, before)
            return OpenJob(place, revision, names, (), files, held, judge(held, files.job))
        except JobError as error:
            return OpenJob(place, revision, names, error.faults)
        except FileError as error:
            return OpenJob(place, revision, names, (error.fault,))
        except StandclearError as error:
            return OpenJob(place, revision, names, (Fault(place.path.name, "", str(error), ""),))
        except OSError as error:
            found = f"a file cannot be read ({error.strerror})"
            return OpenJob(place, revision, names, (Fault(place.path.name, "", found, "look"),))

    def _names(self, place: JobPlace) -> tuple[tuple[str, ...], tuple[Fault, ...]]:
        """Every file that the job file names, and a fault for each that may not be read."""
        names: dict[str, None] = {place.path.name: None}
        faults: list[Fault] = []
        try:
            raw = tomllib.loads(place.path.read_text("utf-8-sig"))
        except (OSError, ValueError, RecursionError):
            return tuple(names), ()  # `read_job` says what is wrong with it
        for name in _named(raw):
            try:
                self.store.inside(place.folder, name)
            except FileError as error:
                faults.append(error.fault)
            else:
                names.setdefault(name)
        return tuple(names), tuple(faults)

    def _mark(self, place: JobPlace, names: tuple[str, ...]) -> Mark:
        found = []
        for name in names:
            try:
                known = (place.folder / name).stat()
            except (OSError, ValueError):
                found.append((name, 0, -1))
            else:
                found.append((name, known.st_mtime_ns, known.st_size))
        return tuple(found)

    def _revision(self, place: JobPlace, names: tuple[str, ...]) -> str:
        total = hashlib.sha256()
        for name in names:
            path = place.folder / name
            data = path.read_bytes() if path.is_file() else b""
            total.update(name.encode("utf-8", "replace") + b"\0")
            total.update(hashlib.sha256(data).digest())
        return total.hexdigest()[:16]

    def file(self, job: OpenJob, name: str) -> Path:
        """The file `name` of a job. Raises KeyError where the job is not made of it."""
        if name not in job.names:
            raise KeyError(name)
        return self.store.inside(job.place.folder, name)


def _named(raw: dict[str, Any]) -> Iterator[str]:
    """File names in the tables of a job file."""
    for key in ("machine", "tools", "jaws", "shop"):
        yield from _texts(raw.get(key))
    yield from _texts(raw.get("subprograms"))
    setups = raw.get("setup")
    for setup in setups if isinstance(setups, list) else ():
        if isinstance(setup, dict):
            yield from _texts(setup.get("program"))
            yield from _texts(setup.get("jaws"))


def _texts(value: object) -> Iterator[str]:
    for each in value if isinstance(value, list) else (value,):
        if isinstance(each, str) and each:
            yield each
