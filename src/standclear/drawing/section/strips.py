"""The passage that strikes, motion by motion: small frames in a row, all of the same place.

Each frame shows the metal as it stands when its motion begins, the tool where that motion takes it
(where it is deepest, in the one that strikes), its way, and the strike hatched.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from shapely import box
from shapely.geometry.base import BaseGeometry

from standclear.drawing.inks import Ink
from standclear.drawing.labels import Board
from standclear.drawing.lettering import shortened
from standclear.drawing.section.alone import setup_named
from standclear.drawing.section.focus import Hit, hits, nearest
from standclear.drawing.section.pieces import draw_metal, draw_motion, draw_strikes
from standclear.drawing.section.ways import runs
from standclear.drawing.shapes import Box, Drawing, Group, Line, Text, rectangle
from standclear.drawing.view import SCALES_OF_DETAIL, View, fitting, scale_words
from standclear.motions.table import Kind
from standclear.proof.at_motion import metal_at, reading_shown
from standclear.proof.held import Held
from standclear.proof.result import JobProof, SetupProof
from standclear.proof.tool_place import arriving, tool_at
from standclear.report.sizes import length
from standclear.report.words import position_words

FRAME_WIDTH, FRAME_HEIGHT = 60.0, 46.0
CAPTION, HEAD, EDGE, GAP = 17.0, 12.0, 4.0, 3.0
LABEL, LINE = 2.5, 4.4
BEFORE, AFTER = 3, 2
"""Motions shown before the one that matters and after it."""
COLUMNS = 3
AROUND = 1.2
"""Air around a strike, in its own size."""
LEAST_SHARE = 0.12
"""Of the blank's radius: the least half height of what a frame shows."""
UNDER_AXIS = 0.2
"""Of the half height of a frame that may lie below the centre line."""
MOST_TIMES = 3.0
"""How much more than the strike and its air a frame shows for the sake of the way to it."""

KIND_WORDS = {Kind.RAPID: "rapid to", Kind.FEED: "feed to", Kind.APPEAR: "the tool stands at"}


@dataclass(frozen=True)
class Step:
    """One frame: a run of motions that are one line, and the metal as it begins."""

    first: int
    last: int
    metal: BaseGeometry
    tool: BaseGeometry
    hits: tuple[Hit, ...]
    matters: bool


def strips(held: Held, proof: JobProof, setup: str, *, columns: int = COLUMNS) -> Drawing:
    """The passage of the set-up of the name `setup` around its first strike; without one, around
    its nearest approach. `proof` was judged from `held`.

    Raises KeyError where the job has no such set-up, ValueError where nothing moves in it.
    """
    one = setup_named(proof, setup)
    number = next(k for k, s in enumerate(proof.setups) if s.name == setup)
    motion = motion_that_matters(one)
    steps = passage(held, one, number, motion)
    rows = (len(steps) + columns - 1) // columns
    width = 2 * EDGE + min(columns, len(steps)) * (FRAME_WIDTH + GAP) - GAP
    height = HEAD + rows * (FRAME_HEIGHT + CAPTION) + EDGE
    board = Board()
    window = _window(one, steps)
    scale = fitting(
        window[2] - window[0], window[3] - window[1], (FRAME_WIDTH, FRAME_HEIGHT), SCALES_OF_DETAIL
    )
    head = f"Set-up {one.name}: motion by motion"
    board.write(Text(head, (EDGE, height - 7.0), 3.5))
    board.write(Text(scale_words(scale), (width - EDGE - 14.0, height - 7.0), LABEL))
    for n, step in enumerate(steps):
        x = EDGE + (n % columns) * (FRAME_WIDTH + GAP)
        y = height - HEAD - (n // columns + 1) * (FRAME_HEIGHT + CAPTION) + CAPTION
        _frame(board, one, step, n + 1, window, scale, (x, y), proof.units)
    said = [f"{n}: {', '.join(_words(one, step, proof.units))}." for n, step in enumerate(steps, 1)]
    return Drawing(width, height, head, " ".join(said), board.finished())


def motion_that_matters(setup: SetupProof) -> int:
    """Of the first strike that takes place in a motion; without one, of the nearest approach."""
    drawn = [first for first, _ in runs(setup.trace.motions, from_afar=True)]
    if not drawn:
        raise ValueError(f"nothing moves in set-up {setup.name}")
    if setup.strikes:
        return min(strike.motion for strike in setup.strikes)
    near = nearest(setup)
    return arriving(setup, near) if near is not None else drawn[0]


def passage(held: Held, setup: SetupProof, number: int, motion: int) -> tuple[Step, ...]:
    """The motions around number `motion` of a set-up, each with what is then left of the metal."""
    found = list(runs(setup.trace.motions, from_afar=True))
    here = max((i for i, (first, _) in enumerate(found) if first <= motion), default=0)
    shown = found[max(0, here - BEFORE) : here + AFTER + 1]
    metals = metal_at(reading_shown(held, number, setup), setup, [first for first, _ in shown])
    steps = []
    for (first, last), metal in zip(shown, metals, strict=True):
        own = tuple(hit for hit in hits_by_motion(setup) if first <= hit.motion <= last)
        place = own[0].deepest if own else None
        stands = own[0].motion if own else last
        # A motion that is not drawn, of no length, belongs to the run that leads to it.
        matters = (first, last) == found[here]
        steps.append(Step(first, last, metal, tool_at(setup, stands, place), own, matters))
    return tuple(steps)


def hits_by_motion(setup: SetupProof) -> tuple[Hit, ...]:
    """The strikes of a set-up, each motion's by itself: its number is that of its block."""
    numbers = {hit.motion: hit.number for hit in hits(setup)}
    found = []
    for strike in setup.strikes:
        alone = hits(replace(setup, strikes=(strike,)))[0]
        found.append(replace(alone, number=numbers.get(strike.motion, 0)))
    return tuple(found)


def _window(setup: SetupProof, steps: tuple[Step, ...]) -> Box:
    """What every frame shows: the strike, or the tip of the tool, with air around it and the way
    that leads there as far as it fits."""
    radius = float(setup.metal_before.bounds[3]) or 1.0
    matter = next(step for step in steps if step.matters)
    ends = setup.trace.motions.end
    if matter.hits:
        z0, r0, z1, r1 = matter.hits[0].deepest.bounds
    else:
        z0, r0 = z1, r1 = ends[matter.last].tolist()
    tips = [ends[step.last] for step in steps if step.last <= matter.last]
    half = max(AROUND * max(z1 - z0, r1 - r0), LEAST_SHARE * radius)
    z, r = (z0 + z1) / 2, (r0 + r1) / 2
    far = max((max(abs(tip[0] - z), abs(tip[1] - r)) for tip in tips), default=0.0)
    half = min(max(half, AROUND * far), MOST_TIMES * half)
    wide = half * FRAME_WIDTH / FRAME_HEIGHT
    r = max(r, (1.0 - UNDER_AXIS) * half)
    return (z - wide, r - half, z + wide, r + half)


def _frame(
    board: Board,
    setup: SetupProof,
    step: Step,
    number: int,
    window: Box,
    scale: float,
    origin: tuple[float, float],
    units: str,
) -> None:
    z, r = (window[0] + window[2]) / 2, (window[1] + window[3]) / 2
    half_z, half_r = FRAME_WIDTH / scale / 2, FRAME_HEIGHT / scale / 2
    view = View((z - half_z, r - half_r, z + half_z, r + half_r), scale, origin)
    drawn = Board()
    draw_metal(drawn, view, setup, step.metal)
    draw_motion(drawn, view, setup, step.last, step.tool)
    draw_strikes(drawn, view, [hit.overlap for hit in step.hits])
    ink = Ink.OUTLINE if step.matters else Ink.DETAIL
    frame = Line(rectangle(view.paper), ink, closed=True)
    block = int(setup.trace.motions.block[step.last])
    line = setup.program.blocks[block].line if 0 <= block < len(setup.program.blocks) else 0
    data = (("motion", str(step.last)), ("first", str(step.first)), ("line", str(line)))
    board.add([Group("frame", (*drawn.finished(), frame), data)])
    x, y = origin
    rows = [f"{number}. {_words(setup, step, units)[0]}", *_words(setup, step, units)[1:]]
    for i, row in enumerate(rows):
        at = (x, y - LINE * (i + 1))
        board.write(Text(shortened(row, LABEL, FRAME_WIDTH), at, LABEL))


def _words(setup: SetupProof, step: Step, units: str) -> list[str]:
    """The block, what its motion does, and what it strikes."""
    motions = setup.trace.motions
    block = int(motions.block[step.last])
    rows = ["before the first block"]
    if 0 <= block < len(setup.program.blocks):
        written = setup.program.blocks[block]
        file = f"{written.file} " if written.file else ""
        rows = [f"{file}line {written.line}: {written.text}"]
    kind = KIND_WORDS[Kind(int(motions.kind[step.last]))]
    z, r = (float(v) for v in motions.end[step.last])
    rows.append(f"{kind} {position_words((z, r), units)}")
    if step.hits:
        hit = step.hits[0]
        depth = min(hit.depth_x, hit.depth_z)
        rows.append(f"strikes {hit.against}, {length(depth, units)} deep")
    elif step.tool.is_empty or not step.tool.intersects(box(*setup.reach)):
        rows.append("the tool is away from the blank")
    return rows
