"""The section of one set-up: blank, jaws, metal left, the motion that matters, gaps dimensioned.

Half section above the centre line, Z to the right and X up; chuck to the left (ISO 841).
"""

from __future__ import annotations

from shapely import box
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from standclear.drawing.dimension import along, arrow, leader, ring
from standclear.drawing.labels import Board, Room, place
from standclear.drawing.lettering import width_of
from standclear.drawing.section.focus import MARKS, Focus, Hit, path_of
from standclear.drawing.section.gaps import number_strike, show_depths, show_gaps, show_obstacle_gap
from standclear.drawing.shapes import (
    BLUE,
    PALE_BLUE,
    PALE_GREY,
    PALE_VERMILLION,
    Box,
    Fill,
    Ink,
    Line,
    Point,
    Text,
    rectangle,
)
from standclear.drawing.view import (
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
from standclear.motions.table import Kind
from standclear.proof.result import SetupProof
from standclear.report.sizes import length, number

BELOW_AXIS = 19.0
"""Paper kept below the centre line for dimensions, mm."""
METAL_HATCH, STRIKE_SPACING = 3.0, 0.9
"""Spacing of section lines, mm on paper."""
OBSTACLE_HATCH = {"jaws": (1.4, -45.0), "chuck": (2.2, -45.0), "stop": (1.4, 45.0)}
OTHER_HATCH = (1.4, -45.0)
"""Spacing and direction: pieces that meet differ (ISO 128-50)."""
LABEL = 2.5
LEADER_AIR = 6.0
"""How far the leader of the diameter keeps from tool and jaws, mm on paper."""


def section_view(
    board: Board, setup: SetupProof, focus: Focus, area: Box, units: str, letter: str
) -> View:
    """Draw the whole set-up into `area`; the part that the detail enlarges is ringed and lettered.

    Returns the view that was chosen.
    """
    view = _whole(setup, focus, area)
    room = _draw(board, view, setup, focus, area)
    for hit in focus.hits[:MARKS]:
        number_strike(board, view, room, hit)
    if focus.window is not None:
        room = _ring_detail(board, view, room, focus.window, letter)
    _sizes(board, view, room, setup, focus, units)
    jaws = [a for a in setup.approaches if a.against != "metal"]
    if jaws and not focus.hits:
        show_gaps(board, view, room, setup, min(jaws, key=lambda a: a.gap), units)
    _names(board, view, room, setup)
    _tool_name(board, view, room, setup, focus)
    return view


def detail_view(
    board: Board, setup: SetupProof, focus: Focus, area: Box, units: str, letter: str
) -> View | None:
    """Draw the place that matters, enlarged and with its sizes; None where there is none."""
    if focus.window is None:
        return None
    room_x, room_y = area[2] - area[0], area[3] - area[1] - 6.0
    z0, r0, z1, r1 = focus.window
    scale = fitting(z1 - z0, r1 - r0, (room_x, room_y), SCALES_OF_DETAIL)
    half_z, half_r = room_x / scale / 2, room_y / scale / 2
    z, r = (z0 + z1) / 2, (r0 + r1) / 2
    view = View((z - half_z, r - half_r, z + half_z, r + half_r), scale, (area[0], area[1]))
    room = _draw(board, view, setup, focus, view.paper)
    if focus.hits:
        show_depths(board, view, room, focus.hits[0], units)
        number_strike(board, view, room, focus.hits[0])
    elif focus.gap is not None:
        show_obstacle_gap(board, view, room, focus.gap, units)
    elif focus.near is not None:
        show_gaps(board, view, room, setup, focus.near, units)
    board.add([Line(rectangle(view.paper), Ink.DETAIL, closed=True)])
    board.write(Text(f"{letter} ({scale_words(scale)})", (area[0], area[3] - 3.5), 3.5))
    return view


def _draw(board: Board, view: View, setup: SetupProof, focus: Focus, bounds: Box) -> Room:
    _metal(board, view, setup)
    _motion(board, view, setup, focus.motion, focus.tool)
    _strikes(board, view, focus.hits)
    return _room(view, bounds, setup, focus.tool)


def _ring_detail(board: Board, view: View, room: Room, window: Box, letter: str) -> Room:
    frame = view.clipped(box(*window))
    if frame.is_empty:
        return room
    x0, y0, x1, y1 = frame.bounds
    radius = max(3.0, ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 / 2)
    centre = ((x0 + x1) / 2, (y0 + y1) / 2)
    seen = view.paper
    circle = LinearRing(ring(centre, radius, 48)).intersection(box(*seen))
    board.add(line_shapes(circle, Ink.DETAIL))
    place(board, room, letter, 3.5, (centre[0] + radius + 1, centre[1] + radius))
    return Room(room.bounds, room.lines.union(circle), room.areas)


def _whole(setup: SetupProof, focus: Focus, area: Box) -> View:
    z0, _, z1, r1 = setup.metal_before.bounds
    z0, z1 = z0 - 0.1 * (z1 - z0), z1 + 0.2 * (z1 - z0)
    r1 = 1.45 * r1
    if focus.near is not None:
        z, r = focus.near.position
        z1, r1 = max(z1, z + 3.0), max(r1, r + 3.0)
    room = (area[2] - area[0], area[3] - area[1] - BELOW_AXIS)
    scale = fitting(z1 - z0, r1, room, SCALES)
    spare = room[0] / scale - (z1 - z0)
    window = (z0 - 0.35 * spare, 0.0, z1 + 0.65 * spare, room[1] / scale)
    return View(window, scale, (area[0], area[1] + BELOW_AXIS))


def _apart(obstacles: dict[str, BaseGeometry]) -> dict[str, BaseGeometry]:
    """Obstacles without what they share, so that no area is hatched twice: what stands in front
    (jaws, then the rest by name, the chuck last) keeps it."""
    order = sorted(obstacles, key=lambda n: (n != "jaws", n == "chuck", n))
    taken: BaseGeometry = Polygon()
    own = {}
    for name in order:
        own[name] = obstacles[name].difference(taken)
        taken = taken.union(obstacles[name])
    return own


def _metal(board: Board, view: View, setup: SetupProof) -> None:
    board.add(filled(view.clipped(setup.metal_before), PALE_GREY))
    for name, geometry in _apart(setup.obstacles).items():
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


def _sizes(
    board: Board, view: View, room: Room, setup: SetupProof, focus: Focus, units: str
) -> None:
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
    spot = _spot_on_top(view, setup, focus)
    said = f"{length(2 * r1, units)} across"
    left = spot[0] - 4 - width_of(said, LABEL)
    liked = [(x, spot[1] + dy) for dy in (6, 10) for x in (spot[0] + 4, left)]
    leader(board, room, spot, said, liked)


def _spot_on_top(view: View, setup: SetupProof, focus: Focus) -> Point:
    """A place on the largest diameter, away from jaws, tool and strikes, for its leader."""
    z0, _, z1, r1 = setup.metal_before.bounds
    top = setup.metal_before.intersection(LineString([(z0, r1 - 1e-6), (z1, r1 - 1e-6)]))
    runs = [part.bounds for part in getattr(top, "geoms", [top]) if not part.is_empty]
    busy = unary_union(
        [*setup.obstacles.values(), focus.tool, *(hit.overlap for hit in focus.hits)]
    )
    spots = [
        Spot(run[0] + share * (run[2] - run[0]), r1)
        for run in runs
        for share in (0.4, 0.25, 0.55, 0.7, 0.1, 0.9)
    ]
    free = [s for s in spots if busy.is_empty or busy.distance(s) * view.scale > LEADER_AIR]
    best = (free or spots or [Spot((z0 + z1) / 2, r1)])[0]
    return view.at(best.x, best.y)


def _quarter(centre: tuple[float, float], start: int) -> tuple[tuple[float, float], ...]:
    points = ring(centre, 2.0)
    first = start * len(points) // 360
    return (centre, *points[first : first + len(points) // 4 + 1])


def _names(board: Board, view: View, room: Room, setup: SetupProof) -> None:
    for name, geometry in sorted(_apart(setup.obstacles).items()):
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


def _tool_name(board: Board, view: View, room: Room, setup: SetupProof, focus: Focus) -> None:
    seen = view.clipped(focus.tool) if not focus.tool.is_empty else focus.tool
    if seen.is_empty or focus.motion < 0:
        return
    motions = setup.trace.motions
    use = setup.trace.tools[int(motions.tool[focus.motion])]
    kind = Kind(int(motions.kind[focus.motion]))
    doing = {Kind.RAPID: "in rapid", Kind.FEED: "in feed"}.get(kind, "")
    _, _, x1, y1 = seen.bounds
    words = f"tool T{use.station:02d}{use.offset:02d} {doing}".strip()
    at = (x1 + 2.0, y1 - 5.0)
    place(board, room, words, LABEL, at, [at], Ink.TOOL_TEXT)
