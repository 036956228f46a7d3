"""Where words go on a sheet: every text asks for room, and none is given twice.

What a text keeps off: other texts, arrowheads, and every thin line of a dimension or a leader.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import groupby

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.drawing.inks import Ink, Tone
from standclear.drawing.lettering import DESCENT, width_of
from standclear.drawing.shapes import Box, Fill, Group, Point, Shape, Text, rectangle

AIR, AIR_BESIDE = 0.7, 1.2
"""Clear paper above and below a text and at its ends, mm."""
CLOSE = 16.0
"""A label no further from its thing than this is read with it, mm."""
GRID_STEP = 2.5
"""Between the places that are tried for a text, mm."""
TAILED = frozenset("gjpqyQ,;/()[]|_\\")
"""Letters that reach below the base line."""

Segment = tuple[float, float, float, float]
"""x, y of either end."""
Boxes = NDArray[np.float64]


def text_box(text: Text) -> Box:
    """The paper that a text covers, tails and air included."""
    length = width_of(text.string, text.height)
    x, y = text.at
    tail = DESCENT * text.height if TAILED.intersection(text.string) else 0.0
    if text.upright:
        return (
            x - AIR_BESIDE, y - tail - AIR, x + length + AIR_BESIDE, y + text.height + AIR
        )  # fmt: skip
    return (x - text.height - AIR, y - AIR_BESIDE, x + tail + AIR, y + length + AIR_BESIDE)


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


def segments_of(points: Sequence[Point], *, closed: bool = False) -> list[Segment]:
    """The straight pieces of a polyline."""
    ends = [*points[1:], points[0]] if closed else points[1:]
    return [(*a, *b) for a, b in zip(points, ends, strict=False)]


def crossing(boxes: Boxes, segments: Boxes) -> NDArray[np.bool_]:
    """(n, m): whether segment m (x, y, x, y) runs through the inside of box n."""
    x0, y0, x1, y1 = (boxes[:, i, None] for i in range(4))
    ax, ay, bx, by = segments.T
    apart = (
        (np.maximum(ax, bx) <= x0)
        | (np.minimum(ax, bx) >= x1)
        | (np.maximum(ay, by) <= y0)
        | (np.minimum(ay, by) >= y1)
    )
    # On which side of the segment's line the box's corners lie: those furthest to either side.
    dx, dy = bx - ax, by - ay
    middle = dx * ((y0 + y1) / 2 - ay) - dy * ((x0 + x1) / 2 - ax)
    reach = np.abs(dx) * (y1 - y0) / 2 + np.abs(dy) * (x1 - x0) / 2
    found: NDArray[np.bool_] = ~apart & (np.abs(middle) < reach)
    return found


@dataclass
class Board:
    """A sheet in the making: shapes in order, and the paper already taken by words and lines.

    `lettering` is kept apart so that words are painted over hatching and lines, each on white.
    """

    shapes: list[tuple[str, Shape]] = field(default_factory=list)
    lettering: list[tuple[str, Shape]] = field(default_factory=list)
    words: list[Box] = field(default_factory=list)
    """Paper of texts and numbers: no thin line runs through it."""
    arrows: list[Box] = field(default_factory=list)
    """Paper of arrows and of what else words keep off."""
    thin: list[Segment] = field(default_factory=list)
    """Lines of dimensions and leaders."""
    _part: str = "sheet"

    @contextmanager
    def part(self, name: str) -> Iterator[None]:
        """What is added within belongs to this part of the drawing."""
        before, self._part = self._part, name
        yield
        self._part = before

    def add(self, shapes: Iterable[Shape]) -> None:
        """Paint shapes on top of those already there."""
        self.shapes.extend((self._part, shape) for shape in shapes)

    def letter(self, shapes: Iterable[Shape]) -> None:
        """Paint shapes on top of everything, beside the words."""
        self.lettering.extend((self._part, shape) for shape in shapes)

    def write(self, text: Text, on_white: bool = False) -> None:
        """Put a text where the caller says, and take its room."""
        area = text_box(text)
        self.words.append(area)
        if on_white:
            self.letter([Fill((rectangle(area),), Tone.PAPER)])
        self.letter([text])

    def free(self, area: Box) -> bool:
        """Whether no text, arrow or thin line has any of this paper."""
        return bool(self.open_among(np.array([area]))[0])

    def open_among(self, boxes: Boxes) -> NDArray[np.bool_]:
        """(n,): which boxes no text, arrow or thin line has any paper of."""
        found = np.ones(len(boxes), dtype=np.bool_)
        if self.words or self.arrows:
            other: Boxes = np.array(self.words + self.arrows, dtype=np.float64)
            x0, y0, x1, y1 = (boxes[:, i, None] for i in range(4))
            left, bottom, right, top = other.T
            met = (x0 < right) & (left < x1) & (y0 < top) & (bottom < y1)
            found &= ~met.any(axis=1)
        if self.thin:
            found &= ~crossing(boxes, np.array(self.thin, dtype=np.float64)).any(axis=1)
        return found

    def open_way(self, segments: Sequence[Segment]) -> bool:
        """Whether thin lines may run here: through no text or number."""
        if not self.words or not segments:
            return True
        met = crossing(np.array(self.words, dtype=np.float64), np.array(segments, dtype=np.float64))
        return not bool(met.any())

    def finished(self) -> tuple[Shape, ...]:
        """All shapes in the order of painting, each run of one part as a group."""
        runs = groupby([*self.shapes, *self.lettering], key=lambda pair: pair[0])
        return tuple(Group(part, tuple(shape for _, shape in run)) for part, run in runs)


@dataclass(frozen=True)
class Room:
    """Where labels of a view may go: inside `bounds`, off `lines`, and off `areas` if possible."""

    bounds: Box
    lines: tuple[BaseGeometry, ...]
    areas: tuple[BaseGeometry, ...]

    def __post_init__(self) -> None:
        shapely.prepare([*self.lines, *self.areas])


def place(
    board: Board,
    room: Room,
    string: str,
    height: float,
    near: Point,
    first: Iterable[Point] = (),
    ink: Ink = Ink.TEXT,
    tail: Callable[[Text], Sequence[Segment] | None] | None = None,
    close: float = CLOSE,
) -> Text | None:
    """Write `string` at the first free place and return it; None where the view has no room.

    `first` are the places liked best, then places further and further from `near` are tried: on
    clear paper, then over hatching, then over lines, never over another text or a thin line. A
    place close by over a line is better than one on clear paper that is far away. `tail` gives the
    thin lines that a text at a place would draw: they run through no other text either. None says
    that the place does not serve. `close` is how far a label is still read with its thing, mm.
    """
    liked = np.array(list(first), dtype=np.float64).reshape(-1, 2)
    tries = (
        (lambda: liked, CLEAR_PAPER),
        (lambda: np.concatenate([liked, _around(near, room.bounds, close)]), ANY_PAPER),
        (lambda: _around(near, room.bounds), ANY_PAPER),
    )
    for places, papers in tries:
        at = _first_open(board, room, Text(string, (0.0, 0.0), height, ink), places(), papers, tail)
        if at is not None:
            text = Text(string, at, height, ink)
            board.write(text, on_white=True)
            return text
    return None


CLEAR_PAPER, ANY_PAPER = 1, 3
"""How many kinds of paper are tried: clear, hatched, with lines on it."""


def _first_open(
    board: Board,
    room: Room,
    text: Text,
    places: Boxes,
    papers: int,
    tail: Callable[[Text], Sequence[Segment] | None] | None,
) -> Point | None:
    boxes = np.array(text_box(text)) + np.concatenate([places, places], axis=1)
    bounds = np.array(room.bounds)
    within = (boxes[:, :2] >= bounds[:2]).all(axis=1) & (boxes[:, 2:] <= bounds[2:]).all(axis=1)
    rows = np.flatnonzero(within)
    rows = rows[board.open_among(boxes[rows])]
    if not len(rows):
        return None
    sheets = shapely.box(*boxes[rows].T)
    on_line, on_area = _on(sheets, room.lines), _on(sheets, room.areas)
    for allowed in (~on_line & ~on_area, ~on_line & on_area, on_line)[:papers]:
        for x, y in places[rows[allowed]].tolist():
            ways = [] if tail is None else tail(replace(text, at=(x, y)))
            if ways is not None and board.open_way(ways):
                return (x, y)
    return None


def _on(papers: NDArray[np.object_], things: Sequence[BaseGeometry]) -> NDArray[np.bool_]:
    found = np.zeros(len(papers), dtype=np.bool_)
    for thing in things:
        found |= shapely.intersects(thing, papers)
    return found


def _around(near: Point, bounds: Box, within: float = np.inf) -> Boxes:
    """Places on a grid over the view, none further than `within` mm, nearest first; ties in a fixed
    order."""
    low = np.array((bounds[0] + AIR_BESIDE, bounds[1] + 2 * AIR))
    counts = np.maximum(0, (np.array(bounds[2:]) - bounds[:2]) // GRID_STEP)
    first = np.clip(np.ceil((np.array(near) - within - low) / GRID_STEP), 0, counts)
    last = np.clip(np.floor((np.array(near) + within - low) / GRID_STEP) + 1, first, counts)
    x, y = (low[i] + GRID_STEP * np.arange(first[i], last[i]) for i in (0, 1))
    grid: Boxes = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
    far = np.round(((grid - near) ** 2).sum(axis=1), 6)
    grid = grid[np.argsort(far, kind="stable")]
    return grid[: int((far <= within * within).sum())]
