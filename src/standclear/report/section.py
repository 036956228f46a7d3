"""The section of one set-up: blank, jaws, metal left, the motion that matters, gaps dimensioned.

Half section above the centre line, Z to the right and X up; chuck to the left (ISO 841).
"""

from __future__ import annotations

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from standclear.motions.table import Kind
from standclear.proof.result import Approach, SetupProof
from standclear.report.dimension import across, along, arrow, leader, mark, ring
from standclear.report.drawing import (
    BLUE,
    PALE_BLUE,
    PALE_GREY,
    PALE_VERMILLION,
    Box,
    Fill,
    Ink,
    Line,
    Text,
    rectangle,
)
from standclear.report.focus import MARKS, Hit, arriving, hits, nearest, path_of, tool_at
from standclear.report.labels import Board, Room, place
from standclear.report.lettering import width_of
from standclear.report.sizes import length, number
from standclear.report.view import (
    SCALES,
    SCALES_OF_DETAIL,
    View,
    filled,
    fitting,
    hatched,
    line_shapes,
    outline,
    scale_words,
)

BELOW_AXIS = 19.0
"""Paper kept below the centre line for dimensions, mm."""
METAL_HATCH, STRIKE_SPACING = 3.0, 0.9
"""Spacing of section lines, mm on paper."""
OBSTACLE_HATCH = {"jaws": (1.4, -45.0), "chuck": (2.2, -45.0), "stop": (1.4, 45.0)}
OTHER_HATCH = (1.4, -45.0)
"""Spacing and direction: pieces that meet differ (ISO 128-50)."""
LABEL = 2.5


def section_view(board: Board, setup: SetupProof, area: Box, units: str, letter: str) -> View:
    """Draw the whole set-up into `area`; the part that the detail enlarges is framed and lettered.

    Returns the view that was chosen.
    """
    view = _whole(setup, area)
    found = hits(setup)
    motion, overlap, _ = _focus(setup, found)
    tool = tool_at(setup, motion, overlap)
    _metal(board, view, setup)
    _motion(board, view, setup, motion, tool)
    _strikes(board, view, found)
    room = _room(view, area, setup, tool)
    for hit in found[:MARKS]:
        _number(board, view, room, hit)
    detail = detail_window(setup)
    if detail is not None:
        frame = view.clipped(_box_of(detail))
        if not frame.is_empty:
            x0, y0, x1, y1 = frame.bounds
            radius = max(3.0, ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 / 2)
            centre = ((x0 + x1) / 2, (y0 + y1) / 2)
            circle = ring(centre, radius, 48)
            board.add([Line(circle, Ink.DETAIL, closed=True)])
            place(board, room, letter, 3.5, (centre[0] + radius + 1, centre[1] + radius))
    _sizes(board, view, room, setup, units)
    jaws = [a for a in setup.approaches if a.against != "metal"]
    if jaws and not found:
        _gaps(board, view, room, setup, min(jaws, key=lambda a: a.gap), units)
    _names(board, view, room, setup)
    _tool_name(board, view, room, tool, setup, motion)
    return view


def detail_view(board: Board, setup: SetupProof, area: Box, units: str, letter: str) -> View | None:
    """Draw the enlarged place of the first strike or of the nearest approach; None without one."""
    wanted = detail_window(setup)
    if wanted is None:
        return None
    room_x, room_y = area[2] - area[0], area[3] - area[1] - 6.0
    z0, r0, z1, r1 = wanted
    scale = fitting(z1 - z0, r1 - r0, (room_x, room_y), SCALES_OF_DETAIL)
    half_z, half_r = room_x / scale / 2, room_y / scale / 2
    z, r = (z0 + z1) / 2, (r0 + r1) / 2
    view = View((z - half_z, r - half_r, z + half_z, r + half_r), scale, (area[0], area[1]))
    found = hits(setup)
    motion, overlap, near = _focus(setup, found)
    tool = tool_at(setup, motion, overlap)
    _metal(board, view, setup)
    _motion(board, view, setup, motion, tool)
    _strikes(board, view, found)
    room = _room(view, view.paper, setup, tool)
    if found:
        _depths(board, view, room, found[0], units)
        _number(board, view, room, found[0])
    elif near is not None:
        _gaps(board, view, room, setup, near, units)
    board.add([Line(rectangle(view.paper), Ink.DETAIL, closed=True)])
    head = f"{letter} ({scale_words(scale)})"
    board.write(Text(head, (area[0], area[3] - 3.5), 3.5))
    return view


def detail_window(setup: SetupProof) -> Box | None:
    """What the detail shows: the first strike with as much again around it, or the nearest gap."""
    found = hits(setup)
    if found:
        z0, r0, z1, r1 = found[0].overlap.bounds
        size = max(z1 - z0, r1 - r0, 0.02)
    else:
        near = nearest(setup)
        if near is None:
            return None
        z, r = near.position
        gap_z, gap_r = near.gap_z or 0.0, near.gap_radial or 0.0
        z0, r0, z1, r1 = z - gap_z, r - gap_r, z, r
        size = max(gap_z, gap_r, near.gap, 0.02)
    return (z0 - 1.2 * size, r0 - 1.2 * size, z1 + 1.2 * size, r1 + 1.2 * size)


def _focus(
    setup: SetupProof, found: tuple[Hit, ...]
) -> tuple[int, BaseGeometry | None, Approach | None]:
    if found:
        return found[0].motion, found[0].overlap, None
    near = nearest(setup)
    return (arriving(setup, near), None, near) if near is not None else (-1, None, None)


def _whole(setup: SetupProof, area: Box) -> View:
    z0, _, z1, r1 = setup.metal_before.bounds
    z0, z1 = z0 - 0.1 * (z1 - z0), z1 + 0.2 * (z1 - z0)
    r1 = 1.45 * r1
    near = nearest(setup)
    for z, r in [near.position] if near is not None else []:
        z1, r1 = max(z1, z + 3.0), max(r1, r + 3.0)
    room = (area[2] - area[0], area[3] - area[1] - BELOW_AXIS)
    scale = fitting(z1 - z0, r1, room, SCALES)
    spare = room[0] / scale - (z1 - z0)
    window = (z0 - 0.35 * spare, 0.0, z1 + 0.65 * spare, room[1] / scale)
    return View(window, scale, (area[0], area[1] + BELOW_AXIS))


def _box_of(window: Box) -> BaseGeometry:
    from shapely import box

    return box(*window)


def _metal(board: Board, view: View, setup: SetupProof) -> None:
    board.add(filled(view.clipped(setup.metal_before), PALE_GREY))
    for name, geometry in setup.obstacles.items():
        spacing, angle = OBSTACLE_HATCH.get(name, OTHER_HATCH)
        board.add(hatched(view.clipped(geometry), Ink.HATCH, spacing, angle))
        board.add(line_shapes(view.edges(geometry), Ink.OBSTACLE))
    board.add(hatched(view.clipped(setup.metal_after), Ink.HATCH, METAL_HATCH))
    board.add(line_shapes(view.edges(setup.metal_after), Ink.OUTLINE))
    gone = view.edges(setup.metal_before).difference(view.edges(setup.metal_after).buffer(0.02))
    board.add(line_shapes(gone, Ink.RAW))
    if view.window[1] <= 0.0 <= view.window[3]:
        x0, _, x1, _ = view.paper
        y = view.at(0.0, 0.0)[1]
        board.add([Line(((x0, y), (x1, y)), Ink.CENTRE)])


def _motion(board: Board, view: View, setup: SetupProof, motion: int, tool: BaseGeometry) -> None:
    if motion < 0:
        return
    path, known = path_of(setup, motion)
    lines = view.edges(path) if not known and path.geom_type == "Polygon" else view.clipped(path)
    if not tool.is_empty:
        board.add(filled(view.clipped(tool.difference(setup.metal_before)), PALE_BLUE))
        board.add(line_shapes(view.edges(tool), Ink.TOOL))
    board.add(line_shapes(lines, Ink.PATH))
    end = setup.trace.motions.end[motion]
    tip = view.at(float(end[0]), float(end[1]))
    x0, y0, x1, y1 = view.paper
    if not (x0 <= tip[0] <= x1 and y0 <= tip[1] <= y1):
        return
    board.add([Fill((ring(tip, 0.6, 12),), BLUE)])
    if known and path.geom_type == "LineString" and len(path.coords) > 1:
        from math import atan2, degrees

        before = view.at(*path.coords[-2])
        if before != tip:
            way = degrees(atan2(tip[1] - before[1], tip[0] - before[0]))
            board.add([arrow(tip, way, BLUE)])


def _strikes(board: Board, view: View, found: tuple[Hit, ...]) -> None:
    if not found:
        return
    struck = unary_union([h.overlap for h in found])
    cut = view.clipped(struck)
    board.add(filled(cut, PALE_VERMILLION))
    board.add(hatched(cut, Ink.STRIKE_HATCH, STRIKE_SPACING, 45.0))
    board.add(hatched(cut, Ink.STRIKE_HATCH, STRIKE_SPACING, -45.0))
    board.add(line_shapes(view.clipped(outline(struck)), Ink.STRIKE))


def _room(view: View, bounds: Box, setup: SetupProof, tool: BaseGeometry) -> Room:
    areas = unary_union(
        [view.clipped(g) for g in (setup.metal_before, tool, *setup.obstacles.values())]
    )
    solid = (setup.metal_after, setup.metal_before, *setup.obstacles.values())
    edges = [view.edges(g) for g in (*solid, tool)]
    return Room(bounds=bounds, lines=unary_union(edges), areas=areas)


def _number(board: Board, view: View, room: Room, hit: Hit) -> None:
    point = view.laid(hit.overlap).representative_point()
    x0, y0, x1, y1 = room.bounds
    if x0 <= point.x <= x1 and y0 <= point.y <= y1:
        mark(board, room, hit.number, (point.x, point.y), Ink.STRIKE_TEXT)


def _depths(board: Board, view: View, room: Room, hit: Hit, units: str) -> None:
    biggest = max(getattr(hit.overlap, "geoms", [hit.overlap]), key=lambda g: (g.area, g.bounds))
    z0, r0, z1, r1 = biggest.bounds
    low, high = view.at(z1, r0), view.at(z1, r1)
    figure = f"X {number(2 * hit.depth_x, units)} on dia., {number(hit.depth_x, units)} radial"
    across(board, room, low, high, high[0] + 9.0, figure)
    left, right = view.at(z0, r0), view.at(z1, r0)
    along(board, room, left, right, left[1] - 9.0, f"Z {number(hit.depth_z, units)}")


def _gaps(
    board: Board, view: View, room: Room, setup: SetupProof, near: Approach, units: str
) -> None:
    z, r = near.position
    against = setup.metal_before if near.against == "metal" else setup.obstacles.get(near.against)
    if against is None or against.is_empty:
        return
    z0, _, z1, r1 = against.bounds
    if near.gap_radial is not None:
        metal_z = min(max(z, z0), z1)
        low, high = view.at(metal_z, r - near.gap_radial), view.at(z, r)
        figure = (
            f"X {number(2 * near.gap_radial, units)} on dia., "
            f"{number(near.gap_radial, units)} to {near.against}"
        )
        across(board, room, low, high, max(low[0], high[0]) + 9.0, figure)
    if near.gap_z is not None:
        ahead = abs(z - near.gap_z - z1) <= abs(z + near.gap_z - z0)
        other = z - near.gap_z if ahead else z + near.gap_z
        left, right = view.at(other, min(r, r1)), view.at(z, r)
        below, word = min(left[1], right[1]) - 9.0, ""
        if near.against != "metal":
            above = view.at(z, setup.metal_before.bounds[3])[1] + 5.0
            below, word = max(left[1], right[1], above), f" to {near.against}"
        along(
            board,
            room,
            left,
            right,
            below,
            f"Z {number(near.gap_z, units)}{word}",
        )


def _sizes(board: Board, view: View, room: Room, setup: SetupProof, units: str) -> None:
    z0, _, z1, r1 = setup.metal_before.bounds
    y = view.at(0.0, 0.0)[1]
    jaws = setup.obstacles.get("jaws")
    zero = view.at(0.0, 0.0)
    board.add([Fill((_quarter(zero, 0),), "#000000"), Fill((_quarter(zero, 180),), "#000000")])
    board.add([Line(ring(zero, 2.0), Ink.DIMENSION, closed=True)])
    if jaws is not None and not jaws.is_empty:
        grip = jaws.bounds[2]
        along(
            board,
            room,
            (view.at(grip, 0)[0], y),
            (view.at(z1, 0)[0], y),
            y - 8.5,
            f"stick-out {number(z1 - grip, units)}",
        )
    along(
        board,
        room,
        (view.at(z0, 0)[0], y),
        (view.at(z1, 0)[0], y),
        y - 14.5,
        f"length before {number(z1 - z0, units)}",
    )
    if abs(z1) > 1e-9:
        along(
            board,
            room,
            (zero[0], y - 2.0),
            (view.at(z1, 0)[0], y),
            y - 4.5,
            f"Z0 to face {number(z1, units)}",
        )
    spot = view.at(z0 + 0.62 * (z1 - z0), r1)
    leader(board, room, spot, f"{length(2 * r1, units)} across", [(spot[0] + 4, spot[1] + 6)])


def _quarter(centre: tuple[float, float], start: int) -> tuple[tuple[float, float], ...]:
    points = ring(centre, 2.0)
    first = start * len(points) // 360
    return (centre, *points[first : first + len(points) // 4 + 1])


def _names(board: Board, view: View, room: Room, setup: SetupProof) -> None:
    for name, geometry in sorted(setup.obstacles.items()):
        seen = view.clipped(geometry)
        if seen.is_empty or seen.bounds[2] - seen.bounds[0] < width_of(name, LABEL) + 2.0:
            continue
        inner = seen.representative_point()
        spots = [(inner.x - width_of(name, LABEL) / 2, inner.y + dy) for dy in (6.0, 0.0, -6.0)]
        middle = (
            (seen.bounds[0] + seen.bounds[2] - width_of(name, LABEL)) / 2,
            seen.bounds[3] - 8.0,
        )
        bare = Room(room.bounds, room.lines, Polygon())
        place(board, bare, name, LABEL, middle, [middle, *spots])


def _tool_name(
    board: Board, view: View, room: Room, tool: BaseGeometry, setup: SetupProof, motion: int
) -> None:
    seen = view.clipped(tool) if not tool.is_empty else tool
    if seen.is_empty or motion < 0:
        return
    motions = setup.trace.motions
    use = setup.trace.tools[int(motions.tool[motion])]
    kind = {Kind.RAPID: "in rapid", Kind.FEED: "in feed"}.get(Kind(int(motions.kind[motion])), "")
    _, _, x1, y1 = seen.bounds
    words = f"tool T{use.station:02d}{use.offset:02d} {kind}".strip()
    place(board, room, words, LABEL, (x1 + 2.0, y1 - 5.0), [(x1 + 2.0, y1 - 5.0)], Ink.TOOL_TEXT)
