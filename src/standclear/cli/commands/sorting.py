"""Sorting measured blanks."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.answering import say
from standclear.cli.base import guarded
from standclear.cli.options import AsJson, Large, OneJob


def box(
    job: OneJob,
    blanks: Annotated[
        Path,
        typer.Argument(help="CSV file: name, diameter, length and, if wanted, uncertainty."),
    ],
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Sort a box of measured blanks: as it is, with a shift of the zero, or not for this job.

    In the fewest shifts, each blank proved with its own. Exit status: 0 every blank runs; 1 some do
    not; 2 no answer. With --json: `groups` (`shift`, `lowest`, `highest`, `blanks`, `zeros` to key
    in) and `scrap` (`blank`, the limits that disagree or the `finding`, `verdict`).
    """
    with guarded(job, "sorting blanks for") as outcome:
        import standclear
        from standclear.job.unchanged import check_unchanged
        from standclear.plan.at_machine.box import read_blanks, sort_box
        from standclear.report.plan.box import box_lines
        from standclear.report.plan.plain_json import plain_json

        files = standclear.read_job(job, large=large)
        measured = read_blanks(blanks, files.job)
        found = sort_box(standclear.hold(files), files.job, measured)
        lines = box_lines(found, files.job.part.length, files.job.units)
        check_unchanged(files)
        if as_json:
            typer.echo(plain_json(found), nl=False)
        else:
            say(lines)
        outcome.append(int(bool(found.scrap)))
    raise typer.Exit(outcome[0])
