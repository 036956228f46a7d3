"""The check at the machine before cycle start."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import AsJson, Bar, Face, Large, Length, OneJob


def check(
    job: OneJob,
    card: Annotated[
        Path | None, typer.Option(help="Also write the card to this new text file.")
    ] = None,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Say where to stand with the spindle stopped, and which gauge goes in there.

    Exit status: 0 the job is clear, also with a zero and with tools' offsets as far off as the
    gauges allow; 1 it is not; 2 no answer. With --json: `checks` (set-up, tool, `places`, `x` on
    diameter, `z`, `blocks` to key in, `cannot` with the reason where there are none, `gaps`,
    `first_cut` as a number of a motion), `allowance` of the gauges, and the verdicts `within` it
    (zeros) and `within_tools`.
    """
    check_sizes(bar, length, face)
    with guarded(job) as outcome:
        from standclear.findings.finding import Verdict
        from standclear.plan.at_machine.gauge import machine_check
        from standclear.report.plan.at_machine import card_text, check_lines
        from standclear.report.plan.plain_json import plain_json

        held, proof = proved(job, bar, length, face, large)
        found = machine_check(held, held.files.job, proof)
        if card is not None:
            from standclear.files import write_new

            write_new(card, card_text(found, proof).encode("utf-8"))
            typer.echo(f"card written to {card}", err=True)
        if as_json:
            typer.echo(plain_json(found), nl=False)
        else:
            say(check_lines(found, proof))
        verdicts = {proof.verdict, found.within, found.within_tools}
        outcome.append(0 if verdicts == {Verdict.CLEAR} else 1)
    raise typer.Exit(outcome[0])
