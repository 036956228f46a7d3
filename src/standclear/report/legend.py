"""What the lines and areas of the sheet mean, shown on the sheet itself."""

from __future__ import annotations

from collections.abc import Iterable

from shapely import box

from standclear.report.drawing import (
    PALE_BLUE,
    PALE_GREY,
    PALE_VERMILLION,
    Ink,
    Line,
    Point,
    Shape,
    Text,
    rectangle,
)
from standclear.report.labels import Board
from standclear.report.view import filled, hatched

ROW, SAMPLE, HEIGHT = 5.2, 12.0, 3.4
"""Row distance and the size of a sample, mm."""


def legend(board: Board, corner: Point) -> None:
    """Draw the legend downwards from its upper left `corner`."""
    x, y = corner
    for words, kind in (
        ("metal left after the set-up", "metal"),
        ("metal it starts with, taken off", "before"),
        ("tool where it matters", "tool"),
        ("way of the tip, or bounds of it", "path"),
        ("strike", "strike"),
    ):
        y -= ROW
        board.add(_sample(kind, (x, y)))
        board.write(Text(words, (x + SAMPLE + 2.0, y + 0.5), 2.0))


def _sample(kind: str, at: Point) -> Iterable[Shape]:
    x, y = at
    area = (x, y, x + SAMPLE, y + HEIGHT)
    patch, frame = box(*area), rectangle(area)
    middle = ((x, y + HEIGHT / 2), (x + SAMPLE, y + HEIGHT / 2))
    if kind == "metal":
        return [
            *filled(patch, PALE_GREY),
            *hatched(patch, Ink.HATCH, 3.0),
            Line(frame, Ink.OUTLINE, True),
        ]
    if kind == "before":
        return [*filled(patch, PALE_GREY), Line(frame, Ink.RAW, True)]
    if kind == "tool":
        return [*filled(patch, PALE_BLUE), Line(frame, Ink.TOOL, True)]
    if kind == "path":
        return [Line(middle, Ink.PATH)]
    crossed = [*hatched(patch, Ink.STRIKE_HATCH, 0.9), *hatched(patch, Ink.STRIKE_HATCH, 0.9, -45)]
    return [*filled(patch, PALE_VERMILLION), *crossed, Line(frame, Ink.STRIKE, True)]
