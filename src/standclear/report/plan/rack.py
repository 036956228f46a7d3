"""The bars of a rack and what to order, in words and as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from standclear.interval import Interval
from standclear.plan.amend.amend import Amendment, Edit
from standclear.plan.rack.check import Fit, Order, Row
from standclear.plan.rack.timing import BarTime
from standclear.proof.result import WordChange
from standclear.report.changes import change_words
from standclear.report.lines import Line
from standclear.report.plan.timing import clock_words
from standclear.report.sizes import fill, length
from standclear.report.words import told

_ROLE = {
    Fit.CLEAR: "clear",
    Fit.CLEAR_BUT: "mend",
    Fit.AFTER_EDITS: "mend",
    Fit.NOT: "contact",
}
MOST_REASONS = 3
"""Findings named of one bar."""
SAME_S = 0.05
"""Seconds: a smaller difference is none."""


def rack_lines(rows: Sequence[Row], units: str) -> tuple[Line, ...]:
    """Each bar of a rack, every answer proved."""
    return tuple(_rack(rows, units))


def _rack(rows: Sequence[Row], units: str) -> Iterator[Line]:
    yield Line("")
    yield Line("Bars and offcuts", "heading")
    for row in rows:
        stock = row.stock
        name = f"{stock.name}: " if stock.name else ""
        yield Line(
            f"{name}{stock.shape} {length(stock.size, units)}, {length(stock.length, units)} long, "
            f"{stock.count} at hand: {row.fit}",
            _ROLE[row.fit],
            2,
        )
        if row.why:
            yield Line(f"because {row.why}", indent=4)
        for finding in row.reasons[:MOST_REASONS] if row.fit is not Fit.AFTER_EDITS else ():
            line = f", line {finding.place.line}" if finding.place else ""
            yield Line(f"set-up {finding.setup}{line}: {told(finding, units)}", indent=4)
        for change in row.changes:
            yield Line(change_words(change, units), "cure", 4)
        if row.amendment is not None:
            yield from _edits(row.amendment, units)
        yield Line(_sums(row, units), indent=4)
        if row.time is not None:
            yield Line(_time(row.time, _material(row)), indent=4)
    yield Line(
        "Every answer but one with a 'because' was proved with that blank. What times leave out is "
        "named by: standclear time.",
        indent=2,
    )


def _edits(found: Amendment, units: str) -> Iterator[Line]:
    for edit in found.edits:
        where = f"set-up {edit.setup}, line {edit.line}: "
        done = f"{edit.old} -> {edit.new}"
        if not edit.old:
            done = f"put in front of it {', '.join(edit.new.splitlines())}"
        why = fill(edit.reason, edit.measures, units)
        yield Line(f"{where}{done}   ({why}; {edit.level})", "cure", 4)
    if found.moved is not None:
        m = found.moved
        yield Line(
            f"set-up {m.setup}: lines {m.first} to {m.last} put in front of line {m.to}", "cure", 4
        )
    if found.offset is not None:
        key = found.offset
        yield Line(
            f"set-up {key.setup}, {key.offset}: key in {length(key.new, units)} in place of "
            f"{length(key.old, units)}",
            "cure",
            4,
        )


def _sums(row: Row, units: str) -> str:
    said = [
        f"{row.pieces.count} blanks of {length(row.blank_length, units)} a bar, "
        f"{length(row.pieces.left, units)} left"
    ]
    if row.weight is None:
        said.append("weight not known: give the density")
    else:
        said.append(f"{row.weight:.3f} kg a blank")
    if row.cost is not None:
        said.append(f"material {row.cost:.2f} a part with its saw cut")
    if row.cost_shared is not None:
        said.append(f"{row.cost_shared:.2f} with the whole bar shared out")
    return "; ".join(said)


def _material(row: Row) -> float | None:
    """Money for the material of a part: with the whole bar shared out where it can be."""
    return row.cost if row.cost_shared is None else row.cost_shared


def _time(time: BarTime, material: float | None) -> str:
    """Seconds, and money with `material` for that of a part."""
    said = f"a part takes {clock_words(time.seconds)}"
    more = (time.more.lo + time.more.hi) / 2
    if abs(more) >= SAME_S:
        than = "more" if more > 0 else "less"
        said += f", {abs(more):.1f} s {than} than on the job's blank"
    if time.cost is not None:
        said += f"; machine {_money(time.cost)} a part"
        if material is not None:
            said += f", with its material {_money(time.cost + material)}"
    return said


def _money(found: Interval) -> str:
    low, high = f"{found.lo:.2f}", f"{found.hi:.2f}"
    return low if low == high else f"{low} to {high}"


def order_lines(order: Order, units: str) -> tuple[Line, ...]:
    """What to order for some parts."""
    return tuple(_order(order, units))


def _order(order: Order, units: str) -> Iterator[Line]:
    yield Line("")
    yield Line(f"To order for {order.parts} parts", "heading")
    sizes = "no size is clear at this length"
    if order.least_size is not None and order.greatest_size is not None:
        sizes = (
            f"sizes from {length(order.least_size, units)} to {length(order.greatest_size, units)} "
            "are clear at this length"
        )
    yield Line(f"size {length(order.size, units)} as the job states it; {sizes}", indent=2)
    yield Line(f"cut length {length(order.cut_length, units)}", indent=2)
    weight = "" if order.weight is None else f", {order.weight:.2f} kg"
    yield Line(
        f"{length(order.bar_length, units)} of bar in one length, with saw cuts, trim and "
        f"remnant{weight}",
        indent=2,
    )
    for bar, each, count in order.bars:
        yield Line(f"or {count} x {length(bar, units)}, {each} blanks a bar", indent=2)


def rack_data(rows: Sequence[Row]) -> list[dict[str, Any]]:
    """The bars as data for `plain_json`; lengths in mm."""
    return [
        {
            "name": r.stock.name,
            "shape": r.stock.shape,
            "size": r.stock.size,
            "length": r.stock.length,
            "count": r.stock.count,
            "blank_length": r.blank_length,
            "fit": r.fit,
            "verdict": r.verdict,
            "why": r.why,
            "reasons": [f.code for f in r.reasons],
            "in_window": r.in_window,
            "changes": [_change(c) for c in r.changes]
            + [_change(e) for e in (r.amendment.edits if r.amendment is not None else ())],
            "offset": _offset(r.amendment),
            "time": r.time,
            "pieces": r.pieces,
            "weight": r.weight,
            "cost": r.cost,
            "cost_shared": r.cost_shared,
        }
        for r in rows
    ]


def _change(change: WordChange | Edit) -> dict[str, Any]:
    return {
        "setup": change.setup,
        "line": change.line,
        "column": change.column,
        "old": change.old,
        "new": change.new,
    }


def _offset(found: Amendment | None) -> dict[str, Any] | None:
    key = None if found is None else found.offset
    if key is None:
        return None
    return {"setup": key.setup, "offset": key.offset, "old": key.old, "new": key.new}
