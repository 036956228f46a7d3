"""Whole-program readings: control rows that change what the text says, each value a run of its own.

A row is opened only when the program meets a place where its values differ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Generic, TypeVar

MOST_READINGS = 8
Result = TypeVar("Result")


@dataclass
class Chooser:
    """Answers 'which value has this row here?' for one run and notes which rows were open."""

    given: dict[str, str] = field(default_factory=dict)
    opened: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Rows first met in this run, in order, with the values not yet tried."""

    def value(self, row: str, stated: str | None, values: tuple[str, ...]) -> str:
        """The job's value; else the one this run stands for; else the first, noting the rest."""
        if stated is not None:
            return stated
        if row not in self.given:
            self.given[row] = values[0]
            self.opened[row] = values[1:]
        return self.given[row]

    @property
    def reading(self) -> tuple[str, ...]:
        """The open values of this run, `row=value`."""
        return tuple(f"{row}={value}" for row, value in self.given.items())


@dataclass(frozen=True)
class Runs(Generic[Result]):
    """Results of all readings, and the rows left untried when there were too many."""

    results: tuple[Result, ...]
    untried: tuple[str, ...]


def every_reading(run: Callable[[Chooser], Result], most: int = MOST_READINGS) -> Runs[Result]:
    """Runs once for each combination of values of the rows that runs turn out to consult."""
    results: list[Result] = []
    waiting: list[dict[str, str]] = [{}]
    while waiting and len(results) < most:
        chooser = Chooser(given=waiting.pop(0))
        results.append(run(chooser))
        waiting.extend(_branches(chooser))
    return Runs(tuple(results), tuple(dict.fromkeys(row for each in waiting for row in each)))


def _branches(chooser: Chooser) -> Iterator[dict[str, str]]:
    """The runs that differ from this one in one newly met row; rows met after it stay open."""
    met = list(chooser.given)
    for row, others in chooser.opened.items():
        before = {name: chooser.given[name] for name in met[: met.index(row)]}
        for value in others:
            yield {**before, row: value}
