"""What parts cost, side by side: one column a job, bar or program."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from standclear.estimate.timing import NOTHING
from standclear.findings.finding import Verdict
from standclear.interval import Interval
from standclear.plan.cost.cost import JobCost
from standclear.plan.cost.side_by_side import Costed
from standclear.proof.result import JobProof
from standclear.report.lines import Line
from standclear.report.plan.timing import clock_words, part_words
from standclear.report.words import exit_status, open_findings

__all__ = ["CostTable", "Costed", "cost_lines", "cost_table"]

NAME = 20
NOT_COUNTED = "-"
ONE_PART = "one part"
NOT_CLEAR = (
    "A column that is not clear, or has something to mend, costs more than it says: its program "
    "has to be changed first."
)
SAME_S, SAME_MONEY = 0.05, 0.005
"""A smaller difference is none."""


@dataclass(frozen=True)
class CostTable:
    """The columns in words: rows that have nothing in any column are left out."""

    money: str
    """Its name; empty where none is given, or columns have each their own."""
    titles: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


def cost_table(columns: Sequence[Costed]) -> CostTable:
    """A row for each kind of money, and what each column costs and takes more than the first."""
    named = list(dict.fromkeys(c.cost.money for c in columns if c.cost.money))
    several = len(named) > 1
    rows = [
        ("verdict", [_verdict(c.proof) for c in columns]),
        ("time a part", [part_words(c.time) for c in columns]),
        ("of it in metal", [_in_metal(c) for c in columns]),
        ("against the first", [_longer(c, columns[0]) for c in columns]),
        ("machine", [_money(c.cost.machine) for c in columns]),
        ("preparation", [_plain(c.cost.preparation) for c in columns]),
        ("material", [_plain(_price(c.cost)) for c in columns]),
        ("edges", [_money(c.cost.edges) for c in columns]),
        (ONE_PART, [_part(c.cost) for c in columns]),
        ("against the first", [_dearer(c, columns[0]) for c in columns]),
        ("whole batch", [_batch(c.cost) for c in columns]),
        ("blanks a bar", [_blanks(c.cost) for c in columns]),
        ("bar a part", [_weight(c.cost) for c in columns]),
    ]
    if all(c.cost.material is None for c in columns):
        rows.append(("a blank weighs", [_blank(c.cost) for c in columns]))
    return CostTable(
        named[0] if len(named) == 1 else "",
        tuple(f"{c.title} ({c.cost.money})" if several else c.title for c in columns),
        tuple(
            (kind, tuple(values))
            for kind, values in rows
            if any(value != NOT_COUNTED for value in values)
        ),
    )


def cost_lines(columns: Sequence[Costed]) -> tuple[Line, ...]:
    """The whole answer: a row for each kind of money, then what is left out of each column."""
    return tuple(_lines(columns))


def _lines(columns: Sequence[Costed]) -> Iterator[Line]:
    table = cost_table(columns)
    wide = [
        max(len(text) for text in [title, *(values[k] for _, values in table.rows)])
        for k, title in enumerate(table.titles)
    ]
    money = f" ({table.money})" if table.money else ""
    yield Line(f"Cost of a part{money}", "heading")
    yield Line(_row("", table.titles, wide), "words", 2)
    for kind, values in table.rows:
        yield Line(_row(kind, values, wide), "heading" if kind == ONE_PART else "plain", 2)
    if any(exit_status(c.proof) for c in columns):
        yield Line("")
        yield Line(NOT_CLEAR, "mend")
    for whose, sentences in left_out(columns):
        yield Line("")
        yield Line(f"Not in these figures{whose}", "heading")
        for sentence in sentences:
            yield Line(sentence, indent=2)


def left_out(columns: Sequence[Costed]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What is in no column's figures, then what is not in those of one: `, its title`."""
    shared = [s for s in columns[0].cost.left_out if all(s in c.cost.left_out for c in columns)]
    if shared:
        yield "", tuple(shared)
    for column in columns:
        own = tuple(s for s in column.cost.left_out if s not in shared)
        if own:
            yield f", {column.title}", own


def _row(name: str, values: Sequence[str], wide: Sequence[int]) -> str:
    cells = "  ".join(f"{value:>{width}}" for value, width in zip(values, wide, strict=True))
    return f"{name:<{NAME}}{cells}".rstrip()


def _verdict(proof: JobProof) -> str:
    """A clear job may still have findings that ask for something."""
    asked = len(open_findings(proof))
    if proof.verdict is not Verdict.CLEAR or not asked:
        return str(proof.verdict)
    return f"{proof.verdict}, {asked} to mend"


def _in_metal(column: Costed) -> str:
    tools = [tool for setup in column.time.setups for tool in setup.tools]
    return clock_words(sum((tool.metal for tool in tools), start=NOTHING))


def _longer(column: Costed, first: Costed) -> str:
    if column is first:
        return NOT_COUNTED
    one, other = column.time.total, first.time.total
    return _more(one.lo - other.lo, one.hi - other.hi, SAME_S, 1, " s")


def _dearer(column: Costed, first: Costed) -> str:
    mine, its = column.cost, first.cost
    if column is first or mine.money != its.money or not (mine.counted and its.counted):
        return NOT_COUNTED
    return _more(mine.part.lo - its.part.lo, mine.part.hi - its.part.hi, SAME_MONEY, 2, "")


def _more(least: float, most: float, same: float, places: int, unit: str) -> str:
    """What is uncertain of both is so in the same way: least against least, most against most."""
    low, high = sorted((least, most))
    if max(abs(low), abs(high)) < same:
        return "the same"
    said = f"{low:+.{places}f}", f"{high:+.{places}f}"
    return f"{said[0]}{unit}" if said[0] == said[1] else f"{said[0]} to {said[1]}{unit}"


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


def _blank(cost: JobCost) -> str:
    return NOT_COUNTED if cost.blank_weight is None else f"{cost.blank_weight:.3f} kg"


def _weight(cost: JobCost) -> str:
    if cost.material is None or cost.material.weight is None:
        return NOT_COUNTED
    return f"{cost.material.weight:.3f} kg"
