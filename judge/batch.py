"""Runs a task over many seeds, on several processes and for a time, and says how far it is."""

from __future__ import annotations

import sys
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from typing import TextIO, TypeVar

AHEAD = 4
"""Seeds handed out at once for each process: so many are finished after the time is up."""
TELL_SECONDS = 60.0
"""Between two lines of progress where there is no terminal."""

T = TypeVar("T")


class Died(Exception):
    """A process that came to its end before it gave an answer."""


def outcomes(task: Callable[[int], T], seeds: Iterable[int], workers: int,
             minutes: float | None = None) -> Iterator[T]:  # fmt: skip
    """What the task gives for each seed, in their order; begins none after so many minutes.

    Raises `Died` where a process does.
    """
    until = None if minutes is None else time.monotonic() + 60 * minutes
    left = iter(seeds)
    if workers <= 1:
        for seed in left:
            if until is not None and time.monotonic() >= until:
                return
            yield task(seed)
        return
    waiting: deque[tuple[int, Future[T]]] = deque()
    try:
        with ProcessPoolExecutor(workers) as pool:
            for seed in left:
                if until is not None and time.monotonic() >= until:
                    break
                waiting.append((seed, pool.submit(task, seed)))
                if len(waiting) >= AHEAD * workers:
                    yield waiting[0][1].result()
                    waiting.popleft()
            while waiting:
                yield waiting[0][1].result()
                waiting.popleft()
    except BrokenProcessPool as fault:
        raise Died(
            "a process died (killed, or without memory) at one of the seeds from "
            f"{waiting[0][0]} to {waiting[-1][0]}"
        ) from fault


@dataclass
class Progress:
    """Tells how far a run is: in place on a terminal, else by a line a minute."""

    total: int
    done: int
    """Known before the run began."""
    stream: TextIO = field(default_factory=lambda: sys.stderr)
    clock: Callable[[], float] = time.monotonic
    begun: float = 0.0
    told: float = 0.0
    here: int = 0

    def __post_init__(self) -> None:
        self.begun = self.told = self.clock()

    def step(self, counts: str) -> None:
        """One more is done; `counts` says what has been found."""
        self.here += 1
        now = self.clock()
        terminal = self.stream.isatty()
        if not terminal and now - self.told < TELL_SECONDS:
            return
        self.told = now
        count = self.done + self.here
        spent = now - self.begun
        left = (self.total - count) * spent / self.here
        line = (
            f"{spent / 60:.0f} min: {count} of {self.total}, {counts}; "
            f"{self.here / max(spent, 1e-9):.1f} a second, about {left / 60:.0f} min left"
        )
        print(f"\r{line}" if terminal else line, end="" if terminal else "\n", file=self.stream,
              flush=True)  # fmt: skip

    def end(self) -> None:
        """Leaves the terminal's line."""
        if self.here and self.stream.isatty():
            print(file=self.stream)
