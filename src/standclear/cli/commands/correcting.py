"""Corrections after the first part is measured."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import Bar, Face, Large, Length, OneJob


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
    as_json: Annotated[bool, typer.Option("--json", help="Answer as JSON, lengths in mm.")] = False,
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
        import standclear
        from standclear.plan.first_part.correct import correct as correct_part
        from standclear.plan.first_part.measurements import read_measurements
        from standclear.report.plan.first_part import correction_lines
        from standclear.report.plan.plain_json import plain_json
        from standclear.report.text import plain, show

        files = standclear.read_job(job, bar=bar, length=length, face=face, large=large)
        held = standclear.hold(files)
        proof = standclear.judge(held, files.job)
        gauges = read_measurements(measured, files.job, proof)
        found = correct_part(held, files.job, proof, gauges)
        lines = correction_lines(found, proof.units)
        if as_json:
            typer.echo(plain_json(found), nl=False)
        elif sys.stdout.isatty():
            from rich.console import Console

            show(lines, Console())
        else:
            typer.echo(plain(lines), nl=False)
        outcome.append(0 if found.settled else 1)
    raise typer.Exit(outcome[0])
