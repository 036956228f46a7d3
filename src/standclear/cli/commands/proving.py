"""Proving and drawing jobs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from standclear.cli.answering import proved, say
from standclear.cli.base import check_sizes, guarded, refuse
from standclear.cli.commands.keeping import asked_job, json_of, keep_proof, told_since
from standclear.cli.options import Bar, Face, Jobs, Large, Length, OneJob

if TYPE_CHECKING:
    from standclear.proof.held import Held
    from standclear.proof.result import JobProof

PICTURES = (".svg", ".png")


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
        Path | None, typer.Option("--draw", help="Also draw to this .svg or .png file.")
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
) -> None:
    """Prove a job with the blank that is really on the bench: clear, contact or unproven."""
    check_sizes(bar, length, face)
    if material is not None and not (since or keep):
        refuse("--material changes no motion: give it with --since or --keep")
    if draw_to is not None:
        _check_picture(draw_to)
        if len(jobs) > 1:
            refuse("--draw takes one job at a time")
    status = 0
    texts: list[str] = []
    for path in jobs:
        with guarded(path) as outcome:
            held, found, asked = asked_job(
                path, (bar, length, face), jaws or (), grip or (), material, large
            )
            proof = _mended(held, found)
            if draw_to is not None:
                _draw_file(proof, draw_to, None)
            # Told before this proof is kept, which would then be the last one itself.
            changes = told_since(held, proof, as_json=as_json) if since else ""
            if keep:
                keep_proof(held, proof, asked)
            if as_json:
                texts.append(changes or json_of(proof))
            else:
                _say(proof, str(path) if len(jobs) > 1 else "")
                typer.echo(changes, nl=False)
            outcome.append(_status_of(proof))
        status = max(status, *outcome)
    if as_json and (texts or len(jobs) > 1):
        typer.echo(
            texts[0] if len(jobs) == 1 else "[\n" + ",\n".join(t.rstrip() for t in texts) + "\n]\n",
            nl=False,
        )
    raise typer.Exit(status)


def draw(
    job: OneJob,
    output: Annotated[
        Path | None,
        typer.Option("--output", "-o", help="An .svg or .png file; left out: SVG to the screen."),
    ] = None,
    setup: Annotated[str | None, typer.Option(help="Only the set-up of this name.")] = None,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    large: Large = False,
) -> None:
    """Draw the set-ups of a job with its gaps, strikes and what comes out."""
    check_sizes(bar, length, face)
    if output is not None:
        _check_picture(output)
    with guarded(job) as outcome:
        _, proof = proved(job, bar, length, face, large)
        names = [s.name for s in proof.setups]
        if setup is not None and setup not in names:
            refuse(f"{job}: no set-up {setup!r}; it has {', '.join(names)}")
        if output is None:
            typer.echo(_svg_of(proof, setup), nl=False)
        else:
            _draw_file(proof, output, setup)
        outcome.append(_status_of(proof))
    raise typer.Exit(outcome[0])


def _check_picture(path: Path) -> None:
    if path.suffix.lower() not in PICTURES:
        refuse(f"{path}: a drawing is an .svg or a .png file")


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


def _svg_of(proof: JobProof, setup: str | None) -> str:
    from standclear.drawing.section.sheet import sheet
    from standclear.drawing.writers.svg import to_svg

    return to_svg(sheet(proof, setup))


def _draw_file(proof: JobProof, target: Path, setup: str | None) -> None:
    from standclear.files import write_aside

    svg = _svg_of(proof, setup)
    if target.suffix.lower() == ".png":
        from standclear.drawing.writers.png import to_png

        write_aside(target, to_png(svg))
    else:
        write_aside(target, svg.encode("utf-8"))
    typer.echo(f"drawn to {target}", err=True)
