"""The neutral drawing: plain shapes on paper, in millimetres, each line with its meaning.

Frame: paper, x to the right, y up, origin in the lower left corner. What a line looks like is the
writer's affair; here it only says what it means.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from standclear.drawing.inks import Ink, Tone

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""x_min, y_min, x_max, y_max."""


@dataclass(frozen=True, slots=True)
class Line:
    """An open or closed polyline; one point alone draws nothing."""

    points: tuple[Point, ...]
    ink: Ink
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled area, rings by the even-odd rule, without outline."""

    rings: tuple[tuple[Point, ...], ...]
    tone: Tone


@dataclass(frozen=True, slots=True)
class Text:
    """Lettering: `at` is the left end of the base line; `height` is that of capitals, mm.

    `upright` False turns it 90 degrees counter-clockwise, read from the right (ISO 129-1).
    """

    string: str
    at: Point
    height: float
    ink: Ink = Ink.TEXT
    upright: bool = True


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes that are one thing, such as `metal`, `jaws` or `motion`.

    `data` says which one it is, for whoever points at it: `(("motion", "12"), ("line", "11"))`.
    """

    part: str
    shapes: tuple[Shape, ...]
    data: tuple[tuple[str, str], ...] = ()


Leaf = Line | Fill | Text
Shape = Leaf | Group


@dataclass(frozen=True, slots=True)
class Drawing:
    """A sheet: its size in mm, what it shows in words, and its shapes, painted in order."""

    width: float
    height: float
    title: str
    description: str
    shapes: tuple[Shape, ...]

    @property
    def leaves(self) -> Iterator[Leaf]:
        """Every line, area and text, out of its groups, in the order of painting."""
        return leaves(self.shapes)


def leaves(shapes: Iterable[Shape]) -> Iterator[Leaf]:
    """Every line, area and text among `shapes`, out of its groups, in order."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield from leaves(shape.shapes)
        else:
            yield shape


def rectangle(area: Box) -> tuple[Point, ...]:
    """Corners of a box, counter-clockwise."""
    x0, y0, x1, y1 = area
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
