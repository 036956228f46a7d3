"""What the lines and areas of the sheet mean, shown on the sheet itself."""

from __future__ import annotations

from collections.abc import Iterable

from shapely import box

from standclear.drawing.hatching import hatched
from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board
from standclear.drawing.lettering import width_of
from standclear.drawing.shapes import Line, Point, Shape, Text, rectangle
from standclear.drawing.view import filled

SAMPLE, TALL, HEIGHT = 9.0, 3.2, 2.0
"""Width and height of a sample, height of its words, mm."""


def legend(board: Board, corner: Point) -> None:
    """Draw the legend as a strip to the right of its lower left `corner`."""
    x, y = corner
    for words, kind in (
        ("metal left", "metal"),
        ("metal taken off", "before"),
        ("tool", "tool"),
        ("way of its tip, or its bounds", "path"),
        ("strike", "strike"),
    ):
        board.add(_sample(kind, (x, y)))
        board.write(Text(words, (x + SAMPLE + 1.5, y + 0.7), HEIGHT))
        x += SAMPLE + width_of(words, HEIGHT) + 6.0


def _sample(kind: str, at: Point) -> Iterable[Shape]:
    x, y = at
    area = (x, y, x + SAMPLE, y + TALL)
    patch, frame = box(*area), rectangle(area)
    middle = ((x, y + TALL / 2), (x + SAMPLE, y + TALL / 2))
    if kind == "metal":
        return [
            *filled(patch, Tone.METAL),
            *hatched(patch, Ink.HATCH, 3.0),
            Line(frame, Ink.OUTLINE, True),
        ]
    if kind == "before":
        return [*filled(patch, Tone.METAL), Line(frame, Ink.RAW, True)]
    if kind == "tool":
        return [*filled(patch, Tone.TOOL), Line(frame, Ink.TOOL, True)]
    if kind == "path":
        return [Line(middle, Ink.PATH)]
    crossed = [*hatched(patch, Ink.STRIKE_HATCH, 0.9), *hatched(patch, Ink.STRIKE_HATCH, 0.9, -45)]
    return [*filled(patch, Tone.STRIKE), *crossed, Line(frame, Ink.STRIKE, True)]
