"""Errors that end without an answer: the job or a file is at fault, not the program's motions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a file: where, what was found and what is accepted."""

    file: str
    """Name of the file as the user knows it."""
    key: str
    """Path of the key, such as `setup[1].zero.way` (lists count from 0) or `tools.T3.wear`; empty
    when the file as a whole is at fault."""
    found: str
    """Reads on after 'is' where there is a key, and by itself where there is none."""
    accepted: str
    """What to do about it, as a request: `give a number greater than 0`."""

    def __str__(self) -> str:
        subject = f"{self.key} is {self.found}" if self.key else self.found
        return f"{self.file}: {subject}: {self.accepted}"


class StandclearError(Exception):
    """Root of every error that a user can cause and mend. Its text stands on its own."""


class FileError(StandclearError):
    """A file that cannot be read or written; `fault` says which and why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(str(fault))
        self.fault = fault


class JobError(StandclearError):
    """A job that cannot be used; `faults` holds every one found, one a line in the text."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


def told(error: BaseException, path: Path, doing: str = "proving") -> tuple[str, ...]:
    """What is said, a line each, of a job at `path` that ends without an answer. What is no fault
    of the user's is said to be one of the tool's own: it must never look like an answer."""
    if isinstance(error, StandclearError):
        return tuple(str(error).splitlines())
    if isinstance(error, OSError):
        where = error.filename if error.filename is not None else path
        return (f"{where}: {error.strerror or error}",)
    if isinstance(error, KeyboardInterrupt):
        return (f"{path}: stopped by hand; no verdict",)
    if isinstance(error, MemoryError):
        return (
            f"{path}: this machine has not the memory for it; no verdict: "
            "give a shorter program, or a machine with more",
        )
    return (
        f"{path}: a fault in standclear itself while {doing} it "
        f"({type(error).__name__}: {error}). This is no verdict: take the job as not proved.",
    )
