"""New jobs: a starter, or one drafted from a program."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, NoReturn

import typer

from standclear.cli.base import guarded, refuse
from standclear.cli.options import Large


def new(
    paths: Annotated[
        list[Path],
        typer.Argument(help="A folder for the starter job; with --from: programs, or folders."),
    ],
    from_programs: Annotated[
        bool, typer.Option("--from", help="Draft a job beside each program, with guesses marked.")
    ] = False,
    large: Large = False,
) -> None:
    """Write a starter job into a folder, or a job from each program; nothing is written over."""
    if from_programs:
        _draft_jobs(paths, large)
    if len(paths) > 1:
        refuse("new takes one folder; give --from to draft jobs from programs")
    from standclear.job.starter import write_starter

    folder = paths[0]
    with guarded(folder, "writing") as outcome:
        write_starter(folder)
        typer.echo(f"{folder}: starter job written; next: standclear prove {folder}")
        outcome.append(0)
    raise typer.Exit(outcome[0])


def _draft_jobs(paths: list[Path], large: bool) -> NoReturn:
    """Exit status 0: a job for each program, and every word is followed; 1: some words are not;
    2: some program got no job."""
    from standclear.draft.files import programs_in

    with guarded(paths[0], "drafting") as outcome:
        programs = programs_in(paths)
        alone = len(programs) == 1 and not paths[0].is_dir()
        outcome.append(_draft_one(programs[0], large) if alone else _draft_many(programs, large))
    raise typer.Exit(outcome[0])


def _draft_one(program: Path, large: bool) -> int:
    from standclear.draft.files import status_of, write_draft
    from standclear.draft.listing import in_full

    done = write_draft(program, large=large)
    if done.draft is None:
        typer.echo(done.words, err=True)
    else:
        typer.echo("\n".join(in_full(done.draft)))
        typer.echo(f"{done.job}: job drafted; confirm its guesses: standclear prove {done.job}")
    return status_of(done)


def _draft_many(programs: list[Path], large: bool) -> int:
    from rich.console import Console
    from rich.progress import Progress

    from standclear.draft.files import Summary, write_draft
    from standclear.draft.listing import in_a_line, summary_lines

    console = Console(stderr=True)
    summary = Summary()
    with Progress(
        console=console,
        transient=True,
        disable=not console.is_terminal,
        redirect_stdout=sys.stdout.isatty(),
    ) as progress:
        for program in progress.track(programs, description="programs"):
            done = write_draft(program, large=large)
            summary.add(done)
            # Not typer.echo, which goes round the stream that keeps lines above the bar.
            print(in_a_line(done))
    typer.echo("\n".join(summary_lines(summary)))
    return summary.status
