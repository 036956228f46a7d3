"""The set-up plan: what a setter works out on paper before the first cut."""

from __future__ import annotations

import json

import typer

from standclear.cli.answering import say
from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import AsJson, Bar, Face, Large, Length, OneJob


def plan(
    job: OneJob,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Work out the split of the length, the values to key in and the clearance points.

    Works before there is a program too: leave `program` out of the set-ups. Exit status: 0 a full
    plan, and nothing to mend; 1 something to mend or to set anew; 2 no answer. With --json:
    `complete`, `split`, `zeros` (by set-up), `points`, `rules`, `least` and the proved bounds of
    the length; before a program `orders` and `jaws` in place of the last.
    """
    check_sizes(bar, length, face)
    with guarded(job, "planning") as outcome:
        import standclear
        from standclear.job.unchanged import check_unchanged
        from standclear.plan.setting.before_program import plan_early
        from standclear.plan.setting.plan import plan_job
        from standclear.report.plan.setting import early_lines, plan_data, plan_lines

        files = standclear.read_job(
            job, bar=bar, length=length, face=face, large=large, to_plan=True
        )
        as_filed = standclear.read_job(job, large=large, to_plan=True).job
        setups = files.job.setup
        if setups and all(setup.program for setup in setups):
            # Everything that a proof needs must be there now: the same faults as `prove` gives.
            files = standclear.read_job(job, bar=bar, length=length, face=face, large=large)
            found = plan_job(standclear.hold(files), files.job, as_filed)
            lines, complete, data = plan_lines(found), found.complete, plan_data(found)
        else:
            early = plan_early(files.job, as_filed)
            lines, complete, data = early_lines(early), early.complete, plan_data(early)
        check_unchanged(files)
        if as_json:
            typer.echo(json.dumps(data, indent=2, ensure_ascii=False))
        else:
            say(lines)
        outcome.append(int(not complete))
    raise typer.Exit(outcome[0])
