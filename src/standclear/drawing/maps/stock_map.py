"""The stock map: which blanks a set-up, or the whole job, is clear and cleans up with.

Face allowance or length across, size up. Each edge of the region says what stops there and in which
block. The blank in hand is a cross in the box of its tolerances; bars of a rack are points.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from standclear.drawing.dimension import leader, ring
from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board, Room, place
from standclear.drawing.lettering import shortened, width_of
from standclear.drawing.maps.axes import Axes, draw_axes
from standclear.drawing.shapes import Box, Drawing, Fill, Group, Line, Point, Shape, Text
from standclear.drawing.view import filled
from standclear.job.models import Job
from standclear.job.placing import place_setups
from standclear.plan.rack.check import Fit, Row
from standclear.plan.windows.edges import Edge
from standclear.plan.windows.frames import Across
from standclear.plan.windows.stock import Window
from standclear.proof.result import JobProof
from standclear.report.sizes import length, number

WIDTH, HEIGHT = 180.0, 128.0
EDGE = 4.0
IN_HAND = "in hand"
LABEL = 2.5
ROW = 4.6
LEFT, BELOW, HEAD = 20.0, 11.0, 19.0
"""Paper beside the frame for figures and words, mm."""
AROUND = 0.22
"""Of the region's own width and height that is shown around it."""
LEAST_AROUND = 0.6
"""And at least this, mm."""
CROSS = 2.2
"""Half the cross of the blank in hand, mm on paper."""
POINT = 0.9
"""Radius of a bar's point, mm on paper."""
LEAST_HIGH = 40.0
"""Of the frame, mm: the lines of words below it give way."""
MOST_EDGES = 9
"""Edges that get a label; shorter ones are told of in the answer in words."""


@dataclass(frozen=True)
class _Stretch:
    """Some of a window's edge with the same beyond all of it."""

    edges: tuple[Edge, ...]
    line: LineString
    """(across, size)."""


BESIDE = 3.0
"""Paper between the region's own words and others on the same line, mm."""
EDGE_INK = {
    "strikes": Ink.STRIKES_EDGE,
    "does not clean up": Ink.UNCLEAN_EDGE,
    "comes loose": Ink.LOOSE_EDGE,
    "not looked further": Ink.OPEN_EDGE,
}
SIZE_WORDS = {"hexagon": "width across flats", "square": "width across flats"}
FIT_WORDS = {
    Fit.CLEAR: "clear",
    Fit.CLEAR_BUT: "clear, something to mend",
    Fit.AFTER_EDITS: "clear after edits",
    Fit.NOT: "not possible",
}


@dataclass(frozen=True)
class InHand:
    """The blank in hand: the cross, and the box of its tolerances (across, size)."""

    stated: Point
    box: Box


def stock_map(
    window: Window,
    job: Job,
    proof: JobProof,
    rack: Sequence[Row] = (),
    *,
    width: float = WIDTH,
    height: float = HEIGHT,
) -> Drawing:
    """The map of one window on a sheet of its own; bars of a rack stand in that of the whole job.

    `job` and `proof` are those that the window was made of.
    """
    board = Board()
    draw_map(board, window, job, proof, rack, (0.0, 0.0, width, height))
    title = f"{_heading(window)}: {_state(window, proof)}"
    return Drawing(width, height, title, _described(window, job, proof), board.finished())


def stock_maps(
    windows: Sequence[Window],
    job: Job,
    proof: JobProof,
    rack: Sequence[Row] = (),
) -> Drawing:
    """The maps of all windows on one sheet, two across."""
    board = Board()
    rows = (len(windows) + 1) // 2
    width, height = 2 * WIDTH, rows * HEIGHT
    for i, window in enumerate(windows):
        x, y = WIDTH * (i % 2), height - HEIGHT * (i // 2 + 1)
        draw_map(board, window, job, proof, rack, (x, y, x + WIDTH, y + HEIGHT))
    title = f"{proof.title or 'job'}: blanks that would also be clear"
    words = " ".join(_described(window, job, proof) for window in windows)
    return Drawing(width if len(windows) > 1 else WIDTH, height, title, words, board.finished())


def draw_map(
    board: Board,
    window: Window,
    job: Job,
    proof: JobProof,
    rack: Sequence[Row],
    area: Box,
    blank: str = IN_HAND,
) -> Axes:
    """Draw a map into `area`; returns the axes, by which a place on paper is a blank. `blank` says
    of the blank of `job` which one it is."""
    x0, y0, x1, y1 = area
    stretches = _worth_telling(window)
    keys = [f"{n}  {_key(s.edges[0], proof)}" for n, s in enumerate(stretches, 1)]
    keys += [f"Note: {note}." for note in window.notes]
    rack = rack if window.across is Across.LENGTH else ()
    on_map = [row for row in rack if row.in_window is not None and _near(window, row)]
    keys += [
        f"Not on this map: {row.stock.name or row.stock.shape} "
        f"{length(row.stock.size, proof.units)}, {FIT_WORDS[row.fit]}"
        for row in rack
        if row not in on_map
    ]
    room_for = max(1, int((y1 - y0 - HEAD - EDGE - BELOW - LEAST_HIGH) / ROW) - 1)
    if len(keys) > room_for:
        more = f"and {len(keys) - room_for + 1} more: see the answer in words"
        keys = [*keys[: room_for - 1], more]
    paper = (
        x0 + LEFT, y0 + EDGE + BELOW + ROW * (len(keys) + 1), x1 - EDGE, y1 - HEAD
    )  # fmt: skip
    hand = in_hand(window, job)
    axes = Axes(_shown(window, hand, on_map), paper)
    board.write(Text(_heading(window), (x0 + EDGE, y1 - 6.5), 3.5))
    board.write(Text(_state(window, proof, blank), (x0 + EDGE, y1 - 11.2), LABEL))
    size = SIZE_WORDS.get(job.blank.shape, "diameter")
    unit = "mm" if proof.units == "mm" else "inch"
    draw_axes(board, axes, proof.units, f"{window.across}, {unit}", f"{size} of the bar, {unit}")
    lines = _region(board, axes, window)
    room = Room(paper, lines, ())
    _hand(board, axes, room, hand, window, job.blank.shape, proof.units, blank)
    _bars(board, axes, room, on_map, proof.units)
    _labels(board, axes, room, stretches, window)
    _name_region(board, axes, room, window)
    _keys(board, keys, (x0 + EDGE, paper[1] - BELOW - ROW), x1 - EDGE)
    return axes


def in_hand(window: Window, job: Job) -> InHand:
    """The blank in hand in the plane of a window, and the box of its tolerances."""
    across, size = window.stated
    low, high = job.blank.size_tolerance
    if window.across is Across.LENGTH:
        least, most = job.blank.length_tolerance
        return InHand(window.stated, (across + least, size + low, across + most, size + high))
    k = next(i for i, setup in enumerate(job.setup) if setup.name == window.setup)
    face = place_setups(job)[k].raw_face
    return InHand(window.stated, (face.lo, size + low, face.hi, size + high))


def _heading(window: Window) -> str:
    return f"Set-up {window.setup}" if window.setup else "Whole job, zeros set as they are"


def _state(window: Window, proof: JobProof, blank: str = IN_HAND) -> str:
    verdict = proof.verdict
    for setup in proof.setups:
        if setup.name == window.setup:
            verdict = setup.verdict
    inside = window.holds(*window.stated)
    return f"The blank {blank}: {verdict}; it lies {'in' if inside else 'OUTSIDE'} the window."


def _described(window: Window, job: Job, proof: JobProof) -> str:
    across, size = window.stated
    said = [
        f"{_heading(window)}. {_state(window, proof)} In hand: {window.across} "
        f"{length(across, proof.units)}, size {length(size, proof.units)}."
    ]
    said += [f"{_key(s.edges[0], proof)}." for s in _worth_telling(window)]
    return " ".join(said)


def _worth_telling(window: Window) -> list[_Stretch]:
    """The longest stretches of the window's edge with the same beyond them, in their order."""
    found = [
        _Stretch(tuple(edges), LineString([edges[0].start, *(e.end for e in edges)]))
        for edges in _stretches(window.edges)
    ]
    longest = sorted(found, key=lambda s: -s.line.length)[:MOST_EDGES]
    return [stretch for stretch in found if stretch in longest]


def _stretches(edges: Sequence[Edge]) -> Iterator[list[Edge]]:
    """Neighbours with the same beyond them; the last goes on into the first where both have."""
    runs: list[list[Edge]] = []
    for edge in edges:
        if runs and runs[-1][-1].end == edge.start and _beyond(runs[-1][-1]) == _beyond(edge):
            runs[-1].append(edge)
        else:
            runs.append([edge])
    first, last = (runs[0], runs[-1]) if runs else ([], [])
    closes = len(runs) > 1 and last[-1].end == first[0].start
    if closes and _beyond(last[0]) == _beyond(first[0]):
        runs[0] = runs.pop() + first
    yield from runs


def _beyond(edge: Edge) -> tuple[str, str, str, int]:
    return edge.side, edge.against, edge.setup, edge.line


def _key(edge: Edge, proof: JobProof) -> str:
    """What lies beyond an edge, with its block."""
    if not edge.setup:
        return "not looked further"
    against = "" if edge.against == "metal" else f" ({edge.against})"
    return f"{edge.side}{against}: {edge.setup}{_block(edge, proof)}"


def _block(edge: Edge, proof: JobProof) -> str:
    if not edge.line:
        return ""
    setup = next(s for s in proof.setups if s.name == edge.setup)
    words = [b.text for b in setup.program.blocks if b.line == edge.line and not b.file]
    return f", line {edge.line}" + (f": {words[0]}" if words else "")


def _shown(window: Window, hand: InHand, rack: Sequence[Row]) -> Box:
    x0, y0, x1, y1 = hand.box
    boxes = [hand.box] if window.region.is_empty else [hand.box, window.region.bounds]
    boxes += [(row.blank_length, row.stock.size, row.blank_length, row.stock.size) for row in rack]
    x0, y0 = (min(b[i] for b in boxes) for i in (0, 1))
    x1, y1 = (max(b[i] for b in boxes) for i in (2, 3))
    dx = max(AROUND * (x1 - x0), LEAST_AROUND)
    dy = max(AROUND * (y1 - y0), LEAST_AROUND)
    return (x0 - dx, y0 - dy, x1 + dx, y1 + dy)


def _near(window: Window, row: Row) -> bool:
    low_x, low_y, high_x, high_y = window.looked
    return low_x <= row.blank_length <= high_x and low_y <= row.stock.size <= high_y


def _laid(axes: Axes, geometry: BaseGeometry) -> BaseGeometry:
    (ax, ay), (bx, by) = axes.at(0.0, 0.0), axes.at(1.0, 1.0)
    laid: BaseGeometry = shapely.transform(geometry, lambda p: p * (bx - ax, by - ay) + (ax, ay))
    return laid


def _region(board: Board, axes: Axes, window: Window) -> tuple[BaseGeometry, ...]:
    """Paint the window and its edges, and return the edges' lines on paper."""
    with board.part("window"):
        board.add(filled(_laid(axes, window.region), Tone.CLEAR))
        lines = []
        for edge in window.edges:
            points = (axes.at(*edge.start), axes.at(*edge.end))
            data = (
                ("side", edge.side), ("against", edge.against), ("setup", edge.setup),
                ("line", str(edge.line)),
            )  # fmt: skip
            board.add([Group("edge", (Line(points, EDGE_INK[edge.side]),), data)])
            lines.append(LineString(points))
    return tuple(lines)


def _size(size: float, shape: str, units: str) -> str:
    figure = number(size, units)
    return f"{figure} across flats" if shape in SIZE_WORDS else f"Ø {figure}"


def _hand(
    board: Board,
    axes: Axes,
    room: Room,
    hand: InHand,
    window: Window,
    shape: str,
    units: str,
    blank: str,
) -> None:
    kind = "length" if window.across is Across.LENGTH else "face"
    (u0, v0), (u1, v1) = axes.at(*hand.box[:2]), axes.at(*hand.box[2:])
    u, v = axes.at(*hand.stated)
    shapes: list[Shape] = [
        Line(((u0, v0), (u1, v0), (u1, v1), (u0, v1)), Ink.IN_HAND, closed=True),
        Line(((u - CROSS, v), (u + CROSS, v)), Ink.IN_HAND),
        Line(((u, v - CROSS), (u, v + CROSS)), Ink.IN_HAND),
    ]
    across, size = hand.stated
    data = (("across", f"{across:.6g}"), ("size", f"{size:.6g}"))
    with board.part("in-hand"):
        board.add([Group("blank", tuple(shapes), data)])
        board.arrows.append(
            (min(u0, u - CROSS), min(v0, v - CROSS), max(u1, u + CROSS), max(v1, v + CROSS))
        )
        said = f"{blank}: {_size(size, shape, units)}, {kind} {number(across, units)}"
        liked = [
            (u + dx, v + dy) for dy in (5, -8, 9, -12) for dx in (5, -5 - width_of(said, LABEL))
        ]
        leader(board, room, (u, v), said, liked)


def _bars(board: Board, axes: Axes, room: Room, rack: Sequence[Row], units: str) -> None:
    spots: dict[Point, list[Row]] = {}
    for row in rack:
        spots.setdefault(axes.at(row.blank_length, row.stock.size), []).append(row)
    with board.part("rack"):
        for at, rows in spots.items():
            data = (("bar", _names(rows, units)), ("fit", str(rows[0].fit)))
            board.add([Group("bar", _point(at, rows[0].fit), data)])
            board.arrows.append((at[0] - 1.4, at[1] - 1.4, at[0] + 1.4, at[1] + 1.4))
        for at, rows in spots.items():
            fits = dict.fromkeys(FIT_WORDS[row.fit] for row in rows)
            said = f"{_names(rows, units)}: {', '.join(fits)}"
            leader(board, room, at, said, [(at[0] + 3, at[1] + dy) for dy in (2, -4)])


def _names(rows: Sequence[Row], units: str) -> str:
    return ", ".join(row.stock.name or length(row.stock.size, units) for row in rows)


def _point(at: Point, fit: Fit) -> tuple[Shape, ...]:
    """A bar by what it is good for: a full circle, one with a dot, an empty one, a cross."""
    circle = Line(ring(at, POINT, 16), Ink.RACK, closed=True)
    if fit is Fit.CLEAR:
        return (Fill((ring(at, POINT, 16),), Tone.INK), circle)
    if fit is Fit.NOT:
        u, v = at
        return (
            Line(((u - POINT, v - POINT), (u + POINT, v + POINT)), Ink.RACK),
            Line(((u - POINT, v + POINT), (u + POINT, v - POINT)), Ink.RACK),
        )
    return (Fill((ring(at, POINT, 16),), Tone.PAPER), circle)


def _labels(
    board: Board, axes: Axes, room: Room, stretches: Sequence[_Stretch], window: Window
) -> None:
    laid = _laid(axes, window.region)
    with board.part("labels"):
        for n, stretch in enumerate(stretches, 1):
            edge = stretch.edges[0]
            said = f"{n}. {edge.side}"
            if edge.against not in ("", "metal"):
                said += f", {edge.against}"
            if edge.line:
                said += f", line {edge.line}"
            line = _laid(axes, stretch.line)
            u, v = _middle(line)
            away = _outward(line, laid)
            wide = width_of(said, LABEL)
            liked = [
                (u + side * far * away[0] + dx, v + side * far * away[1] - LABEL / 2)
                for far in (6, 9)
                for side in (1, -1)
                for dx in (2, -wide / 2, -2 - wide)
            ]
            leader(board, room, (u, v), said, liked)


def _middle(line: BaseGeometry) -> Point:
    spot = line.interpolate(0.5, normalized=True)
    return (spot.x, spot.y)


def _outward(line: BaseGeometry, region: BaseGeometry) -> Point:
    """A step of 1 mm off the middle of an edge, away from the region."""
    a, b = (line.interpolate(share, normalized=True) for share in (0.49, 0.51))
    du, dv = b.y - a.y, a.x - b.x
    far = (du * du + dv * dv) ** 0.5 or 1.0
    u, v = _middle(line)
    inside = region.contains(shapely.Point(u + 0.5 * du / far, v + 0.5 * dv / far))
    return (-du / far, -dv / far) if inside else (du / far, dv / far)


def _name_region(board: Board, axes: Axes, room: Room, window: Window) -> None:
    if window.region.is_empty:
        said = "no blank is clear and cleans up within what was looked at"
        u0, v0, u1, v1 = axes.paper
        place(board, room, said, LABEL, ((u0 + u1 - width_of(said, LABEL)) / 2, (v0 + v1) / 2))
        return
    # Not close beside other words: the two would be read as one sentence.
    board.arrows += [(u - BESIDE, v, u1 + BESIDE, v1) for u, v, u1, v1 in board.words]
    inner = _laid(axes, window.region).representative_point()
    said = "clear, and cleans up"
    at = (inner.x - width_of(said, LABEL) / 2, inner.y)
    place(board, room, said, LABEL, at, [at])


def _keys(board: Board, keys: Sequence[str], corner: Point, right: float) -> None:
    x, y = corner
    with board.part("keys"):
        for key in keys:
            board.write(Text(shortened(key, LABEL, right - x), (x, y), LABEL))
            y -= ROW
        said = (
            "The window counts the tolerances: the cross must lie in it. Margins of air are not "
            "counted."
        )
        board.write(Text(shortened(said, 2.0, right - x), (x, y + 0.6), 2.0))
