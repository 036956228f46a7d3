"""The section of one set-up: blank, jaws, metal left, the motion that matters, gaps dimensioned.

Half section above the centre line, Z to the right and X up; chuck to the left (ISO 841).
"""

from __future__ import annotations

from shapely import box
from shapely.geometry import LinearRing, LineString
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from standclear.drawing.dimension import along, leader, ring
from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board, Room, place, segments_of, text_box
from standclear.drawing.lettering import width_of
from standclear.drawing.section.focus import MARKS, Focus
from standclear.drawing.section.gaps import (
    number_strike,
    show_depths,
    show_gaps,
    show_obstacle_gap,
)
from standclear.drawing.section.pieces import (
    draw_metal,
    draw_motion,
    draw_strikes,
    obstacles_apart,
)
from standclear.drawing.section.readings import one_reading
from standclear.drawing.section.ways import ways
from standclear.drawing.shapes import Box, Fill, Line, Point, Text, rectangle
from standclear.drawing.view import (
    SCALES,
    SCALES_OF_DETAIL,
    View,
    fitting,
    line_shapes,
    scale_words,
)
from standclear.motions.table import Kind
from standclear.proof.result import SetupProof
from standclear.report.sizes import number

BELOW_AXIS = 21.0
"""Paper kept below the centre line for dimensions, mm."""
LABEL = 2.5
LEADER_AIR = 6.0
"""How far the leader of the diameter keeps from tool and jaws, mm on paper."""
LETTER_AIR = 5.0
LETTER_CLOSE = 9.0
"""How far the letter of a detail may stand from its ring, mm."""
DETAIL_HEAD = 6.0
"""Paper above a detail for its letter and scale, mm."""
WORTH_IT = 1.5
"""A detail less enlarged than this against its section is left out."""
ZERO_RADIUS = 2.0
"""Of the mark of part zero, mm."""


def section_view(
    board: Board,
    setup: SetupProof,
    focus: Focus,
    area: Box,
    units: str,
    letter: str = "",
    scale: float | None = None,
    now: BaseGeometry | None = None,
    with_ways: bool = False,
) -> View:
    """Draw the whole set-up into `area`; where there is a `letter`, the part that a detail enlarges
    is ringed and lettered. `scale` is that wanted; left out, the greatest that fits. `now` is the
    metal as it stands in the middle of the run; `with_ways` draws the way of every motion.

    Returns the view that was chosen.
    """
    view = _whole(setup, focus, area, scale)
    room = _draw(board, view, setup, focus, area, now, with_ways)
    with board.part("sizes"):
        _sizes(board, view, room, setup, units)
    if focus.window is not None and letter:
        with board.part("detail"):
            _ring_detail(board, view, room, focus.window, letter)
    with board.part("strikes"):
        for hit in focus.hits[:MARKS]:
            number_strike(board, view, room, hit)
    with board.part("gaps"):
        if not letter:
            _what_matters(board, view, room, setup, focus, units)
        jaws = [a for a in setup.approaches if a.against != "metal"]
        if jaws and not focus.hits:
            show_gaps(board, view, room, setup, min(jaws, key=lambda a: a.gap), units)
    with board.part("names"):
        _diameter(board, view, room, setup, focus, units)
        _names(board, view, room, setup)
        _tool_name(board, view, room, setup, focus)
    return view


def detail_view(
    board: Board, setup: SetupProof, focus: Focus, area: Box, units: str, letter: str
) -> View | None:
    """Draw the place that matters, enlarged and with its sizes; None where there is none."""
    if focus.window is None:
        return None
    room_x, room_y = area[2] - area[0], area[3] - area[1] - DETAIL_HEAD
    z0, r0, z1, r1 = focus.window
    scale = fitting(z1 - z0, r1 - r0, (room_x, room_y), SCALES_OF_DETAIL)
    half_z, half_r = room_x / scale / 2, room_y / scale / 2
    z, r = (z0 + z1) / 2, (r0 + r1) / 2
    view = View((z - half_z, r - half_r, z + half_z, r + half_r), scale, (area[0], area[1]))
    with board.part("detail"):
        board.write(Text(f"{letter} ({scale_words(scale)})", (area[0], area[3] - 3.5), 3.5))
        room = _draw(board, view, setup, focus, view.paper)
        _what_matters(board, view, room, setup, focus, units)
        if focus.hits:
            number_strike(board, view, room, focus.hits[0])
        board.add([Line(rectangle(view.paper), Ink.DETAIL, closed=True)])
    return view


def _what_matters(
    board: Board, view: View, room: Room, setup: SetupProof, focus: Focus, units: str
) -> None:
    """The depths of the first strike; without one, the gap that is too small, or the least."""
    if focus.hits:
        show_depths(board, view, room, focus.hits[0], units)
    elif focus.gap is not None:
        show_obstacle_gap(board, view, room, focus.gap, units)
    elif focus.near is not None:
        show_gaps(board, view, room, setup, focus.near, units)


def enlarges(setup: SetupProof, focus: Focus, area: Box, detail: Box) -> bool:
    """Whether a detail drawn into `detail` shows what matters enough larger than the section drawn
    into `area` to be worth its paper."""
    if focus.window is None:
        return False
    z0, r0, z1, r1 = focus.window
    room = (detail[2] - detail[0], detail[3] - detail[1] - DETAIL_HEAD)
    scale = fitting(z1 - z0, r1 - r0, room, SCALES_OF_DETAIL)
    return scale > WORTH_IT * _whole(setup, focus, area, None).scale


def _draw(
    board: Board,
    view: View,
    setup: SetupProof,
    focus: Focus,
    bounds: Box,
    now: BaseGeometry | None = None,
    with_ways: bool = False,
) -> Room:
    metal = draw_metal(board, view, setup, now)
    if with_ways:
        with board.part("ways"):
            told = [focus.motion, *(hit.motion for hit in focus.hits)]
            board.add(ways(view, setup, one_reading(setup.trace.motions, told)))
    tool = draw_motion(board, view, setup, focus.motion, focus.tool)
    draw_strikes(board, view, [hit.overlap for hit in focus.hits])
    return Room(bounds, (*metal.lines, *tool.lines), (*metal.areas, *tool.areas))


def _ring_detail(board: Board, view: View, room: Room, window: Box, letter: str) -> None:
    frame = view.clipped(box(*window))
    if frame.is_empty:
        return
    x0, y0, x1, y1 = frame.bounds
    radius = max(3.0, ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 / 2)
    centre = ((x0 + x1) / 2, (y0 + y1) / 2)
    circle = LinearRing(ring(centre, radius, 48)).intersection(box(*view.paper))
    lines = list(line_shapes(circle, Ink.DETAIL))
    ways = [way for line in lines for way in segments_of(line.points)]
    if not board.open_way(ways):
        return
    board.add(lines)
    board.thin += ways
    near = (centre[0] + radius + 1, centre[1] + radius)
    text = place(board, room, letter, 3.5, near, close=LETTER_CLOSE)
    if text is not None:
        # No other words close by, lest the letter be read as their first.
        low, bottom, high, top = text_box(text)
        board.arrows.append((low - LETTER_AIR, bottom, high + LETTER_AIR, top))


def _whole(setup: SetupProof, focus: Focus, area: Box, scale: float | None) -> View:
    z0, _, z1, r1 = setup.metal_before.bounds
    z0, z1 = z0 - 0.1 * (z1 - z0), z1 + 0.2 * (z1 - z0)
    r1 = 1.45 * r1
    if focus.near is not None:
        z, r = focus.near.position
        z1, r1 = max(z1, z + 3.0), max(r1, r + 3.0)
    room = (area[2] - area[0], area[3] - area[1] - BELOW_AXIS)
    if scale is None:
        scale = fitting(z1 - z0, r1, room, SCALES)
    spare = room[0] / scale - (z1 - z0)
    window = (z0 - 0.35 * spare, 0.0, z1 + 0.65 * spare, room[1] / scale)
    return View(window, scale, (area[0], area[1] + BELOW_AXIS))


def _sizes(board: Board, view: View, room: Room, setup: SetupProof, units: str) -> None:
    z0, _, z1, _ = setup.metal_before.bounds
    y = view.at(0.0, 0.0)[1]
    jaws = setup.obstacles.get("jaws")
    zero = view.at(0.0, 0.0)
    board.add([Fill((_quarter(zero, start),), Tone.INK) for start in (0, 180)])
    circle = ring(zero, ZERO_RADIUS)
    board.add([Line(circle, Ink.DIMENSION, closed=True)])
    board.arrows.append(
        (zero[0] - ZERO_RADIUS, y - ZERO_RADIUS, zero[0] + ZERO_RADIUS, y + ZERO_RADIUS)
    )
    face = (view.at(z1, 0)[0], y)
    if abs(z1) > 1e-9:
        figure = f"Z0 to face {number(z1, units)}"
        along(board, room, (zero[0], y - ZERO_RADIUS), face, y - 4.5, figure)
    if jaws is not None and not jaws.is_empty:
        grip = jaws.bounds[2]
        figure = f"stick-out {number(z1 - grip, units)}"
        along(board, room, (view.at(grip, 0)[0], y), face, y - 10.2, figure)
    figure = f"length before {number(z1 - z0, units)}"
    along(board, room, (view.at(z0, 0)[0], y), face, y - 16.8, figure)


def _diameter(
    board: Board, view: View, room: Room, setup: SetupProof, focus: Focus, units: str
) -> None:
    spot = _spot_on_top(view, setup, focus)
    said = f"turns within Ø {number(2 * setup.metal_before.bounds[3], units)}"
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


def _quarter(centre: Point, start: int) -> tuple[Point, ...]:
    points = ring(centre, ZERO_RADIUS)
    first = start * len(points) // 360
    return (centre, *points[first : first + len(points) // 4 + 1])


def _names(board: Board, view: View, room: Room, setup: SetupProof) -> None:
    bare = Room(room.bounds, room.lines, ())
    for name, geometry in sorted(obstacles_apart(setup).items()):
        seen = view.clipped(geometry)
        wide = width_of(name, LABEL)
        if seen.is_empty or seen.bounds[2] - seen.bounds[0] < wide + 2.0:
            continue
        inner = seen.representative_point()
        spots = [(inner.x - wide / 2, inner.y + dy) for dy in (6.0, 0.0, -6.0)]
        middle = ((seen.bounds[0] + seen.bounds[2] - wide) / 2, seen.bounds[3] - 8.0)
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
