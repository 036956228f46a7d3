"""A program brought back from the control beside the job's own."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.answering import say
from standclear.cli.base import guarded, refuse
from standclear.cli.options import Large, OneJob


def compare(
    job: OneJob,
    program: Annotated[Path, typer.Argument(help="The program as it came from the control.")],
    of: Annotated[
        str | None, typer.Option(help="Which program of the job it is; left out: the only one.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Answer as JSON.")] = False,
    large: Large = False,
) -> None:
    """Compare a program from the control with the job's, word by word, and prove the job with it.

    Differences in motion, feed, speed and coolant come first, then words that move nothing, then
    comments and spacing. Exit status: 0 it moves alike and the job is clear with it; 1 not so; 2
    no answer. With --json: `program`, `verdict`, and `differences` (`matter`, `old_line`,
    `new_line`, `old`, `new`).
    """
    with guarded(program, "comparing") as outcome:
        import standclear
        from standclear.files import read_text_bytes
        from standclear.findings.finding import Verdict
        from standclear.job.unchanged import check_unchanged
        from standclear.plan.later.compare import compare as compared
        from standclear.report.plan.comparing import comparison_lines
        from standclear.report.plan.plain_json import plain_json

        files = standclear.read_job(job, large=large)
        name = of or (program.name if program.name in files.programs else None)
        if name is None and len(files.programs) == 1:
            name = next(iter(files.programs))
        if name is None or name not in files.programs:
            refuse(f"{job}: say with --of which it is: {', '.join(files.programs)}")
        new = read_text_bytes(program, large=large)
        found = compared(standclear.hold(files), files.job, name, new)
        check_unchanged(files)
        if as_json:
            typer.echo(plain_json(found), nl=False)
        else:
            say(comparison_lines(found, program))
        outcome.append(0 if found.moves_alike and found.verdict is Verdict.CLEAR else 1)
    raise typer.Exit(outcome[0])
