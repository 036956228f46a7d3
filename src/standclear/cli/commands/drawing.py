"""Drawing jobs."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from standclear.cli.answering import proved
from standclear.cli.base import check_sizes, guarded, refuse
from standclear.cli.options import Bar, Face, Large, Length, OneJob
from standclear.drawing.kinds import ENDINGS, Subject

if TYPE_CHECKING:
    from standclear.drawing.shapes import Drawing
    from standclear.proof.result import JobProof


def draw(
    job: OneJob,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            help="An .svg, .png, .pdf or .dxf file; left out: SVG to the screen.",
        ),
    ] = None,
    of: Annotated[
        Subject,
        typer.Option(
            help="The section with gaps and strikes; the map of the stock that would be clear; how "
            "the length is spent; the motions that lead to the first strike, one by one; or the "
            "run along its time."
        ),
    ] = Subject.SECTION,
    setup: Annotated[str | None, typer.Option(help="Only the set-up of this name.")] = None,
    rack: Annotated[
        Path | None,
        typer.Option(
            help="Rack file: its bars go into the stock map, its saw cut into the length."
        ),
    ] = None,
    bar: Bar = None,
    length: Length = None,
    face: Face = None,
    large: Large = False,
) -> None:
    """Draw a job: its section, the stock it would be clear with, its length, its motions, its time.

    A section goes into a .dxf file at true size, everything else in millimetres of paper. Exit
    status as of `prove`.
    """
    check_sizes(bar, length, face)
    if output is not None:
        check_picture(output)
    if setup is not None and of is Subject.LENGTH:
        refuse("--setup does not go with --of length: the length is that of the whole job")
    if rack is not None and of not in (Subject.STOCK, Subject.LENGTH):
        refuse(f"--rack does not go with --of {of}")
    with guarded(job, "drawing") as outcome:
        from standclear.drawing.subject import drawings_of
        from standclear.plan.rack.rack_file import read_rack
        from standclear.report.words import exit_status

        bars = None if rack is None else read_rack(rack)
        held, proof = proved(job, bar, length, face, large)
        names = [s.name for s in proof.setups]
        if setup is not None and setup not in names:
            refuse(f"{job}: no set-up {setup!r}; it has {', '.join(names)}")
        ending = ".svg" if output is None else output.suffix.lower()
        drawings = drawings_of(
            of, held, held.files.job, proof, setup=setup, rack=bars, true_size=ending == ".dxf"
        )
        _write(f"{proof.title or 'job'}: {of}", drawings, output, ending)
        outcome.append(exit_status(proof))
    raise typer.Exit(outcome[0])


def check_picture(path: Path) -> None:
    """Refuses a file that no writer is for."""
    if path.suffix.lower() not in ENDINGS:
        refuse(f"{path}: a drawing is a file in {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}")


def draw_section(proof: JobProof, target: Path) -> None:
    """Draw the section of every set-up of a job to a file."""
    from standclear.drawing.section.alone import section_at_true_size
    from standclear.drawing.section.sheet import sheet

    ending = target.suffix.lower()
    drawings = [sheet(proof)]
    if ending == ".dxf":
        drawings = [section_at_true_size(proof, setup.name) for setup in proof.setups]
    _write(f"{proof.title or 'job'}: section", drawings, target, ending)


def _write(title: str, drawings: Sequence[Drawing], target: Path | None, ending: str) -> None:
    from standclear.drawing.writers.picture import picture
    from standclear.files import write_aside

    data = picture(title, drawings, ending)
    if target is None:
        typer.echo(data.decode("utf-8"), nl=False)
    else:
        write_aside(target, data)
        typer.echo(f"drawn to {target}", err=True)
