"""Proving a folder or a list of jobs: a line for each, as soon as it is done."""

from __future__ import annotations

import os
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import typer

from standclear.archive.wanted import Wanted
from standclear.cli.answering import say
from standclear.cli.base import NO_ANSWER, refuse

if TYPE_CHECKING:
    from collections.abc import Callable

    from standclear.archive.row import Row

VERDICTS = ("clear", "contact", "unproven")


def prove_many(
    paths: Sequence[Path],
    wanted: Wanted,
    as_lines: bool,
    at_once: int | None,
    scheduler: str | None,
) -> NoReturn:
    """Prove every job in `paths` and end with the highest status."""
    from standclear.archive.find import jobs_in
    from standclear.archive.run import rows_from_workers, rows_of
    from standclear.errors import FileError

    rows: list[Row] = []
    try:
        jobs = jobs_in(paths)
        stream = (
            rows_from_workers(jobs, wanted, scheduler)
            if scheduler is not None
            else rows_of(jobs, wanted, min(at_once or os.cpu_count() or 1, len(jobs)))
        )
        with _progress(len(jobs)) as done:
            for row in stream:
                rows.append(row)
                typer.echo(row.as_line() if as_lines else _told(row))
                done()
    except FileError as error:
        refuse(str(error))
    except KeyboardInterrupt:
        typer.echo(f"stopped by hand: {len(rows)} of {len(jobs)} jobs are answered", err=True)
        raise typer.Exit(NO_ANSWER) from None
    if not as_lines:
        from standclear.report.lines import cautions

        say(tuple(cautions()))
        typer.echo("")
    typer.echo(_summed(rows, wanted.since), err=as_lines)
    raise typer.Exit(max(row.status for row in rows))


def _told(row: Row) -> str:
    if row.faults:
        return "\n".join((f"{row.job}: no answer", *(f"  {fault}" for fault in row.faults)))
    said = row.headline
    if row.differs:
        said += f" (kept before: {row.before})"
    found = ", ".join(f"{count} {code}" for code, count in row.findings.items())
    kept = "" if row.proved else f" (as kept: {row.kept})"
    return f"{row.job}: {said}{kept}" + (f"\n  {found}" if found else "")


def _summed(rows: Sequence[Row], since: bool) -> str:
    counts = Counter(row.verdict for row in rows)
    parts = [f"{counts[verdict]} {verdict}" for verdict in VERDICTS if counts[verdict]]
    if counts[""]:
        parts.append(f"{counts['']} without an answer")
    said = f"{len(rows)} job{'' if len(rows) == 1 else 's'}: {', '.join(parts)}"
    if since:
        kept = sum(not row.proved and bool(row.verdict) for row in rows)
        differ = sum(row.differs for row in rows)
        said += f"; {kept} as kept, since nothing that was read for it has changed"
        said += f"; {differ} with another answer than was kept"
    return said


@contextmanager
def _progress(total: int) -> Iterator[Callable[[], None]]:
    """A bar on standard error where a person reads along; the function moves it on by one job."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TimeRemainingColumn

    columns = BarColumn(), MofNCompleteColumn(), TimeRemainingColumn()
    with Progress(*columns, console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task("", total=total)
        yield lambda: shown.advance(task)
