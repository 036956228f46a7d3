"""What parts cost, side by side: one column a job or bar."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from standclear.estimate.job_time import JobTime
from standclear.findings.finding import Verdict
from standclear.interval import Interval
from standclear.plan.cost.cost import JobCost
from standclear.proof.result import JobProof
from standclear.report.plan.timing import clock_words
from standclear.report.text import Line

NAME = 14


@dataclass(frozen=True)
class Costed:
    """One column: a job on one bar."""

    title: str
    proof: JobProof
    time: JobTime
    cost: JobCost


def cost_lines(columns: Sequence[Costed]) -> tuple[Line, ...]:
    """The whole answer: a row for each kind of money, then what is left out of each column."""
    return tuple(_lines(columns))


def _lines(columns: Sequence[Costed]) -> Iterator[Line]:
    named = list(dict.fromkeys(c.cost.money for c in columns if c.cost.money))
    money = named[0] if len(named) == 1 else "each in its own money"
    rows = [
        ("verdict", [str(c.proof.verdict) for c in columns]),
        ("time a part", [clock_words(c.time.total) for c in columns]),
        ("machine", [_money(c.cost.machine) for c in columns]),
        ("preparation", [_plain(c.cost.preparation) for c in columns]),
        ("material", [_plain(_price(c.cost)) for c in columns]),
        ("edges", [_money(c.cost.edges) for c in columns]),
        ("one part", [_part(c.cost) for c in columns]),
        ("whole batch", [_batch(c.cost) for c in columns]),
        ("blanks a bar", [_blanks(c.cost) for c in columns]),
        ("bar a part", [_weight(c.cost) for c in columns]),
    ]
    several = len(named) > 1
    titles = [f"{c.title} ({c.cost.money})" if several else c.title for c in columns]
    wide = [
        max(len(text) for text in [title, *(values[k] for _, values in rows)])
        for k, title in enumerate(titles)
    ]
    yield Line(f"Cost of a part ({money})", "heading")
    yield Line(_row("", titles, wide), "words", 2)
    for kind, values in rows:
        if any(value != NOT_COUNTED for value in values):
            yield Line(_row(kind, values, wide), "heading" if kind == "one part" else "plain", 2)
    if any(c.proof.verdict is not Verdict.CLEAR for c in columns):
        yield Line("")
        yield Line(
            "A column that is not clear costs more than it says: its program has to be changed "
            "first.",
            "mend",
        )
    for column in columns:
        if column.cost.left_out:
            yield Line("")
            whose = f", {column.title}" if len(columns) > 1 else ""
            yield Line(f"Not in these figures{whose}", "heading")
            for sentence in column.cost.left_out:
                yield Line(sentence, indent=2)


NOT_COUNTED = "-"


def _row(name: str, values: Sequence[str], wide: Sequence[int]) -> str:
    cells = "  ".join(f"{value:>{width}}" for value, width in zip(values, wide, strict=True))
    return f"{name:<{NAME}}{cells}".rstrip()


def _money(span: Interval | None) -> str:
    if span is None:
        return NOT_COUNTED
    low, high = f"{span.lo:.2f}", f"{span.hi:.2f}"
    return low if low == high else f"{low}-{high}"


def _part(cost: JobCost) -> str:
    return _money(cost.part if cost.counted else None)


def _plain(value: float | None) -> str:
    return NOT_COUNTED if value is None else f"{value:.2f}"


def _price(cost: JobCost) -> float | None:
    return None if cost.material is None else cost.material.price


def _batch(cost: JobCost) -> str:
    if cost.batch is None or not cost.counted:
        return NOT_COUNTED
    return f"{_money(cost.whole_batch)} for {cost.batch}"


def _blanks(cost: JobCost) -> str:
    return NOT_COUNTED if cost.material is None else str(cost.material.blanks.count)


def _weight(cost: JobCost) -> str:
    if cost.material is None or cost.material.weight is None:
        return NOT_COUNTED
    return f"{cost.material.weight:.3f} kg"
