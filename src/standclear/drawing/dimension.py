"""Dimension lines, leaders and marks on paper, after ISO 129-1: thin lines, filled arrows, the
figure above its line or beside it where the line is too short to hold it."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board, Room, Segment, crossing, inside, place, segments_of
from standclear.drawing.lettering import DESCENT, width_of
from standclear.drawing.shapes import Box, Fill, Line, Point, Text

ARROW = 2.5
"""Length of an arrow, mm; its half width is a sixth of that."""
FIGURE = 2.5
"""Height of a dimension's figure, mm (ISO 3098 series)."""
BEYOND = 1.2
"""How far an extension line runs past its dimension line, mm."""
LIFT = 1.9
"""Of a figure above its line, mm, so that tails of letters stay clear of it."""
TIGHT = 3.0 * ARROW
"""A shorter line carries its arrows outside, pointing at each other."""
ASIDE = (0.0, 3.0, -3.0, 6.0, -6.0, 9.0, -9.0)
"""How far a dimension line gives way to words that already stand there, mm."""
LEADER_CLOSE = 26.0
"""A text with a leader may stand further off than one without, mm."""
DOT = 0.45
"""Radius of the dot that ends a leader on an area, mm."""


def arrow(tip: Point, degrees: float, tone: Tone = Tone.INK) -> Fill:
    """A filled arrowhead whose point lies at `tip` and which looks along `degrees`."""
    angle = math.radians(degrees)
    c, s = math.cos(angle), math.sin(angle)
    base = (tip[0] - ARROW * c, tip[1] - ARROW * s)
    w = ARROW / 6
    return Fill(
        ((tip, (base[0] - w * s, base[1] + w * c), (base[0] + w * s, base[1] - w * c)),), tone
    )


def across(board: Board, room: Room, low: Point, high: Point, x: float, figure: str) -> Text | None:
    """A vertical dimension at `x` between the heights of two points of the drawing.

    Extension lines run from both points to the dimension line, which gives way to words that stand
    there. Returns the figure's text, None where the view has no room for it: then nothing is drawn.
    """
    return _measured(board, room, _flip(low), _flip(high), x, figure, upright=False)


def along(
    board: Board, room: Room, left: Point, right: Point, y: float, figure: str
) -> Text | None:
    """A horizontal dimension at `y` between two points of the drawing; as `across` otherwise."""
    return _measured(board, room, left, right, y, figure, upright=True)


def _measured(
    board: Board, room: Room, a: Point, b: Point, level: float, figure: str, *, upright: bool
) -> Text | None:
    """A dimension in a frame whose first axis runs along it; `upright` False: that axis is up."""
    first, last = (a, b) if a[0] <= b[0] else (b, a)
    tight = last[0] - first[0] < TIGHT
    reach = 2 * ARROW if tight else 0.0
    turn = (lambda p: p) if upright else _flip
    for aside in ASIDE:
        at = level + aside
        lines = [
            (turn(p), turn((p[0], at + (BEYOND if at >= p[1] else -BEYOND))))
            for p in (first, last)
            if abs(at - p[1]) > 0.01
        ]
        main = (turn((first[0] - reach, at)), turn((last[0] + reach, at)))
        lines.append(main)
        ways = [way for line in lines for way in segments_of(line)]
        heads = _box(main)
        if aside and not inside(heads, room.bounds):
            continue
        if not board.open_way(ways) or not _clear_of_words(board, heads):
            continue
        before = len(board.arrows), len(board.thin)
        board.arrows.append(heads)
        board.thin += ways
        spots = (_along_spots if upright else _across_spots)(first[0], last[0], reach, at, figure)
        text = place(board, room, figure, FIGURE, *spots)
        if text is None:
            del board.arrows[before[0] :], board.thin[before[1] :]
            continue
        board.add([Line(line, Ink.DIMENSION) for line in lines])
        right, left = (0.0, 180.0) if upright else (90.0, -90.0)
        board.add(
            [
                arrow(turn((last[0], at)), left if tight else right),
                arrow(turn((first[0], at)), right if tight else left),
            ]
        )
        return text
    return None


def _clear_of_words(board: Board, area: Box) -> bool:
    return not any(
        area[0] < o[2] and o[0] < area[2] and area[1] < o[3] and o[1] < area[3] for o in board.words
    )


def _along_spots(
    x0: float, x1: float, reach: float, y: float, figure: str
) -> tuple[Point, list[Point]]:
    length = width_of(figure, FIGURE)
    middle = (x0 + x1 - length) / 2
    beside = [(x1 + reach + 1.6, y - FIGURE / 2), (x0 - reach - 1.6 - length, y - FIGURE / 2)]
    over = [(middle, y + LIFT), (middle, y - 1.3 - FIGURE)]
    fits = length + 2 < x1 - x0
    return (x1 + 2, y), [*over, *beside] if fits else [*beside, *over]


def _across_spots(
    y0: float, y1: float, reach: float, x: float, figure: str
) -> tuple[Point, list[Point]]:
    middle = (y0 + y1 - FIGURE) / 2
    length = width_of(figure, FIGURE)
    sides = [(x + 1.7, middle), (x - 1.7 - length, middle)]
    stacked = [
        (x + dx, y)
        for y in (y1 + reach + 1.2, y0 - reach - FIGURE - 1.2)
        for dx in (-length / 2, 1.0, -length - 1.0)
    ]
    return (x + 2, middle), [*sides, *stacked]


def _flip(point: Point) -> Point:
    return (point[1], point[0])


def _box(points: tuple[Point, Point], air: float = 0.3) -> Box:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs) - air, min(ys) - air, max(xs) + air, max(ys) + air)


def leader(
    board: Board,
    room: Room,
    point: Point,
    string: str,
    first: list[Point],
    ink: Ink = Ink.TEXT,
    height: float = FIGURE,
) -> Text | None:
    """A text with a thin line to `point`, which ends there in a dot (ISO 128-2: on an area)."""

    def tail(text: Text) -> list[Segment] | None:
        ways = segments_of(_shelf(text, point))
        # A line through its own words would strike them out.
        x, y = text.at
        own = np.array([(x, y - DESCENT * height, x + width_of(string, height), y + height)])
        return None if crossing(own, np.array(ways)).any() else ways

    near = (point[0] + 4, point[1] + 4)
    text = place(board, room, string, height, near, first, ink, tail, LEADER_CLOSE)
    if text is None:
        return None
    line = _shelf(text, point)
    board.letter([Line(line, Ink.LEADER), Fill((ring(point, DOT, 12),), Tone.INK)])
    board.thin += segments_of(line)
    return text


def _shelf(text: Text, point: Point) -> tuple[Point, ...]:
    """The line under a text, and on from its nearer end to `point`."""
    x0, y0 = text.at
    length = width_of(text.string, text.height)
    foot = y0 - 0.8
    ends = ((x0, foot), (x0 + length, foot))
    return (*(ends[::-1] if point[0] <= x0 + length / 2 else ends), point)


def ring(centre: Point, radius: float, points: int = 24) -> tuple[Point, ...]:
    """Points of a circle."""
    return tuple(
        (
            centre[0] + radius * math.cos(2 * math.pi * i / points),
            centre[1] + radius * math.sin(2 * math.pi * i / points),
        )
        for i in range(points)
    )


def mark(board: Board, room: Room, number: int, point: Point, line: Ink) -> bool:
    """A number in a circle with a leader to `point`; False where the view has no room."""
    string, height = str(number), FIGURE
    length = width_of(string, height)
    radius = max(length, height) / 2 + 1.1
    for at in _spread(point):
        centre = (at[0] + length / 2, at[1] + height / 2)
        area = (centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius)
        far = math.dist(centre, point)
        touch = (
            centre[0] + (point[0] - centre[0]) * radius / far,
            centre[1] + (point[1] - centre[1]) * radius / far,
        )
        way: list[Segment] = [(*touch, *point)]
        if not inside(area, room.bounds) or not board.free(area) or not board.open_way(way):
            continue
        board.add([Line((touch, point), line)])
        board.letter(
            [
                Fill((ring(centre, radius),), Tone.PAPER),
                Line(ring(centre, radius), line, closed=True),
                Text(string, at, height),
            ]
        )
        board.words.append(area)
        board.thin += way
        return True
    return False


def _spread(point: Point) -> Iterator[Point]:
    for dy in (6, -8, 9, 13, -12, 17):
        for dx in (3, -6, 8, -11, 14, -17):
            yield (point[0] + dx, point[1] + dy)
