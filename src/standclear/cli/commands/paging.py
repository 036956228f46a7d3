"""The page: the bench in a browser."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.base import guarded


def page(
    folder: Annotated[
        Path, typer.Argument(help="A folder of jobs, or one job; left out: the folder you are in.")
    ] = Path("."),
    at: Annotated[
        str | None,
        typer.Option(
            "--at",
            help="This machine's address in the shop's network, for looking and dragging there.",
        ),
    ] = None,
    port: Annotated[
        int | None, typer.Option(min=0, max=65535, help="Port; 0 takes any that is free.")
    ] = None,
    browse: Annotated[bool, typer.Option(help="Open the browser.")] = True,
    get: Annotated[
        str | None,
        typer.Option("--get", help="Print the page at this path and stop; no server is started."),
    ] = None,
) -> None:
    """Opens the bench in the browser: jobs, both ends in section, dragged to the blank in hand."""
    with guarded(folder, "serving") as outcome:
        from standclear.page.opening import opened

        root, path = opened(folder)
        if get is not None:
            from standclear.page.serve import fetched

            status, body = fetched(root, get)
            sys.stdout.buffer.write(body)
            sys.stdout.flush()
            outcome.append(0 if status < 400 else 1)
        else:
            from standclear.page.serve import serve, start

            serve(start(at, port), root, path, browse=browse, say=lambda words: typer.echo(words))
            outcome.append(0)
    raise typer.Exit(outcome[0])
