"""Proving jobs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from standclear.archive.find import holds_many
from standclear.archive.wanted import Wanted
from standclear.cli.answering import say
from standclear.cli.base import check_sizes, guarded, refuse
from standclear.cli.commands.certifying import write_certificate
from standclear.cli.commands.drawing import check_picture, draw_section
from standclear.cli.commands.keeping import asked_job, json_of, keep_proof, told_since
from standclear.cli.commands.proving_many import prove_many
from standclear.cli.options import Bar, Face, Jobs, Large, Length

if TYPE_CHECKING:
    from standclear.proof.held import Held
    from standclear.proof.result import JobProof


def prove(
    jobs: Jobs,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    as_json: Annotated[bool, typer.Option("--json", help="Answer as JSON.")] = False,
    keep: Annotated[
        bool, typer.Option("--keep", help="Also keep a dated answer in proofs/ beside the job.")
    ] = False,
    since: Annotated[
        bool,
        typer.Option("--since", help="Also say what changed since the last kept proof."),
    ] = False,
    draw_to: Annotated[
        Path | None,
        typer.Option("--draw", help="Also draw the section to this .svg, .png, .pdf or .dxf file."),
    ] = None,
    certificate: Annotated[
        Path | None,
        typer.Option(help="Where clear: also write a certificate, a new file, for `audit`."),
    ] = None,
    jaws: Annotated[
        list[str] | None,
        typer.Option(help="Other jaws: SETUP=FILE, the file from where you are."),
    ] = None,
    grip: Annotated[
        list[str] | None,
        typer.Option(help="Another gripped diameter: SETUP=DIAMETER, in the job's unit."),
    ] = None,
    material: Annotated[
        str | None, typer.Option(help="Another material, with --since or --keep.")
    ] = None,
    large: Large = False,
    lines: Annotated[
        bool,
        typer.Option("--lines", help="Answer each job as a line of JSON, as soon as it is done."),
    ] = False,
    at_once: Annotated[
        int | None,
        typer.Option(min=1, help="With --lines or a folder of jobs: processes; one a core."),
    ] = None,
    scheduler: Annotated[
        str | None,
        typer.Option(help="With --lines or a folder of jobs: address of a Dask scheduler."),
    ] = None,
) -> None:
    """Prove a job with the blank that is really on the bench: clear, contact or unproven.

    A folder of jobs is proved on all cores, a line for each.
    """
    check_sizes(bar, length, face)
    if lines or holds_many(jobs):
        if draw_to or certificate or jaws or grip or material is not None or as_json:
            refuse(
                "many jobs at once take no --draw, --certificate, --jaws, --grip, --material or "
                "--json"
            )
        prove_many(jobs, Wanted(bar, length, face, large, since, keep), lines, at_once, scheduler)
    if at_once is not None or scheduler is not None:
        refuse("--at-once and --scheduler are for a folder of jobs, or jobs with --lines")
    if material is not None and not (since or keep):
        refuse("--material changes no motion: give it with --since or --keep")
    if draw_to is not None:
        check_picture(draw_to)
        if len(jobs) > 1:
            refuse("--draw takes one job at a time")
    if certificate is not None and len(jobs) > 1:
        refuse("--certificate takes one job at a time")
    status = 0
    texts: list[str] = []
    for path in jobs:
        with guarded(path) as outcome:
            held, found, asked = asked_job(
                path, (bar, length, face), jaws or (), grip or (), material, large
            )
            proof = _mended(held, found)
            if draw_to is not None:
                draw_section(proof, draw_to)
            # Told before this proof is kept, which would then be the last one itself.
            changes = told_since(held, proof, as_json=as_json) if since else ""
            if keep:
                keep_proof(held, proof, asked)
            if as_json:
                texts.append(changes or json_of(proof))
            else:
                _say(proof, str(path) if len(jobs) > 1 else "")
                typer.echo(changes, nl=False)
            no_certificate = 0
            if certificate is not None:
                no_certificate = write_certificate(held, proof, certificate)
            outcome.append(max(_status_of(proof), no_certificate))
        status = max(status, *outcome)
    if as_json and (texts or len(jobs) > 1):
        typer.echo(
            texts[0] if len(jobs) == 1 else "[\n" + ",\n".join(t.rstrip() for t in texts) + "\n]\n",
            nl=False,
        )
    raise typer.Exit(status)


def _mended(held: Held, proof: JobProof) -> JobProof:
    """The proof, with the words to change where something is found."""
    if _status_of(proof):
        from standclear import mend

        return mend(held, held.files.job, proof)
    return proof


def _status_of(proof: JobProof) -> int:
    from standclear.report.words import exit_status

    return exit_status(proof)


def _say(proof: JobProof, title: str) -> None:
    from standclear.report.text import lines

    if title:
        typer.echo(f"{title}:")
    say(lines(proof))
    if title:
        typer.echo("")
