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
    `notes`; `proved`, the verdict just inside each corner), `shifts` (how far each zero may move:
    `toward` and `away` with `by`, `stops`, `verdict`), `rows` of the rack (`fit`, `pieces`,
    `weight` in kg, `cost`), and `order`. Lengths in mm.
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
        from standclear.plan.windows.shift import shift_windows
        from standclear.plan.windows.stock import stock_windows
        from standclear.report.plan.plain_json import plain_json
        from standclear.report.plan.stock import stock_data, stock_lines

        bars = None if rack is None else read_rack(rack)
        held, proof = proved(job, bar, length, face, large)
        windows = stock_windows(held, held.files.job, proof)
        shifts = shift_windows(held, held.files.job, proof)
        rows = () if bars is None else check_rack(held, held.files.job, bars, windows[-1])
        order = None
        if bars is not None and parts is not None:
            order = order_for(
                held.files.job,
                parts,
                saw_of(bars),
                windows[-1],
                [row.stock.length for row in rows if row.fit is not Fit.NOT],
            )
        samples = [prove_corners(held, held.files.job, w) for w in windows]
        if as_json:
            typer.echo(plain_json(stock_data(windows, samples, shifts, rows, order)), nl=False)
        else:
            say(stock_lines(windows, samples, shifts, rows, order, proof.units))
        clear = any(r.fit is Fit.CLEAR for r in rows) if rows else proof.verdict is Verdict.CLEAR
        outcome.append(0 if clear else 1)
    raise typer.Exit(outcome[0])
