"""What parts cost, side by side."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import AsJson, Face, Jobs, Large, Length

if TYPE_CHECKING:
    from standclear.report.plan.cost import Costed


def cost(
    jobs: Jobs,
    bar: Annotated[
        list[float] | None,
        typer.Option(
            help="Bar size in the job's unit, in place of the job's; given again: another column."
        ),
    ] = None,
    length: Length = None,
    face: Face = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Count what a part costs, jobs and bars side by side: machine, material and edges.

    Exit status: 0 a cost, every column clear; 1 some column is not; 2 no answer for one of them.
    With --json a list of columns, times in seconds, ranges as [least, most].
    """
    bars: list[float | None] = [*bar] if bar else [None]
    for size in bars:
        check_sizes(size, length, face)
    status = 0
    columns = []
    for path in jobs:
        for size in bars:
            with guarded(path, "costing") as outcome:
                from standclear.estimate.job_time import job_time
                from standclear.estimate.taken import all_taken
                from standclear.plan.cost.cost import job_cost
                from standclear.report.plan.cost import Costed
                from standclear.report.words import exit_status

                held, proof = proved(path, size, length, face, large)
                time = job_time(held.files.job, all_taken(held, held.files.job, proof))
                title = " ".join(
                    [*([str(path)] if len(jobs) > 1 else []), *([f"bar {size:g}"] if size else [])]
                )
                columns.append(
                    Costed(title or proof.title, proof, time, job_cost(held.files.job, time))
                )
                outcome.append(int(exit_status(proof) != 0))
            status = max(status, *outcome)
    if columns:
        _answer(columns, as_json=as_json)
    raise typer.Exit(status)


def _answer(columns: list[Costed], *, as_json: bool) -> None:
    from standclear.report.plan.cost import cost_lines
    from standclear.report.plan.plain_json import plain_json

    if not as_json:
        say(cost_lines(columns))
        return
    told = [
        {"title": c.title, "verdict": str(c.proof.verdict), "time": c.time.total, "cost": c.cost}
        for c in columns
    ]
    typer.echo(plain_json(told), nl=False)
