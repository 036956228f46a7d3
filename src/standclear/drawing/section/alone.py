"""The section of one set-up by itself: for a page, for the frame of a sheet, and at true size."""

from __future__ import annotations

from shapely.geometry.base import BaseGeometry

from standclear.drawing.labels import Board
from standclear.drawing.section.focus import (
    Focus,
    approach_words,
    focus_at,
    focus_of,
    hit_words,
)
from standclear.drawing.section.section import BELOW_AXIS, section_view
from standclear.drawing.shapes import Drawing, Text
from standclear.drawing.view import scale_words
from standclear.proof.result import JobProof, SetupProof
from standclear.report.words import open_findings, setup_line

HEAD = 7.0
"""Paper for the heading, mm."""
EDGE = 2.0
AROUND_LENGTH, AROUND_RADIUS = 1.6, 1.6
"""At true size, the paper in lengths and radii of the blank."""
LEAST_WIDTH, LEAST_ABOVE = 150.0, 45.0
"""Below these the words of a small part would have no room, mm."""


def section_drawing(
    proof: JobProof,
    setup: str,
    *,
    width: float = 250.0,
    height: float = 95.0,
    motion: int | None = None,
    metal: BaseGeometry | None = None,
    with_ways: bool = False,
    heading: bool = True,
    scale: float | None = None,
) -> Drawing:
    """The section of the set-up of the name `setup` on `width` x `height` mm of paper.

    `motion` shows the tool at the end of that motion in place of what matters most, and `metal` the
    metal as it stands then (see `standclear.proof.at_motion.metal_at`). `with_ways` adds the way
    of every motion as a group `way` (see `standclear.drawing.section.ways`). `scale` is that
    wanted; left out, the greatest that fits.

    Raises KeyError where the job has no such set-up, IndexError where it has no such motion.
    """
    one = setup_named(proof, setup)
    focus = _focus(proof, one, motion)
    board = Board()
    area = (EDGE, EDGE, width - EDGE, height - EDGE - (HEAD if heading else 0.0))
    if heading:
        board.write(Text(f"Set-up {setup_line(one)}", (EDGE, height - EDGE - 4.0), 3.5))
    view = section_view(
        board, one, focus, area, proof.units, scale=scale, now=metal, with_ways=with_ways
    )
    if heading:
        board.write(Text(scale_words(view.scale), (width - 18.0, height - EDGE - 4.0), 2.5))
    title = f"Section of set-up {setup_line(one)}"
    return Drawing(width, height, title, _described(one, focus, proof.units), board.finished())


def section_at_true_size(proof: JobProof, setup: str) -> Drawing:
    """The section at scale 1:1, on as much paper as it needs."""
    z0, _, z1, r1 = setup_named(proof, setup).metal_before.bounds
    width = max(LEAST_WIDTH, AROUND_LENGTH * (z1 - z0))
    height = max(LEAST_ABOVE, AROUND_RADIUS * r1) + BELOW_AXIS + HEAD + 2 * EDGE
    return section_drawing(proof, setup, width=width, height=height, scale=1.0)


def setup_named(proof: JobProof, name: str) -> SetupProof:
    """The set-up of a name; KeyError where the job has none such."""
    for setup in proof.setups:
        if setup.name == name:
            return setup
    raise KeyError(name)


def _focus(proof: JobProof, setup: SetupProof, motion: int | None) -> Focus:
    if motion is not None:
        return focus_at(setup, motion)
    return focus_of(setup, [f for f in open_findings(proof) if f.setup == setup.name])


def _described(setup: SetupProof, focus: Focus, units: str) -> str:
    said = [f"Set-up {setup_line(setup)}."]
    said += [f"{hit.number}: {hit_words(hit, units)}." for hit in focus.hits]
    if focus.near is not None:
        said.append(f"{approach_words(setup, focus.near, units)}.")
    return " ".join(said)
