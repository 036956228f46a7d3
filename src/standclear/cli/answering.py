"""What commands share between their arguments and their answer."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from standclear.proof.held import Held
    from standclear.proof.result import JobProof
    from standclear.report.lines import Line


def proved(
    path: Path, bar: float | None, length: float | None, face: float | None, large: bool
) -> tuple[Held, JobProof]:
    """A job read, held and judged; sizes in the job's unit stand in for its own.

    Raises StandclearError where the job cannot be read or held, or changed meanwhile.
    """
    import standclear
    from standclear.job.unchanged import check_unchanged

    files = standclear.read_job(path, bar=bar, length=length, face=face, large=large)
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    check_unchanged(files)
    return held, proof


def say(lines: tuple[Line, ...]) -> None:
    """The lines of an answer, in colour where a person reads along."""
    from standclear.report.lines import plain, show

    if sys.stdout.isatty():
        from rich.console import Console

        show(lines, Console())
    else:
        typer.echo(plain(lines), nl=False)
