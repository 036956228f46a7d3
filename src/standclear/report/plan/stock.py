"""The answer of `stock`: windows, shifts, the bars of a rack, what to order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from standclear.findings.finding import Verdict
from standclear.plan.rack.check import Order, Row, sizes_at
from standclear.plan.windows.edges import Edge
from standclear.plan.windows.samples import Sample
from standclear.plan.windows.shift import ShiftWindow
from standclear.plan.windows.stock import Window
from standclear.report.lines import Line
from standclear.report.plan.rack import order_lines, rack_data, rack_lines
from standclear.report.plan.shifts import shift_data, shift_lines
from standclear.report.sizes import length, number


def stock_lines(
    windows: Sequence[Window],
    samples: Sequence[Sequence[Sample]],
    shifts: Sequence[ShiftWindow],
    rows: Sequence[Row],
    order: Order | None,
    units: str,
) -> tuple[Line, ...]:
    """The whole answer, lengths in the job's unit."""
    answer = window_lines(windows, samples, units) + shift_lines(shifts, units)
    answer += rack_lines(rows, units) if rows else ()
    return answer + (order_lines(order, units) if order else ())


def stock_data(
    windows: Sequence[Window],
    samples: Sequence[Sequence[Sample]],
    shifts: Sequence[ShiftWindow],
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
        "shifts": shift_data(shifts),
        "rows": rack_data(rows),
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
        "Sizes as stated, the job's tolerances on top. An edge is where a strike begins, "
        "clean-up ends or metal comes loose; the margin of air and the depth of cut are "
        "not counted: prove the blank that is taken.",
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
