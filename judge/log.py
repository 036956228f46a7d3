"""A run's file of outcomes: one JSON line a job, under a head that says what they were made with.

Outcomes of two states of the source, or of runs that asked for different things, are never counted
together: a log that holds others is refused, or they are passed over and their seeds run again.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TextIO

Row = dict[str, Any]
WRITE_SECONDS = 5.0
"""Rows are written no further apart than this, and only while the source is what it was."""


class Refused(Exception):
    """A log that cannot be gone on with, and why."""


@dataclass(frozen=True)
class Head:
    """What the rows below it were made with."""

    source: str
    """The hash of the text of proof and judge."""
    commit: str
    clean: bool | None
    """Whether the checkout was that of the commit; None where there is none."""
    asked: dict[str, Any]
    """What changes the outcome of a seed: pixel, kind of jobs and the like."""
    begun: str = field(default_factory=lambda: datetime.now(UTC).isoformat(timespec="seconds"))

    def row(self) -> Row:
        """As a line of the log."""
        return {
            "source": self.source, "commit": self.commit, "clean": self.clean,
            "asked": self.asked, "begun": self.begun,
        }  # fmt: skip

    def same(self, other: Head) -> bool:
        """Whether rows under both may be counted together."""
        return self.source == other.source and self.asked == other.asked


@dataclass
class Stretch:
    """A head and the rows below it; None for rows that no head stands over."""

    head: Head | None
    rows: list[Row] = field(default_factory=list)


def read_log(path: Path) -> tuple[list[Stretch], int]:
    """What a log holds, and how many of its lines were broken off as they were written."""
    stretches: list[Stretch] = []
    broken = 0
    for text in path.read_text(encoding="utf-8").splitlines():
        try:
            row = json.loads(text)
        except ValueError:
            broken += 1
            continue
        if "head" in row:
            stretches.append(Stretch(Head(**row["head"])))
            continue
        if not stretches:
            stretches.append(Stretch(None))
        stretches[-1].rows.append(row)
    return stretches, broken


@dataclass
class Log:
    """A log that is being written; `rows` holds by seed what it held that counts."""

    path: Path
    head: Head
    now: Callable[[], str]
    """The source's hash as it is now."""
    rows: dict[int, Row]
    passed_over: int
    """Rows of other states of the source."""
    broken: int
    waiting: list[Row] = field(default_factory=list)
    written: float = field(default_factory=time.monotonic)

    def tell(self, stream: TextIO) -> None:
        """Says what the log holds that does not count."""
        if self.passed_over or self.broken:
            print(f"{self.path}: {self.passed_over} rows of other runs passed over, {self.broken} "
                  "lines broken off", file=stream)  # fmt: skip

    def append(self, row: Row) -> None:
        """Takes a row; it stands in the file some seconds later. Raises `Refused`."""
        self.waiting.append(row)
        if time.monotonic() - self.written > WRITE_SECONDS:
            self.write()

    def write(self) -> None:
        """Writes what waits. Raises `Refused`, and drops it, where the source has changed since the
        run began: who knows which of both made it."""
        waiting, self.waiting = self.waiting, []
        self.written = time.monotonic()
        if not waiting:
            return
        if self.now() != self.head.source:
            raise Refused(
                f"the source has changed while the run went on; the last {len(waiting)} outcomes "
                f"are not in {self.path}. Begin anew with the source as it is"
            )
        with self.path.open("a", encoding="utf-8") as file:
            file.write("".join(json.dumps(row) + "\n" for row in waiting))


def open_log(path: Path, head: Head, now: Callable[[], str], again: bool = False) -> Log:
    """Opens a log to go on with, or begins it. Raises `Refused` where it holds rows made with
    another source or asked for in another way, unless their seeds are to be run `again`."""
    stretches, broken = read_log(path) if path.exists() else ([], 0)
    rows: dict[int, Row] = {}
    strange: list[Stretch] = []
    for stretch in stretches:
        if stretch.head is not None and stretch.head.same(head):
            rows |= {int(row["seed"]): row for row in stretch.rows}
        elif stretch.rows:
            strange.append(stretch)
    if strange and not again:
        raise Refused(
            f"{path}: {_differs(strange[0], head)}. Name another log, or say --again: those rows "
            "stay, are not counted, and their seeds run again"
        )
    path.parent.mkdir(parents=True, exist_ok=True)
    text = path.read_bytes() if path.exists() else b""
    with path.open("a", encoding="utf-8") as file:
        if text and not text.endswith(b"\n"):
            file.write("\n")
        if not stretches or stretches[-1].head is None or not stretches[-1].head.same(head):
            file.write(json.dumps({"head": head.row()}) + "\n")
    return Log(path, head, now, rows, sum(len(each.rows) for each in strange), broken)


def _differs(stretch: Stretch, head: Head) -> str:
    """In which way rows are not of this run."""
    count = f"{len(stretch.rows)} rows"
    if stretch.head is None:
        return f"{count} without a head that says what they were made with"
    if stretch.head.source != head.source:
        return f"{count} of source {stretch.head.source}, this is {head.source}"
    there, here = stretch.head.asked, head.asked
    name = next(name for name in {**there, **here} if there.get(name) != here.get(name))
    return f"{count} with {name} {there.get(name)}, this run asks for {here.get(name)}"
