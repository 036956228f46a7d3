"""Where words go on a sheet: every text asks for room, and none is given twice."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from shapely import box as shapely_box
from shapely.geometry.base import BaseGeometry

from standclear.drawing.lettering import DESCENT, width_of
from standclear.drawing.shapes import Box, Fill, Ink, Point, Shape, Text, rectangle

AIR = 0.7
"""Clear paper around a text, mm."""
CLOSE = 16.0
"""A label no further from its thing than this is read with it, mm."""
TAILED = frozenset("gjpqyQ,;/()[]|_\\")
"""Letters that reach below the base line."""


def text_box(text: Text) -> Box:
    """The paper that a text covers, tails and air included."""
    length = width_of(text.string, text.height)
    x, y = text.at
    tail = DESCENT * text.height if TAILED.intersection(text.string) else 0.0
    if text.upright:
        return (x - AIR, y - tail - AIR, x + length + AIR, y + text.height + AIR)
    return (x - text.height - AIR, y - AIR, x + tail + AIR, y + length + AIR)


def overlap(a: Box, b: Box) -> bool:
    """Whether two boxes share paper; touching edges do not."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def inside(inner: Box, outer: Box) -> bool:
    """Whether `inner` lies wholly within `outer`."""
    return (
        inner[0] >= outer[0]
        and inner[1] >= outer[1]
        and inner[2] <= outer[2]
        and inner[3] <= outer[3]
    )


@dataclass
class Board:
    """A sheet in the making: shapes in order, and the paper already taken by words and arrows.

    `lettering` is kept apart so that words are painted over hatching and lines, each on white.
    """

    shapes: list[Shape] = field(default_factory=list)
    lettering: list[Shape] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)

    def add(self, shapes: Iterable[Shape]) -> None:
        """Paint shapes on top of those already there."""
        self.shapes.extend(shapes)

    def write(self, text: Text, on_white: bool = False) -> None:
        """Put a text where the caller says, and take its room."""
        area = text_box(text)
        self.taken.append(area)
        if on_white:
            self.lettering.append(Fill((rectangle(area),), "#ffffff"))
        self.lettering.append(text)

    def free(self, area: Box) -> bool:
        """Whether no text or arrow has any of this paper."""
        return not any(overlap(area, other) for other in self.taken)

    def finished(self) -> tuple[Shape, ...]:
        """All shapes in the order of painting."""
        return (*self.shapes, *self.lettering)


@dataclass(frozen=True)
class Room:
    """Where labels of a view may go: inside `bounds`, off `lines`, and off `areas` if possible."""

    bounds: Box
    lines: BaseGeometry
    areas: BaseGeometry


def place(
    board: Board,
    room: Room,
    string: str,
    height: float,
    near: Point,
    first: Iterable[Point] = (),
    ink: Ink = Ink.TEXT,
) -> Text | None:
    """Write `string` at the first free place and return it; None where the view has no room.

    `first` are the places liked best, then places further and further from `near` are tried: on
    clear paper, then over hatching, then over lines, never over another text. A place close by
    over a line is better than one on clear paper that is far away.
    """
    liked = list(first)
    around = list(_around(near, room.bounds))
    close = [at for at in around if math.dist(at, near) <= CLOSE]
    tiers = (room.lines.union(room.areas), room.lines, None)
    for places, avoided in [
        *((liked + close, tier) for tier in tiers),
        *((around, tier) for tier in tiers),
    ]:
        for at in places:
            text = Text(string, at, height, ink)
            area = text_box(text)
            if not inside(area, room.bounds) or not board.free(area):
                continue
            if avoided is not None and avoided.intersects(shapely_box(*area)):
                continue
            board.write(text, on_white=True)
            return text
    return None


def _around(near: Point, bounds: Box) -> Iterator[Point]:
    """Places on a grid over the view, nearest first; ties in a fixed order."""
    step = 2.5
    columns = int((bounds[2] - bounds[0]) / step)
    rows = int((bounds[3] - bounds[1]) / step)
    grid = [
        (bounds[0] + AIR + step * i, bounds[1] + 2 * AIR + step * j)
        for i in range(columns)
        for j in range(rows)
    ]
    yield from sorted(
        grid, key=lambda p: (round((p[0] - near[0]) ** 2 + (p[1] - near[1]) ** 2, 6), p)
    )
