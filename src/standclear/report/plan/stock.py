"""Stock windows and the bars of a rack, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from standclear.findings.finding import Verdict
from standclear.plan.rack.check import Fit, Order, Row, sizes_at
from standclear.plan.windows.samples import Sample
from standclear.plan.windows.stock import Edge, Window
from standclear.report.changes import change_words
from standclear.report.sizes import length, number
from standclear.report.text import Line
from standclear.report.words import told

_ROLE = {
    Fit.CLEAR: "clear",
    Fit.CLEAR_BUT: "mend",
    Fit.AFTER_EDITS: "mend",
    Fit.NOT: "contact",
}


def stock_lines(
    windows: Sequence[Window],
    samples: Sequence[Sequence[Sample]],
    rows: Sequence[Row],
    order: Order | None,
    units: str,
) -> tuple[Line, ...]:
    """The whole answer: windows, the bars of a rack, what to order."""
    answer = window_lines(windows, samples, units)
    answer += rack_lines(rows, units) if rows else ()
    return answer + (order_lines(order, units) if order else ())


def stock_data(
    windows: Sequence[Window],
    samples: Sequence[Sequence[Sample]],
    rows: Sequence[Row],
    order: Order | None,
) -> dict[str, Any]:
    """The same as data for `plain_json`; lengths in mm."""
    return {
        "windows": [
            {
                "setup": w.setup,
                "across": w.across,
                "stated": w.stated,
                "edges": w.edges,
                "looked": w.looked,
                "notes": w.notes,
                "proved": [
                    {"across": s.across, "size": s.size, "verdict": s.verdict} for s in corners
                ],
            }
            for w, corners in zip(windows, samples, strict=True)
        ],
        "rows": [
            {
                "name": r.stock.name,
                "size": r.stock.size,
                "fit": r.fit,
                "verdict": r.verdict,
                "why": r.why,
                "reasons": [f.code for f in r.reasons],
                "changes": [
                    {"line": c.line, "column": c.column, "old": c.old, "new": c.new}
                    for c in r.changes
                ],
                "pieces": r.pieces,
                "weight": r.weight,
                "cost": r.cost,
                "cost_shared": r.cost_shared,
            }
            for r in rows
        ],
        "order": order,
    }


def window_lines(
    windows: Sequence[Window], samples: Sequence[Sequence[Sample]], units: str
) -> tuple[Line, ...]:
    """The windows, sizes in the job's unit and on diameter; margins of air not counted."""
    return tuple(_windows(windows, samples, units))


def _windows(
    windows: Sequence[Window], samples: Sequence[Sequence[Sample]], units: str
) -> Iterator[Line]:
    yield Line("Blanks that would also be clear", "heading")
    yield Line(
        "Sizes as stated, the job's tolerances on top. An edge is where a strike begins or "
        "clean-up ends; the margin of air, depth of cut and metal that comes loose are not "
        "counted: prove the blank that is taken.",
        indent=2,
    )
    for window, corners in zip(windows, samples, strict=True):
        across, size = window.stated
        whose = f"set-up {window.setup}" if window.setup else "whole job, zeros set as they are"
        here = "in the window" if window.holds(across, size) else "NOT in the window"
        yield Line(f"{whose}, {window.across} across", "heading", 2)
        yield Line(
            f"in hand: {window.across} {length(across, units)}, size {length(size, units)}: {here}",
            indent=4,
        )
        if window.region.is_empty:
            yield Line("no blank was found within what was looked at", "stop", 4)
        else:
            low, high = sizes_at(window, across)
            if low is not None and high is not None:
                yield Line(
                    f"at {window.across} {length(across, units)}: size from {length(low, units)} "
                    f"to {length(high, units)}",
                    indent=4,
                )
            for edge in joined(window.edges):
                yield Line(_edge(edge, window, units), indent=4)
        bad = [s for s in corners if s.verdict is not Verdict.CLEAR]
        yield Line(f"{len(corners)} corners proved, {len(corners) - len(bad)} clear", indent=4)
        for sample in bad:
            yield Line(
                f"NOT clear in the corner at {length(sample.across, units)}, size "
                f"{length(sample.size, units)}: {sample.verdict}; prove a blank near it by itself",
                "stop",
                4,
            )
        for note in window.notes:
            yield Line(f"Note: {note}.", indent=4)


def joined(edges: Sequence[Edge]) -> tuple[Edge, ...]:
    """Edges in order round the window; neighbours with the same beyond them made one."""
    found: list[Edge] = []
    for edge in edges:
        last = found[-1] if found else None
        same = last is not None and last.end == edge.start
        if last is not None and same and _beyond(last) == _beyond(edge):
            found[-1] = Edge(
                last.start, edge.end, edge.side, edge.against, edge.setup, edge.line
            )  # fmt: skip
        else:
            found.append(edge)
    return tuple(found)


def _beyond(edge: Edge) -> tuple[str, str, str, int]:
    return edge.side, edge.against, edge.setup, edge.line


def _edge(edge: Edge, window: Window, units: str) -> str:
    (x0, d0), (x1, d1) = edge.start, edge.end
    where = (
        f"from {number(x0, units)}, size {number(d0, units)} to {number(x1, units)}, size "
        f"{number(d1, units)}: "
    )
    if not edge.setup:
        return f"{where}not looked further"
    line = f", line {edge.line}" if edge.line else ""
    return f"{where}beyond it {edge.side} ({edge.against}), set-up {edge.setup}{line}"


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
        for finding in row.reasons[:3] if row.fit is not Fit.AFTER_EDITS else ():
            line = f", line {finding.place.line}" if finding.place else ""
            yield Line(f"set-up {finding.setup}{line}: {told(finding, units)}", indent=4)
        for change in row.changes:
            yield Line(change_words(change, units), "cure", 4)
        yield Line(_sums(row, units), indent=4)
    yield Line(
        "Every answer but one with a 'because' was proved with that blank. The time of "
        "extra passes is not in the cost.",
        indent=2,
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
        f"{length(order.bar_length, units)} of bar with saw cuts, trim and remnant{weight}",
        indent=2,
    )
