"""Amending a program so that the job is clear on the blank in hand."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.base import check_sizes, guarded, refuse
from standclear.cli.options import AsJson, Bar, Face, Large, Length, OneJob


def amend(
    job: OneJob,
    write: Annotated[
        Path | None,
        typer.Option(
            help="The new file, or a folder for the changed programs under their own names; left "
            "out: NAME.amended.nc beside the program."
        ),
    ] = None,
    lift: Annotated[
        bool, typer.Option("--lift", help="Put clearance values into variables at the head.")
    ] = False,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Find the least edits that make a job clear, and write them to a new file.

    Exit status: 0 nothing is left to mend; 1 something is; 2 no answer. With --json: `before`,
    `after`, `edits` (with `level`), `moved`, `offset`, `left`, `beyond`, `not_mended`, `lifted`,
    `written`.
    """
    check_sizes(bar, length, face)
    with guarded(job, "amending") as outcome:
        from dataclasses import replace

        import standclear
        from standclear.files import write_new_together
        from standclear.findings.finding import Verdict
        from standclear.job.unchanged import check_unchanged
        from standclear.plan.amend.amend import amend as amended
        from standclear.plan.amend.lift import lift as lifted_of
        from standclear.report.lines import plain
        from standclear.report.plan.amending import amendment_json, amendment_lines

        files = standclear.read_job(job, bar=bar, length=length, face=face, large=large)
        held = standclear.hold(files)
        found = amended(held, files.job, standclear.judge(held, files.job))
        programs, lifted = dict(found.programs), None
        if lift:
            now = standclear.hold(
                replace(files, programs={**files.programs, **found.programs}), held
            )
            job_now = files.job if found.offset is None else found.offset.job
            lifted = lifted_of(now, job_now, standclear.judge(now, job_now))
            programs |= lifted.programs
        if write is not None and len(programs) > 1 and not write.is_dir():
            refuse(
                f"--write names one file, {write}, and {len(programs)} programs change "
                f"({', '.join(programs)}); give a folder that exists, or leave it out"
            )
        targets = {_target(files.folder / name, write): data for name, data in programs.items()}
        if len(targets) < len(programs):
            refuse(f"{write}: two of {', '.join(programs)} would get the same name there")
        check_unchanged(files)
        write_new_together(targets)
        written = [str(target) for target in targets]
        if as_json:
            data_out = amendment_json(found, lifted, written)
            typer.echo(json.dumps(data_out, indent=2, ensure_ascii=False))
        else:
            typer.echo(plain(amendment_lines(found, lifted, files.job.units)), nl=False)
            still = "" if found.after is Verdict.CLEAR else f": still {found.after}, not to be run"
            if not still and found.offset is not None:
                still = f": clear with {found.offset.offset} keyed in anew, not without"
            for each in written:
                typer.echo(f"written to {each}{still}", err=True)
        outcome.append(1 if found.left else 0)
    raise typer.Exit(outcome[0])


def _target(beside: Path, write: Path | None) -> Path:
    """Where a changed program goes."""
    if write is None:
        return beside.with_name(f"{beside.stem}.amended{beside.suffix}")
    return write / beside.name if write.is_dir() else write
