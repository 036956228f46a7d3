"""What is typed, drawn: the part, a tool, a jaw. Empty where there is nothing to draw yet."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from shapely import box
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from standclear.drawing.dimension import across, along
from standclear.drawing.hatching import hatched
from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board, Room
from standclear.drawing.shapes import Box, Drawing, Line, Text
from standclear.drawing.view import View, filled, line_shapes, outline
from standclear.drawing.writers.svg import inline_svg
from standclear.page.entry.numbers import number_text

WIDTH, HEIGHT = 150.0, 84.0
"""Paper of the part, mm."""
SMALL = (92.0, 62.0)
"""Paper of a tool or a jaw."""
EDGE = 3.0
DIMENSION_ROOM = 20.0
"""Paper kept below the part for its lengths."""
STEP_OF_LENGTHS = 7.5
LONGEST_SHANK = 60.0
"""How much of a tool is shown behind its edge, mm."""
HATCH = 2.4
Point = tuple[float, float]


def part_picture(points: Sequence[Point], name: str) -> str:
    """The part with its diameters and lengths, front face to the right. `points` are
    (z, diameter), in the unit that its figures are written in."""
    upper = [(z, d / 2) for z, d in points]
    solid = (
        Polygon([*upper, *((z, -r) for z, r in reversed(upper))]) if len(upper) > 1 else Polygon()
    )
    if solid.is_empty or not solid.is_valid:
        return ""
    z0, r0, z1, r1 = solid.bounds
    room = (WIDTH - 2 * EDGE - 12.0, HEIGHT - 2 * EDGE - DIMENSION_ROOM)
    scale = min(room[0] / (z1 - z0), room[1] / (r1 - r0))
    spare_z = (WIDTH / scale - (z1 - z0)) / 2
    low = r0 - (EDGE + DIMENSION_ROOM) / scale
    window = (z0 - spare_z, low, z1 + spare_z, low + HEIGHT / scale)
    view = View(window, scale, (0.0, 0.0))
    board = Board()
    edges = [LineString([(z, r), (z, -r)]) for z, r in _edges(upper)]
    with board.part("metal"):
        board.add(filled(view.laid(solid), Tone.METAL))
        for edge in edges:
            board.add(line_shapes(view.laid(edge), Ink.DETAIL))
        board.add(line_shapes(view.laid(solid.exterior), Ink.OUTLINE))
    _centre_line(board, view, z0, z1)
    lines = (view.laid(solid.exterior),)
    _dimension(board, view, upper, Room((1.0, 1.0, WIDTH - 1.0, HEIGHT - 1.0), lines, ()))
    words = ", ".join(
        f"diameter {number_text(2 * a[1])} over {number_text(round(a[0] - b[0], 4))}"
        for a, b in _straight(upper)
    )
    title = f"The part as typed, {number_text(round(z1 - z0, 4))} long"
    return inline_svg(Drawing(WIDTH, HEIGHT, title, words, board.finished()), name)


def _edges(upper: Sequence[Point]) -> list[Point]:
    """Corners between two stretches of which one is no chord of a curve."""
    found = []
    for before, here, after in zip(upper, upper[1:], upper[2:], strict=False):
        straight = before[1] == here[1] or here[1] == after[1]
        face = before[0] == here[0] or here[0] == after[0]
        if straight or face:
            found.append(here)
    return found


def _straight(upper: Sequence[Point]) -> list[tuple[Point, Point]]:
    return [(a, b) for a, b in pairwise(upper) if a[1] == b[1] and a[0] > b[0]]


def _centre_line(board: Board, view: View, z0: float, z1: float) -> None:
    over = 4.0 / view.scale
    with board.part("axis"):
        board.add([Line((view.at(z0 - over, 0.0), view.at(z1 + over, 0.0)), Ink.CENTRE)])


def _dimension(board: Board, view: View, upper: Sequence[Point], room: Room) -> None:
    """Diameters across the steps, lengths from the front face below them, the whole at the foot."""
    right, left = upper[0][0], upper[-1][0]
    foot = view.at(0.0, 0.0)[1] - max(r for _, r in upper) * view.scale
    with board.part("dimensions"):
        for (a_z, r), (b_z, _) in _straight(upper):
            x = view.at((a_z + b_z) / 2, 0.0)[0]
            figure = f"Ø{number_text(round(2 * r, 4))}"
            across(board, room, (x, view.at(0, -r)[1]), (x, view.at(0, r)[1]), x, figure)
        shoulders = sorted({z for z, _ in _shoulders(upper) if left < z < right}, reverse=True)
        below = foot - 4.5
        previous = right
        for z in shoulders:
            figure = number_text(round(previous - z, 4))
            ends = (view.at(z, 0)[0], foot), (view.at(previous, 0)[0], foot)
            along(board, room, *ends, below, figure)
            previous = z
        if shoulders:
            figure = number_text(round(previous - left, 4))
            ends = (view.at(left, 0)[0], foot), (view.at(previous, 0)[0], foot)
            along(board, room, *ends, below, figure)
            below -= STEP_OF_LENGTHS
        ends = (view.at(left, 0)[0], foot), (view.at(right, 0)[0], foot)
        along(board, room, *ends, below, number_text(round(right - left, 4)))


def _shoulders(upper: Sequence[Point]) -> list[Point]:
    return [b for a, b in pairwise(upper) if a[0] == b[0]]


def tool_picture(tool: Any, name: str) -> tuple[str, str]:
    """A tool of the job (millimetres) as it stands in the section, and what was decoded in words.

    Raises ToolError where it cannot be drawn.
    """
    from standclear.tools.build import tool_shape

    shape = tool_shape(tool)
    whole = Polygon(shape.outer)
    z0, r0, z1, r1 = whole.bounds
    reach = LONGEST_SHANK
    window = (max(z0, -reach), max(r0, -reach), min(z1, reach), min(r1, reach))
    view = _small_view(window)
    board = Board()
    shown = whole.intersection(box(*window))
    insert = Polygon(shape.cutting_part).intersection(box(*window))
    with board.part("tool"):
        board.add(filled(view.laid(shown), Tone.TOOL))
        board.add(hatched(view.laid(insert), Ink.HATCH, HATCH))
        board.add(line_shapes(outline(view.laid(insert)), Ink.DETAIL))
        board.add(line_shapes(outline(view.laid(shown)), Ink.DETAIL))
        edges = _cutting_edges(shape)
        board.add(line_shapes(view.laid(edges), Ink.OUTLINE))
    x, y = view.at(0.0, 0.0)
    with board.part("point"):
        for line in (((x - 3.0, y), (x + 3.0, y)), ((x, y - 3.0), (x, y + 3.0))):
            board.add([Line(line, Ink.DIMENSION)])
    words = tool_words(tool, shape)
    title = f"Tool {tool.station} as it stands in the section, chuck to the left"
    return inline_svg(Drawing(*SMALL, title, words, board.finished()), name), words


def _cutting_edges(shape: Any) -> BaseGeometry:
    from shapely import MultiLineString

    points, cuts = shape.outer, shape.outer_cuts
    pairs = zip(points, [*points[1:], points[0]], cuts, strict=True)
    return MultiLineString([[tuple(a), tuple(b)] for a, b, cutting in pairs if cutting])


def _small_view(window: Box) -> View:
    z0, r0, z1, r1 = window
    scale = min((SMALL[0] - 2 * EDGE) / (z1 - z0), (SMALL[1] - 2 * EDGE) / (r1 - r0))
    spare_z = (SMALL[0] / scale - (z1 - z0)) / 2
    spare_r = (SMALL[1] / scale - (r1 - r0)) / 2
    return View((z0 - spare_z, r0 - spare_r, z1 + spare_z, r1 + spare_r), scale, (0.0, 0.0))


def tool_words(tool: Any, shape: Any) -> str:
    """What a designation says, or what kind of tool it is."""
    from standclear.tools.holder import read_holder
    from standclear.tools.insert import read_insert

    said = []
    if tool.insert and tool.holder:
        insert, holder = read_insert(tool.insert), read_holder(tool.holder)
        corner = insert.included_angle
        said.append("round insert" if corner is None else f"corner of {corner:g} degrees")
        said.append(f"nose radius {insert.corner_radius_mm:.4g} mm")
        said.append(f"inscribed circle {insert.circle_mm:.4g} mm")
        said.append(f"entering angle {holder.entering_angle:g} degrees")
        hand = {"R": "right hand", "L": "left hand"}.get(holder.hand, "neutral")
        body = "bar" if holder.kind == "bar" else "shank"
        said.append(f"{hand}, {body} of {holder.width_mm:g} mm")
    elif shape.nose_radius_mm:
        said.append(f"nose radius {shape.nose_radius_mm:.4g} mm")
    said += (_TRUST.get(each, each.replace(": verify", _ON_THE_TOOL)) for each in shape.assumed)
    return "; ".join(said)


_ON_THE_TOOL = ": measure it on the tool"
_TRUST = {
    "holder from designation: verify": "holder drawn from its designation: compare width, length "
    "and head with the one in your hand"
}
"""What is taken on trust, with what there is to be done about it."""


def jaw_picture(profile: Sequence[Point], name: str) -> str:
    """A jaw: its gripping surface below, the stop's face to the left; sizes are not written."""
    shape = Polygon(profile) if len(profile) > 2 else Polygon()
    if shape.is_empty or not shape.is_valid:
        return ""
    z0, r0, z1, r1 = shape.bounds
    span = max(z1 - z0, r1 - r0)
    air = 0.14 * span
    view = _small_view((min(z0, 0.0), min(r0, 0.0) - air, z1 + air, r1 + air))
    board = Board()
    laid = view.laid(shape)
    with board.part("jaws"):
        board.add(hatched(laid, Ink.HATCH, HATCH, -45.0))
        board.add(line_shapes(laid.boundary, Ink.OBSTACLE))
    left, right = view.at(min(z0, 0.0), 0.0), view.at(z1 + air, 0.0)
    stop, top = view.at(0.0, 0.0)[0], view.at(0.0, r1)[1]
    with board.part("grip"):
        board.add([Line((left, right), Ink.RAW)])
        board.add([Line(((stop, 1.0), (stop, top + 6.0)), Ink.CENTRE)])
    board.write(Text("surface gripped", (stop + 1.5, left[1] - 4.2), 2.5))
    board.write(Text("face of the stop", (stop + 1.5, top + 2.0), 2.5))
    title = "A jaw as typed, spindle to the left"
    words = f"{number_text(round(z1 - z0, 4))} long, {number_text(round(r1 - r0, 4))} high"
    return inline_svg(Drawing(*SMALL, title, words, board.finished()), name)


def pairs_in(points: object) -> list[Point]:
    """Pairs of numbers in a raw list; empty where it holds anything else."""
    found = []
    for each in points if isinstance(points, list) else ():
        plain = isinstance(each, list) and len(each) == 2
        if not plain or not all(type(v) in (int, float) for v in each):
            return []
        found.append((float(each[0]), float(each[1])))
    return found
