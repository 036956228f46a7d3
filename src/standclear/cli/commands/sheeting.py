"""The set-up sheet, and whether one that was printed still stands."""

from __future__ import annotations

import os
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.answering import say
from standclear.cli.base import check_sizes, guarded, refuse
from standclear.cli.options import Bar, Face, Large, Length
from standclear.files import JOB_FILE


class Paper(StrEnum):
    """Sizes of paper."""

    A4 = "a4"
    LETTER = "letter"


def sheet(
    job: Annotated[
        Path | None, typer.Argument(help=f"Job file, or a folder that holds {JOB_FILE}.")
    ] = None,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="PDF file to write; a new one.")
    ] = None,
    paper: Annotated[Paper, typer.Option(help="Size of the paper.")] = Paper.A4,
    practice: Annotated[
        bool, typer.Option("--practice", help="Leave the sums blank; the answers follow.")
    ] = False,
    check: Annotated[
        Path | None,
        typer.Option(help="Say instead whether this sheet still stands for its files."),
    ] = None,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    large: Large = False,
) -> None:
    """Write the set-up sheet of a job as PDF: a page for each set-up, three for the part.

    A sheet that is not clear says so across every page. Exit status: 0 clear and nothing to mend;
    1 any other answer, the sheet is written all the same; 2 no sheet. With --check: 0 every file
    and the tool are as they were; 1 something changed; 2 no answer. JOB then says where the job
    is, if it no longer lies where it lay from the sheet.
    """
    check_sizes(bar, length, face)
    if check is not None:
        if output is not None or practice or (bar, length, face) != (None, None, None):
            refuse("--check takes the sheet and, if need be, JOB; nothing else goes with it")
        raise typer.Exit(_check(check, job, large))
    if job is None or output is None:
        refuse("give the job and the sheet to write: standclear sheet JOB -o FILE.pdf")
    if output.suffix.lower() != ".pdf":
        refuse(f"{output}: a sheet is a .pdf file")
    given = {"bar": bar, "length": length, "face": face}
    sizes = {name: value for name, value in given.items() if value is not None}
    raise typer.Exit(_write(job, output, paper, practice, sizes, large))


def _write(
    job: Path, output: Path, paper: Paper, practice: bool, given: dict[str, float], large: bool
) -> int:
    with guarded(job, "making the sheet of") as outcome:
        from datetime import datetime

        import standclear
        from standclear.errors import Fault, FileError
        from standclear.files import write_new
        from standclear.job.unchanged import check_unchanged
        from standclear.report.words import exit_status, headline
        from standclear.sheet.gather import sheet_of
        from standclear.sheet.typeset import to_pdf

        # The proofs of a sheet take a while: a place that cannot take it is told before them.
        if output.exists():
            found = "the file exists already and is left alone"
            raise FileError(Fault(str(output), "", found, "choose another name"))
        if not output.parent.is_dir():
            found = "there is no such folder"
            raise FileError(Fault(str(output.parent), "", found, "make it first"))
        files = standclear.read_job(
            job,
            bar=given.get("bar"),
            length=given.get("length"),
            face=given.get("face"),
            large=large,
        )
        as_filed = standclear.read_job(job, large=large).job if given else files.job
        held = standclear.hold(files)
        proof = standclear.judge(held, files.job)
        if sys.stderr.isatty():
            typer.echo("proved; now what the verdict leans on, and other bars", err=True)
        now = datetime.now().astimezone()
        made = sheet_of(
            held,
            proof,
            as_filed,
            now,
            paper={"letter": "us-letter"}.get(paper, str(paper)),
            practice=practice,
            given=given,
            job_from_sheet=_from_sheet(files.path, output),
        )
        page = to_pdf(made, now)
        check_unchanged(files)
        write_new(output, page)
        typer.echo(headline(proof))
        typer.echo(f"sheet written to {output}", err=True)
        outcome.append(exit_status(proof))
    return outcome[0]


def _check(sheet: Path, job: Path | None, large: bool) -> int:
    with guarded(sheet, "checking") as outcome:
        from standclear.sheet.check import check_sheet
        from standclear.sheet.words import check_lines

        found = check_sheet(sheet, job, large=large)
        say(check_lines(found))
        outcome.append(0 if found.stands else 1)
    return outcome[0]


def _from_sheet(job: Path, output: Path) -> str:
    """The way from the sheet's folder to the job file; empty where there is none, as between two
    drives."""
    try:
        way = os.path.relpath(job.resolve(), output.resolve().parent)
    except ValueError:
        return ""
    return Path(way).as_posix()
