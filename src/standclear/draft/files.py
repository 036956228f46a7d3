"""Programs on a disk to job files beside them: one, several, or a folder at a time."""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import Enum
from pathlib import Path

from standclear.draft.draft import Draft, NothingToDraft, draft_job
from standclear.errors import Fault, FileError, StandclearError
from standclear.files import read_text_bytes, write_new

JOB_ENDING = ".job.toml"
NO_PROGRAMS = frozenset(
    {
        ".toml",
        ".json",
        ".md",
        ".svg",
        ".png",
        ".jpg",
        ".jpeg",
        ".gif",
        ".bmp",
        ".pdf",
        ".py",
        ".zip",
    }
)
"""Endings of files that a folder may hold beside programs; programs have any ending or none."""


_COPY = re.compile(r"(.+)\.O\d+(\.[^.]*)?")


class Ending(Enum):
    """What came of a program."""

    WRITTEN = "written"
    THERE = "a job file was there already"
    NOTHING = "nothing to make a job from"
    UNREADABLE = "could not be read"
    FAULT = "a fault in standclear itself"


@dataclass(frozen=True)
class Outcome:
    """What came of one program."""

    program: Path
    ending: Ending
    words: str = ""
    """Why no job was written."""
    job: Path | None = None
    draft: Draft | None = None


@dataclass
class Summary:
    """What came of many programs, kept small: no draft is held."""

    counts: Counter[Ending] = field(default_factory=Counter)
    trouble: list[Outcome] = field(default_factory=list)
    """Those that got no job."""
    words: Counter[str] = field(default_factory=Counter)
    """How often each word stands where it is not followed."""
    programs: Counter[str] = field(default_factory=Counter)
    """In how many programs."""
    not_whole: int = 0
    """Jobs written of programs that are not followed to their end."""

    def add(self, outcome: Outcome) -> None:
        """Count one more."""
        self.counts[outcome.ending] += 1
        if outcome.ending is not Ending.WRITTEN:
            self.trouble.append(outcome)
        if outcome.draft is not None and outcome.draft.unfollowed:
            self.not_whole += 1
            words = Counter(f"{each.word} {each.code}" for each in outcome.draft.unfollowed)
            self.words.update(words)
            self.programs.update(words.keys())

    @property
    def status(self) -> int:
        """As `status_of`, of the program that fared worst; 2 where there is none."""
        if self.trouble or not self.counts:
            return 2
        return int(self.not_whole > 0)


def programs_in(paths: Iterable[Path]) -> list[Path]:
    """The files named, and for a folder every file in it and below that may be a program.

    Hidden files and folders and files with an ending of `NO_PROGRAMS` are left out of folders. A
    file is named once.
    """
    found: dict[Path, None] = {}
    for path in paths:
        for each in _below(path) if path.is_dir() else (path,):
            found.setdefault(each)
    return list(found)


def write_draft(program: Path, *, large: bool = False) -> Outcome:
    """Write the job of a program beside it, and copies where it holds several programs.

    Never raises for what a program may hold or a disk may do; never writes over a file, and leaves
    none where the job could not be written.
    """
    job = job_path(program)
    try:
        if job.exists() or job.is_symlink():
            return Outcome(program, Ending.THERE, f"{job}: the file exists already, left alone")
        draft = draft_job(read_text_bytes(program, large=large), _name(program))
        files = {job.with_name(name): data for name, data in draft.copies.items()}
        taken = next((path for path, data in files.items() if _is_other(path, data)), None)
        if taken is not None:
            return Outcome(program, Ending.THERE, f"{taken}: another file exists, left alone")
        _write({p: d for p, d in files.items() if not p.exists()}, job, draft.text.encode("utf-8"))
    except NothingToDraft as error:
        return Outcome(program, Ending.NOTHING, f"{program}: {error}")
    except (StandclearError, OSError) as error:
        return Outcome(program, Ending.UNREADABLE, f"{error}")
    except Exception as error:  # one program must never stop the rest of a folder
        words = f"{program}: {type(error).__name__}: {error}"
        return Outcome(program, Ending.FAULT, words)
    return Outcome(program, Ending.WRITTEN, "", job, draft)


def job_path(program: Path) -> Path:
    """Where the job of a program is written: `pin.nc` gets `pin.nc.job.toml`."""
    return program.with_name(program.name + JOB_ENDING)


def status_of(outcome: Outcome) -> int:
    """0: a job, and every word is followed; 1: some words are not; 2: no job."""
    if outcome.draft is None:
        return 2
    return int(bool(outcome.draft.unfollowed))


def _is_other(path: Path, data: bytes) -> bool:
    """True where something stands at `path` that is not a file with these bytes."""
    if not (path.exists() or path.is_symlink()):
        return False
    return not path.is_file() or path.read_bytes() != data


def _write(copies: dict[Path, bytes], job: Path, text: bytes) -> None:
    """The copies first, then the job; all or none."""
    written: list[Path] = []
    try:
        for path, data in {**copies, job: text}.items():
            write_new(path, data)
            written.append(path)
    except FileError:
        for path in written:
            path.unlink(missing_ok=True)
        raise


def _name(program: Path) -> str:
    """The name of the file as the job file gives it. Raises FileError where it cannot be text."""
    try:
        program.name.encode("utf-8")
    except UnicodeEncodeError as error:
        found = "the name of the file is not UTF-8"
        shown = os.fsencode(program).decode("utf-8", "backslashreplace")
        raise FileError(Fault(shown, "", found, "rename the file")) from error
    return program.name


def _below(folder: Path) -> Iterator[Path]:
    for root, folders, files in os.walk(folder):
        folders[:] = sorted(each for each in folders if not each.startswith("."))
        for name in sorted(files):
            path = Path(root) / name
            if name.startswith(".") or path.suffix.lower() in NO_PROGRAMS or _is_copy(path):
                continue
            yield path


def _is_copy(path: Path) -> bool:
    """True for the copy of one program that an earlier draft of the whole file has made."""
    match = _COPY.fullmatch(path.name)
    return match is not None and job_path(path.with_name(match[1] + (match[2] or ""))).exists()
