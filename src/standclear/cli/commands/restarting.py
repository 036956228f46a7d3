"""Taking up a program after an edge broke."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import AsJson, Bar, Face, Large, Length, OneJob


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
    as_json: AsJson = False,
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
        from standclear.findings.finding import Verdict
        from standclear.plan.later.other_tools import tool_from_words, tools_from_file
        from standclear.plan.later.restart import restarts
        from standclear.report.plan.plain_json import plain_json
        from standclear.report.plan.restart import restart_lines, restart_table

        held, proof = proved(job, bar, length, face, large)
        others = [tool_from_words(words, held.files.job) for words in tool or ()]
        if tools is not None:
            others += tools_from_file(tools, held.files.job)
        found = restarts(held, held.files.job, proof, others)
        if as_json:
            typer.echo(plain_json(restart_table(found, proof.units)), nl=False)
        else:
            say(restart_lines(found, proof))
        good = proof.verdict is Verdict.CLEAR and all(each.is_good for each in found)
        outcome.append(0 if good and found else 1)
    raise typer.Exit(outcome[0])
