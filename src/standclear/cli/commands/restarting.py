"""Taking up a program after an edge broke."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import Bar, Face, Large, Length, OneJob


def restart(
    job: OneJob,
    tool: Annotated[
        list[str] | None,
        typer.Option(help="What stands there now: STATION=INSERT/HOLDER, or STATION=INSERT."),
    ] = None,
    tools: Annotated[
        Path | None, typer.Option(help="Tools file with what stands there now.")
    ] = None,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: Annotated[bool, typer.Option("--json", help="Answer as JSON, lengths in mm.")] = False,
    large: Large = False,
) -> None:
    """Say where each tool can be called again after its edge broke, and what to key in first.

    Exit status: 0 every restart is clear and adds nothing to mend; 1 one is not; 2 no answer.
    With --json a list, one table a tool call: `setup`, `tool`, `line`, `words`, `from_line`,
    `from_words`, `label`, `key_in`, `nothing` and `everything` (verdict and `findings`),
    `cannot` with the reason where there is no block, `replaced` (`leaves`, `cuts_more`, noses,
    `old_geometry`) where another tool was named.
    """
    check_sizes(bar, length, face)
    with guarded(job) as outcome:
        import standclear
        from standclear.findings.finding import Verdict
        from standclear.plan.later.other_tools import tool_from_words, tools_from_file
        from standclear.plan.later.restart import restarts
        from standclear.report.plan.plain_json import plain_json
        from standclear.report.plan.restart import restart_lines, restart_table
        from standclear.report.text import plain, show

        files = standclear.read_job(job, bar=bar, length=length, face=face, large=large)
        held = standclear.hold(files)
        proof = standclear.judge(held, files.job)
        others = [tool_from_words(words, files.job) for words in tool or ()]
        if tools is not None:
            others += tools_from_file(tools, files.job)
        found = restarts(held, files.job, proof, others)
        if as_json:
            typer.echo(plain_json(restart_table(found, proof.units)), nl=False)
        elif sys.stdout.isatty():
            from rich.console import Console

            show(restart_lines(found, proof), Console())
        else:
            typer.echo(plain(restart_lines(found, proof)), nl=False)
        good = proof.verdict is Verdict.CLEAR and all(each.is_good for each in found)
        outcome.append(0 if good and found else 1)
    raise typer.Exit(outcome[0])
