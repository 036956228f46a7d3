"""What parts cost, side by side."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded, refuse
from standclear.cli.options import AsJson, Face, Jobs, Large, Length

if TYPE_CHECKING:
    from standclear.plan.cost.side_by_side import Costed
    from standclear.proof.held import Held
    from standclear.proof.result import JobProof


def cost(
    jobs: Jobs,
    bar: Annotated[
        list[float] | None,
        typer.Option(
            help="Bar size in the job's unit, in place of the job's; given again: another column."
        ),
    ] = None,
    program: Annotated[
        list[Path] | None,
        typer.Option(
            help="Another text of the job's program, in a column of its own beside the job's."
        ),
    ] = None,
    of: Annotated[
        str | None, typer.Option(help="Which program of the job that is; left out: the only one.")
    ] = None,
    length: Length = None,
    face: Face = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Count what a part costs, jobs, bars and programs side by side: machine, material and edges.

    Exit status: 0 a cost, every column clear; 1 some column is not; 2 no answer for one of them.
    With --json a list of columns, times in seconds, ranges as [least, most].
    """
    bars: list[float | None] = [*bar] if bar else [None]
    for size in bars:
        check_sizes(size, length, face)
    if program and len(jobs) > 1:
        refuse("--program stands beside the program of one job")
    status = 0
    columns: list[Costed] = []
    for path in jobs:
        for size in bars:
            for text in (None, *(program or ())):
                with guarded(text or path, "costing") as outcome:
                    from standclear.plan.cost.side_by_side import costed
                    from standclear.report.words import exit_status

                    held, proof = proved(path, size, length, face, large)
                    if text is not None:
                        held, proof = _with_program(held, path, text, of, large=large)
                    title = _title(path, len(jobs) > 1, size, text, beside=bool(program))
                    columns.append(costed(held, held.files.job, proof, title or proof.title))
                    outcome.append(int(exit_status(proof) != 0))
                status = max(status, *outcome)
    if columns:
        _answer(columns, as_json=as_json)
    raise typer.Exit(status)


def _title(
    path: Path, several: bool, size: float | None, text: Path | None, *, beside: bool
) -> str:
    """What tells a column from the others; empty for a job alone."""
    parts = [str(path)] if several else []
    parts += [f"bar {size:g}"] if size else []
    if beside:
        parts.append("as it is" if text is None else text.name)
    return " ".join(parts)


def _with_program(
    held: Held, job: Path, text: Path, of: str | None, *, large: bool
) -> tuple[Held, JobProof]:
    """The job with another text of its program, proved."""
    import standclear
    from standclear.files import read_text_bytes
    from standclear.plan.cost.side_by_side import with_program

    names = list(held.files.programs)
    name = of or (text.name if text.name in names else names[0] if len(names) == 1 else None)
    if name not in names:
        refuse(f"{job}: say with --of which program it is: {', '.join(names)}")
    again = with_program(held, name, read_text_bytes(text, large=large))
    return again, standclear.judge(again, again.files.job)


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
