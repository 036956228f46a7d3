"""A set-up as the page shows it: one picture, its frame standing still while the blank is dragged.

The lines and areas are those of every other drawing; only what stands around them is left out.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from standclear.drawing.dimension import ring
from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board, Room
from standclear.drawing.section.focus import Focus, focus_at, focus_of
from standclear.drawing.section.gaps import number_strike, show_gaps, show_obstacle_gap
from standclear.drawing.section.pieces import draw_metal, draw_motion, draw_strikes
from standclear.drawing.section.readings import one_reading
from standclear.drawing.section.ways import ways
from standclear.drawing.shapes import Box, Drawing, Fill, Group, Line, Point
from standclear.drawing.view import View, filled, line_shapes
from standclear.drawing.writers.svg import inline_svg
from standclear.findings.finding import Finding
from standclear.proof.result import SetupProof

WIDTH, HEIGHT = 176.0, 60.0
"""Paper of one picture, mm: as wide as half a tablet held across, at lettering that can be read."""
MARKS = 4


@dataclass(frozen=True)
class Moment:
    """A set-up in the middle of its run."""

    motion: int
    metal: BaseGeometry
    """What is left when the motion begins."""
    swept: BaseGeometry
    """What the block's motion sweeps, tool and edge."""


@dataclass(frozen=True)
class Grip:
    """An edge of the picture that a finger drags: a handle, and where it is drawn."""

    key: str
    axis: str
    """`x` along the axis of the work, `y` across it."""
    at: Point
    """On paper, mm."""
    per: float
    """How far the handle's value goes for 1 mm of paper, in mm."""


def view_of(window: Box) -> View:
    """The window of the section on the paper of a picture."""
    return View(window, WIDTH / (window[2] - window[0]), (0.0, 0.0))


def grips_of(setup: SetupProof, index: int, window: Box, keys: Collection[str]) -> tuple[Grip, ...]:
    """What can be dragged in the picture of set-up number `index`, of the handles `keys`."""
    view = view_of(window)
    if setup.metal_before.is_empty:
        return ()
    z0, _, z1, r1 = setup.metal_before.bounds
    found = []
    jaws = setup.obstacles.get("jaws")
    front = jaws.bounds[2] if jaws is not None and not jaws.is_empty else z0
    if index == 0:
        found.append(Grip("bar", "y", view.at(front + 0.45 * (z1 - front), r1), 2 / view.scale))
        found.append(Grip("face", "x", view.at(z1, 0.3 * r1), 1 / view.scale))
    else:
        found.append(Grip("length", "x", view.at(z1, 0.3 * r1), 1 / view.scale))
    if jaws is not None and not jaws.is_empty:
        top = min(jaws.bounds[3], window[3])
        found.append(Grip(f"jaw.{index}", "x", view.at(front, (r1 + top) / 2), 1 / view.scale))
    return tuple(grip for grip in found if grip.key in keys)


def _grip_shapes(grip: Grip) -> list[Fill | Line]:
    """A ring with a stroke through it the way it is dragged."""
    x, y = grip.at
    circle = ring(grip.at, 1.7)
    ends = ((x - 3.0, y), (x + 3.0, y)) if grip.axis == "x" else ((x, y - 3.0), (x, y + 3.0))
    return [Line(ends, Ink.TOOL), Fill((circle,), Tone.PAPER), Line(circle, Ink.TOOL, closed=True)]


def frame_of(setups: Sequence[SetupProof], across: float, long: float) -> tuple[Box, ...]:
    """For each set-up the window that its picture keeps: room for the jaws, for a blank of
    `across` mm radius, and for one `long` mm longer than it is now."""
    boxes = []
    for setup in setups:
        z0, _, z1, r1 = setup.metal_before.bounds if not setup.metal_before.is_empty else (0.0,) * 4
        jaws = setup.obstacles.get("jaws")
        held = jaws is not None and not jaws.is_empty
        left = min(z0, jaws.bounds[0]) if held and jaws is not None else z0
        boxes.append((left - 2.0, z1 + max(long, 8.0), max(across, r1) * 1.12))
    span = max(right - left for left, right, _ in boxes)
    tall = max(top for _, _, top in boxes)
    # One scale for all ends, so that they can be compared by eye.
    scale = min(WIDTH / span, HEIGHT / tall)
    return tuple(_window(left, right, scale) for left, right, _ in boxes)


def _window(left: float, right: float, scale: float) -> Box:
    spare = WIDTH / scale - (right - left)
    return (left - 0.3 * spare, -0.02 * HEIGHT / scale, right + 0.7 * spare, 0.98 * HEIGHT / scale)


def picture(
    setup: SetupProof,
    findings: Sequence[Finding],
    window: Box,
    units: str,
    name: str,
    *,
    moment: Moment | None = None,
    with_ways: bool = True,
    struck: Sequence[int] = (),
    grips: Sequence[Grip] = (),
) -> str:
    """The `<svg>` of a set-up. Without the ways it has an empty group `ways-place`, where the
    browser puts those that it has: they do not depend on the blank. Of a cycle with several
    readings the ways of one are drawn: that of the motion looked at, else that of a motion of
    `struck`."""
    view = view_of(window)
    board = Board()
    focus = focus_at(setup, moment.motion) if moment else focus_of(setup, findings)
    metal = draw_metal(board, view, setup, moment.metal if moment else None)
    if moment is not None and not moment.swept.is_empty:
        with board.part("swept"):
            board.add(filled(view.clipped(moment.swept), Tone.TOOL))
            board.add(line_shapes(view.edges(moment.swept), Ink.LEAST))
    if with_ways:
        with board.part("ways"):
            told = [focus.motion, *struck]
            board.add(ways(view, setup, one_reading(setup.trace.motions, told)))
    else:
        board.add([Group("ways-place", ())])
    tool = draw_motion(board, view, setup, focus.motion, focus.tool)
    draw_strikes(board, view, [hit.overlap for hit in focus.hits])
    room = Room(
        (1.0, 1.0, WIDTH - 1.0, HEIGHT - 1.0),
        (*metal.lines, *tool.lines),
        (*metal.areas, *tool.areas),
    )
    with board.part("grips"):
        for grip in grips:
            board.letter(_grip_shapes(grip))
            board.arrows.append(
                (grip.at[0] - 2.4, grip.at[1] - 2.4, grip.at[0] + 2.4, grip.at[1] + 2.4)
            )
    _words(board, view, room, setup, focus, units, moment)
    title = f"Set-up {setup.name}: {setup.verdict}"
    drawing = Drawing(WIDTH, HEIGHT, title, _described(setup, focus), board.finished())
    return inline_svg(drawing, name)


def _words(
    board: Board,
    view: View,
    room: Room,
    setup: SetupProof,
    focus: Focus,
    units: str,
    moment: Moment | None,
) -> None:
    with board.part("strikes"):
        for hit in focus.hits[:MARKS]:
            before = len(board.lettering)
            number_strike(board, view, room, hit)
            # One thing to press, which says its number.
            mark = tuple(shape for _, shape in board.lettering[before:])
            del board.lettering[before:]
            if mark:
                board.letter([Group("mark", mark, (("number", str(hit.number)),))])
    if moment is not None:
        return
    with board.part("gaps"):
        if focus.gap is not None:
            show_obstacle_gap(board, view, room, focus.gap, units)
        elif not focus.hits and focus.near is not None:
            show_gaps(board, view, room, setup, focus.near, units)


def _described(setup: SetupProof, focus: Focus) -> str:
    strikes = len(focus.hits)
    found = f"{strikes} blocks strike, numbered in the list" if strikes else "no strike drawn"
    return f"Half section of the set-up, chuck to the left: {found}."
