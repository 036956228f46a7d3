"""Several drawings on one sheet, one under the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from standclear.drawing.shapes import Drawing, Fill, Group, Line, Point, Shape, Text

GAP = 6.0
"""Between drawings, mm."""


def stacked(title: str, drawings: Sequence[Drawing]) -> Drawing:
    """The drawings under each other, the first on top; one alone stays as it is."""
    if len(drawings) == 1:
        return drawings[0]
    height = sum(d.height for d in drawings) + GAP * (len(drawings) - 1)
    shapes: list[Shape] = []
    top = height
    for drawing in drawings:
        shapes += [moved(shape, 0.0, top - drawing.height) for shape in drawing.shapes]
        top -= drawing.height + GAP
    words = " ".join(f"{d.title}. {d.description}" for d in drawings)
    return Drawing(max(d.width for d in drawings), height, title, words, tuple(shapes))


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """A shape somewhere else on the paper."""

    def there(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x + dx, y + dy) for x, y in points)

    if isinstance(shape, Line):
        return replace(shape, points=there(shape.points))
    if isinstance(shape, Fill):
        return replace(shape, rings=tuple(there(ring) for ring in shape.rings))
    if isinstance(shape, Text):
        return replace(shape, at=there((shape.at,))[0])
    return Group(shape.part, tuple(moved(s, dx, dy) for s in shape.shapes), shape.data)
