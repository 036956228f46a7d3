"""The application that commands register with, and how every fault of a command ends."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, NoReturn

import typer

NO_ANSWER = 2

app = typer.Typer(
    help="Know before cycle start that a two-sided turning job is clear with the bar on the bench.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    no_args_is_help=False,
)


def main() -> None:
    """Entry point of the `standclear` command."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    app()


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"standclear {version('standclear')}")
        raise typer.Exit(0)


@app.callback(invoke_without_command=True)
def _root(
    context: typer.Context,
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())
        raise typer.Exit(NO_ANSWER)


@contextmanager
def guarded(path: Path, doing: str = "proving") -> Iterator[list[int]]:
    """Turn every fault into a clear message and status 2; the body appends its own status."""
    from standclear.errors import told

    outcome: list[int] = []
    try:
        yield outcome
    except typer.Exit:
        raise
    except (Exception, KeyboardInterrupt) as error:
        for line in told(error, path, doing):
            typer.echo(line, err=True)
        outcome[:] = [NO_ANSWER]


def refuse(message: str) -> NoReturn:
    """Says why nothing is done, and ends with status 2."""
    typer.echo(message, err=True)
    raise typer.Exit(NO_ANSWER)


def check_sizes(bar: float | None, length: float | None, face: float | None) -> None:
    """Refuses sizes that are no numbers."""
    for name, value in (("--bar", bar), ("--length", length), ("--face", face)):
        if value is not None and not math.isfinite(value):
            refuse(f"{name} is {value}; give a size in the job's unit")
