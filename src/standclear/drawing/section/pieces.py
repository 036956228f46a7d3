"""The pieces of a section: metal, what holds it, the tool in a motion, what it strikes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from standclear.drawing.dimension import arrow, ring
from standclear.drawing.hatching import hatched
from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board
from standclear.drawing.section.focus import path_of
from standclear.drawing.section.threads import thread_lines
from standclear.drawing.shapes import Fill, Line
from standclear.drawing.view import View, filled, line_shapes, outline
from standclear.proof.result import SetupProof

METAL_HATCH, STRIKE_SPACING = 3.0, 0.9
"""Spacing of section lines, mm on paper."""
OBSTACLE_HATCH = {"jaws": (1.4, -45.0), "chuck": (2.2, -45.0), "stop": (1.4, 45.0)}
OTHER_HATCH = (1.4, -45.0)
"""Spacing and direction: pieces that meet differ (ISO 128-50)."""


@dataclass(frozen=True)
class Drawn:
    """Lines and areas on paper that labels keep off."""

    lines: tuple[BaseGeometry, ...] = ()
    areas: tuple[BaseGeometry, ...] = ()


def obstacles_apart(setup: SetupProof) -> dict[str, BaseGeometry]:
    """Obstacles without what they share, so that no area is hatched twice: what stands in front
    (jaws, then the rest by name, the chuck last) keeps it."""
    order = sorted(setup.obstacles, key=lambda n: (n != "jaws", n == "chuck", n))
    taken: BaseGeometry = Polygon()
    own = {}
    for name in order:
        own[name] = setup.obstacles[name].difference(taken)
        taken = taken.union(setup.obstacles[name])
    return own


def draw_metal(
    board: Board, view: View, setup: SetupProof, now: BaseGeometry | None = None
) -> Drawn:
    """Metal before and after, jaws, chuck and stop, and the centre line where the view has it.

    `now` is the metal to draw as it stands in the middle of the run; left out, what is left.
    """
    left = setup.metal_after if now is None else now
    before, after = view.edges(setup.metal_before), view.edges(left)
    whole = view.clipped(setup.metal_before)
    lines, areas = [before, after], [whole]
    with board.part("taken-off"):
        board.add(filled(whole, Tone.METAL if now is None else Tone.CUT))
    with board.part("holding"):
        for name, geometry in obstacles_apart(setup).items():
            seen, edges = view.clipped(geometry), view.edges(geometry)
            spacing, angle = OBSTACLE_HATCH.get(name, OTHER_HATCH)
            board.add(hatched(seen, Ink.HATCH, spacing, angle))
            board.add(line_shapes(edges, Ink.OBSTACLE))
            lines.append(edges)
            areas.append(seen)
    with board.part("metal"):
        solid = view.clipped(left)
        if now is not None:
            board.add(filled(solid, Tone.METAL))
        board.add(hatched(solid, Ink.HATCH, METAL_HATCH))
        board.add(line_shapes(after, Ink.OUTLINE))
        if now is None:
            board.add(thread_lines(view, setup.threads, setup.metal_after))
    with board.part("raw"):
        board.add(line_shapes(before.difference(after.buffer(0.02, quad_segs=2)), Ink.RAW))
    if view.window[1] <= 0.0 <= view.window[3]:
        x0, _, x1, _ = view.paper
        y = view.at(0.0, 0.0)[1]
        with board.part("centre"):
            board.add([Line(((x0, y), (x1, y)), Ink.CENTRE)])
    return Drawn(tuple(lines), tuple(areas))


def draw_motion(
    board: Board, view: View, setup: SetupProof, motion: int, tool: BaseGeometry
) -> Drawn:
    """The tool where it stands in a motion, and the way of its tip there."""
    if motion < 0:
        return Drawn()
    path, known = path_of(setup, motion)
    lines = view.edges(path) if not known and path.geom_type == "Polygon" else view.clipped(path)
    drawn = Drawn()
    with board.part("tool"):
        if not tool.is_empty:
            seen, edges = view.clipped(tool), view.edges(tool)
            board.add(filled(seen.difference(view.clipped(setup.metal_before)), Tone.TOOL))
            board.add(line_shapes(edges, Ink.TOOL))
            drawn = Drawn((edges,), (seen,))
        board.add(line_shapes(lines, Ink.PATH))
    end = setup.trace.motions.end[motion]
    tip = view.at(float(end[0]), float(end[1]))
    x0, y0, x1, y1 = view.paper
    if not (x0 <= tip[0] <= x1 and y0 <= tip[1] <= y1):
        return drawn
    with board.part("tool"):
        board.add([Fill((ring(tip, 0.6, 12),), Tone.TOOL_INK)])
        if known and path.geom_type == "LineString" and len(path.coords) > 1:
            before = view.at(*path.coords[-2])
            if before != tip:
                way = degrees(atan2(tip[1] - before[1], tip[0] - before[0]))
                board.add([arrow(tip, way, Tone.TOOL_INK)])
    return drawn


def draw_strikes(board: Board, view: View, overlaps: Sequence[BaseGeometry]) -> None:
    """Where a tool is in what it must not meet: hatched both ways."""
    if not overlaps:
        return
    struck = unary_union(list(overlaps))
    cut = view.clipped(struck)
    with board.part("strikes"):
        board.add(filled(cut, Tone.STRIKE))
        board.add(hatched(cut, Ink.STRIKE_HATCH, STRIKE_SPACING, 45.0))
        board.add(hatched(cut, Ink.STRIKE_HATCH, STRIKE_SPACING, -45.0))
        board.add(line_shapes(view.clipped(outline(struck)), Ink.STRIKE))
