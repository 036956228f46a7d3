"""Dimension lines, leaders and marks on paper, after ISO 129-1: thin lines, filled arrows, the
figure above its line or beside it where the line is too short to hold it."""

from __future__ import annotations

import math

from shapely.geometry import LineString

from standclear.drawing.labels import Board, Room, inside, place
from standclear.drawing.lettering import width_of
from standclear.drawing.shapes import Box, Fill, Ink, Line, Point, Text

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


def arrow(tip: Point, degrees: float, colour: str = "#000000") -> Fill:
    """A filled arrowhead whose point lies at `tip` and which looks along `degrees`."""
    angle = math.radians(degrees)
    c, s = math.cos(angle), math.sin(angle)
    base = (tip[0] - ARROW * c, tip[1] - ARROW * s)
    w = ARROW / 6
    return Fill(
        ((tip, (base[0] - w * s, base[1] + w * c), (base[0] + w * s, base[1] - w * c)),), colour
    )


def _box(points: list[Point], air: float = 0.3) -> Box:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs) - air, min(ys) - air, max(xs) + air, max(ys) + air)


def across(board: Board, room: Room, low: Point, high: Point, x: float, figure: str) -> Text | None:
    """A vertical dimension at `x` between the heights of two points of the drawing.

    Extension lines run from both points to the dimension line. Returns the figure's text, None
    where the view has no room for it.
    """
    ends = (low, high) if low[1] <= high[1] else (high, low)
    for px, py in ends:
        past = x + (BEYOND if x >= px else -BEYOND)
        if abs(x - px) > 0.01:
            board.add([Line(((px, py), (past, py)), Ink.DIMENSION)])
    y0, y1 = ends[0][1], ends[1][1]
    tight = y1 - y0 < TIGHT
    reach = 2 * ARROW if tight else 0.0
    board.add([Line(((x, y0 - reach), (x, y1 + reach)), Ink.DIMENSION)])
    board.add([arrow((x, y1), -90 if tight else 90), arrow((x, y0), 90 if tight else -90)])
    board.taken.append(_box([(x, y0 - reach), (x, y1 + reach)]))
    middle = (y0 + y1 - FIGURE) / 2
    length = width_of(figure, FIGURE)
    sides = [(x + 1.5, middle), (x - 1.5 - length, middle)]
    stacked = [
        (x + dx, y)
        for y in (y1 + reach + 1.2, y0 - reach - FIGURE - 1.2)
        for dx in (-length / 2, 1.0, -length - 1.0)
    ]
    return place(board, room, figure, FIGURE, (x + 2, middle), [*sides, *stacked])


def along(
    board: Board, room: Room, left: Point, right: Point, y: float, figure: str
) -> Text | None:
    """A horizontal dimension at `y` between two points of the drawing; as `across` otherwise."""
    ends = (left, right) if left[0] <= right[0] else (right, left)
    for px, py in ends:
        past = y + (BEYOND if y >= py else -BEYOND)
        if abs(y - py) > 0.01:
            board.add([Line(((px, py), (px, past)), Ink.DIMENSION)])
    x0, x1 = ends[0][0], ends[1][0]
    tight = x1 - x0 < TIGHT
    reach = 2 * ARROW if tight else 0.0
    board.add([Line(((x0 - reach, y), (x1 + reach, y)), Ink.DIMENSION)])
    board.add([arrow((x1, y), 180 if tight else 0), arrow((x0, y), 0 if tight else 180)])
    board.taken.append(_box([(x0 - reach, y), (x1 + reach, y)]))
    length = width_of(figure, FIGURE)
    middle = (x0 + x1 - length) / 2
    beside = [(x1 + reach + 1.0, y - FIGURE / 2), (x0 - reach - 1.0 - length, y - FIGURE / 2)]
    over = [(middle, y + LIFT), (middle, y - 1.3 - FIGURE)]
    fits = length + 2 < x1 - x0
    return place(
        board, room, figure, FIGURE, (x1 + 2, y), [*over, *beside] if fits else [*beside, *over]
    )


def leader(
    board: Board,
    room: Room,
    point: Point,
    string: str,
    first: list[Point],
    ink: Ink = Ink.TEXT,
    height: float = FIGURE,
) -> Text | None:
    """A text with a thin line to `point`, which ends in a dot of its own ink's meaning."""
    text = place(board, room, string, height, (point[0] + 4, point[1] + 4), first, ink)
    if text is None:
        return None
    x0, y0 = text.at
    length = width_of(string, height)
    foot = y0 - 0.8
    shelf = ((x0, foot), (x0 + length, foot))
    near = shelf[0] if point[0] <= x0 + length / 2 else shelf[1]
    board.add([Line((*(shelf if near == shelf[1] else shelf[::-1]), point), Ink.DIMENSION)])
    dot = LineString([point, point]).buffer(0.45, quad_segs=3)
    board.add(
        [Fill((tuple((float(x), float(y)) for x, y in dot.exterior.coords[:-1]),), "#000000")]
    )
    return text


def ring(centre: Point, radius: float, points: int = 24) -> tuple[Point, ...]:
    """Points of a circle."""
    return tuple(
        (
            centre[0] + radius * math.cos(2 * math.pi * i / points),
            centre[1] + radius * math.sin(2 * math.pi * i / points),
        )
        for i in range(points)
    )


def mark(board: Board, room: Room, number: int, point: Point, ink: Ink) -> bool:
    """A number in a circle with a leader to `point`; False where the view has no room."""
    string = str(number)
    height = 2.5
    spread = [(point[0] + dx, point[1] + dy) for dy in (6, -8, 9, 13) for dx in (3, -6, 8, -11)]

    for at in spread:
        text = Text(string, at, height, ink)
        length = width_of(string, height)
        centre = (at[0] + length / 2, at[1] + height / 2)
        radius = max(length, height) / 2 + 1.1
        area = (centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius)
        if not inside(area, room.bounds) or not board.free(area):
            continue
        far = math.hypot(centre[0] - point[0], centre[1] - point[1])
        touch = (
            centre[0] + (point[0] - centre[0]) * radius / far,
            centre[1] + (point[1] - centre[1]) * radius / far,
        )
        board.add([Line((touch, point), ink)])
        board.lettering.append(Fill((ring(centre, radius),), "#ffffff"))
        board.lettering.append(Line(ring(centre, radius), ink, closed=True))
        board.lettering.append(text)
        board.taken.append(area)
        return True
    return False
