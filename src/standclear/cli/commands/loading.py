"""How hard a part is on tool, spindle, grip and itself."""

from __future__ import annotations

from typing import Annotated

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded
from standclear.cli.options import AsJson, Bar, Face, Large, Length, OneJob


def load(
    job: OneJob,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    material: Annotated[
        str | None,
        typer.Option(help="Material in place of the job's: what it would ask for instead."),
    ] = None,
    as_json: AsJson = False,
    large: Large = False,
) -> None:
    """Estimate depth, chip, force, power, grip and bending of each tool, as ranges with source.

    Exit status: 0 no limit of machine or chuck that the job gives is reached; 1 one is, or may be;
    2 no answer. With --json lengths in mm, force in N, power in kW, ranges as [least, most].
    """
    check_sizes(bar, length, face)
    with guarded(job, "estimating") as outcome:
        from standclear.estimate.load import job_load
        from standclear.estimate.taken import all_taken
        from standclear.plan.rack.bars import density_of
        from standclear.report.plan.load import load_lines
        from standclear.report.plan.plain_json import plain_json

        held, proof = proved(job, bar, length, face, large)
        asked = held.files.job
        if material is not None:
            blank = asked.blank.model_copy(update={"material": material})
            asked = asked.model_copy(update={"blank": blank})
        found = job_load(asked, proof, all_taken(held, asked, proof))
        if as_json:
            typer.echo(plain_json(found), nl=False)
        else:
            say(load_lines(found, proof.units, density_of(asked.blank.material), material or ""))
        outcome.append(int(bool(found.limits)))
    raise typer.Exit(outcome[0])
