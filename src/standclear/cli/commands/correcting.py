"""Corrections after the first part is measured."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import AsJson, Bar, Face, Large, Length, OneJob


def correct(
    job: OneJob,
    measured: Annotated[
        Path,
        typer.Argument(
            help="CSV file: name, measured and, if wanted, uncertainty; names as prove lists them."
        ),
    ],
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Say what to key in after the first part is measured, with the sums, proved again.

    Exit status: 0 every measured size is right then and the job clear; 1 not; 2 no answer. With
    --json: `keyed` (kind `zero`, `z` or `x`, `word`, `setups`, `change`, `old`, `new`, `because`),
    `sizes`, `tapers`, `moves` (raw face and gaps before and after), the verdict `proved`,
    `new_findings`, `not_as_summed`, `not_measured`.
    """
    check_sizes(bar, length, face)
    with guarded(job) as outcome:
        from standclear.plan.first_part.correct import correct as correct_part
        from standclear.plan.first_part.measurements import read_measurements
        from standclear.report.plan.first_part import correction_lines
        from standclear.report.plan.plain_json import plain_json

        held, proof = proved(job, bar, length, face, large)
        gauges = read_measurements(measured, held.files.job, proof)
        found = correct_part(held, held.files.job, proof, gauges)
        lines = correction_lines(found, proof.units)
        if as_json:
            typer.echo(plain_json(found), nl=False)
        else:
            say(lines)
        outcome.append(0 if found.settled else 1)
    raise typer.Exit(outcome[0])
