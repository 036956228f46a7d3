"""How long a part takes."""

from __future__ import annotations

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import AsJson, Bar, Face, Large, Length, OneJob


def time(
    job: OneJob,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Count the time of a part, tool by tool: in metal, in air, in rapid and waiting.

    Exit status: 0 a time; 2 no answer. With --json all times in seconds, lengths in mm, ranges as
    [least, most].
    """
    check_sizes(bar, length, face)
    with guarded(job, "timing") as outcome:
        from standclear.estimate.job_time import job_time
        from standclear.estimate.taken import all_taken
        from standclear.report.plan.plain_json import plain_json
        from standclear.report.plan.timing import time_lines

        held, proof = proved(job, bar, length, face, large)
        found = job_time(held.files.job, all_taken(held, held.files.job, proof))
        if as_json:
            typer.echo(plain_json(found), nl=False)
        else:
            say(time_lines(found, proof))
        outcome.append(0)
    raise typer.Exit(outcome[0])
