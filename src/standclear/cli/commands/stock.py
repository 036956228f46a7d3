"""Which blanks would be clear, and the bars of a rack."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded, refuse
from standclear.cli.options import AsJson, Bar, Face, Large, Length, OneJob


def stock(
    job: OneJob,
    rack: Annotated[
        Path | None, typer.Option(help="Rack file with the bars and offcuts at hand.")
    ] = None,
    parts: Annotated[
        int | None, typer.Option(help="Also say what to order for so many parts.")
    ] = None,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Say which other blanks would be clear, and hold a rack of bars against the job.

    Exit status: 0 the job's blank, or with --rack some bar of it, is clear as it stands; 1 none
    is; 2 no answer. With --json: `windows` (`setup`, empty for the whole job; `across`; `stated`;
    `edges` with `start` and `end` as (across, size), `side`, `against`, `setup`, `line`; `looked`;
    `notes`; `proved`, the verdict just inside each corner), `rows` of the rack (`fit`, `pieces`,
    `weight` in kg, `cost`), and `order`.
    """
    check_sizes(bar, length, face)
    if parts is not None and parts < 1:
        refuse(f"--parts is {parts}; give 1 or more")
    if parts is not None and rack is None:
        refuse("--parts needs --rack: it says what the saw takes")
    with guarded(job) as outcome:
        from standclear.findings.finding import Verdict
        from standclear.plan.rack.check import Fit, check_rack, order_for, saw_of
        from standclear.plan.rack.rack_file import read_rack
        from standclear.plan.windows.samples import prove_corners
        from standclear.plan.windows.stock import stock_windows
        from standclear.report.plan.plain_json import plain_json
        from standclear.report.plan.stock import order_lines, rack_lines, window_lines

        bars = None if rack is None else read_rack(rack)
        held, proof = proved(job, bar, length, face, large)
        windows = stock_windows(held, held.files.job, proof)
        rows = () if bars is None else check_rack(held, held.files.job, bars, windows[-1])
        order = None
        if bars is not None and parts is not None:
            order = order_for(held.files.job, parts, saw_of(bars), windows[-1])
        samples = [prove_corners(held, held.files.job, w) for w in windows]
        answer = window_lines(windows, samples, proof.units)
        answer += rack_lines(rows, proof.units) if rows else ()
        answer += order_lines(order, proof.units) if order else ()
        if as_json:
            shown = [
                {
                    "setup": w.setup,
                    "across": w.across,
                    "stated": w.stated,
                    "edges": w.edges,
                    "looked": w.looked,
                    "notes": w.notes,
                    "proved": [
                        {"across": s.across, "size": s.size, "verdict": s.verdict.value}
                        for s in corners
                    ],
                }
                for w, corners in zip(windows, samples, strict=True)
            ]
            told = [
                {
                    "name": r.stock.name,
                    "size": r.stock.size,
                    "fit": r.fit,
                    "verdict": None if r.verdict is None else r.verdict.value,
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
            ]
            typer.echo(plain_json({"windows": shown, "rows": told, "order": order}), nl=False)
        else:
            say(answer)
        clear = any(r.fit is Fit.CLEAR for r in rows) if rows else proof.verdict is Verdict.CLEAR
        outcome.append(0 if clear else 1)
    raise typer.Exit(outcome[0])
