"""What the tool can tell of itself: its findings and the forms of its files."""

from __future__ import annotations

import textwrap
from enum import StrEnum
from typing import Annotated

import typer

from standclear.cli.base import refuse


class Described(StrEnum):
    """What has a published schema."""

    JOB = "job"
    ANSWER = "answer"


def explain(
    code: Annotated[
        str | None,
        typer.Argument(help="Code of a finding, such as rapid-into-metal; left out: list them."),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="The same as JSON.")] = False,
) -> None:
    """Say what a finding checks, why it matters at the machine, and how to do better."""
    import json
    from dataclasses import asdict

    from standclear.findings import pages

    if code is None:
        summaries = {each: pages.page(each).summary for each in pages.codes()}
        told = [f"{each}: {summary}" for each, summary in summaries.items()]
        typer.echo(json.dumps(summaries, indent=1) if as_json else "\n".join(told))
        return
    try:
        page = pages.page(code)
    except pages.UnknownCode as error:
        refuse(f"{error}; every code: {', '.join(pages.codes())}")
    if as_json:
        typer.echo(json.dumps(asdict(page), indent=1))
        return
    typer.echo(f"{page.code}: {page.summary}")
    for field, heading in pages.HEADINGS.items():
        body = str(getattr(page, field))
        if body:
            typer.echo(f"\n{heading}\n" + textwrap.indent(body, "  "))


def schema(
    of: Annotated[Described, typer.Argument(help="Which file form to describe.")],
) -> None:
    """Print the JSON Schema of a job file or of a JSON answer."""
    if of is Described.ANSWER:
        from standclear.report.json_answer import shipped_schema

        typer.echo(shipped_schema(), nl=False)
        return
    from standclear.job.schema import stored_schema

    typer.echo(stored_schema(), nl=False)
