"""Two quantities on paper: the frame they are read off, its ticks and its grid."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log10

from standclear.drawing.inks import Ink
from standclear.drawing.labels import Board
from standclear.drawing.lettering import width_of
from standclear.drawing.shapes import Box, Line, Point, Text, rectangle
from standclear.report.sizes import MM_PER_INCH

FIGURE = 2.5
TICK = 1.2
MOST_TICKS = 8
LEAST_APART = 1.6 * FIGURE
"""Of figures one above the other, mm."""
LEFT_OF_FRAME = 16.0
"""Where the words for what is read upwards begin, over the frame, mm."""
STEPS = (1.0, 2.0, 5.0, 10.0)
"""Of a scale's divisions, times a power of ten."""


@dataclass(frozen=True)
class Axes:
    """What a piece of paper shows: `values` (x_min, y_min, x_max, y_max), mm, on `paper`."""

    values: Box
    paper: Box

    def at(self, x: float, y: float) -> Point:
        """The place on paper of a pair of values."""
        (x0, y0, x1, y1), (u0, v0, u1, v1) = self.values, self.paper
        return (
            u0 + (x - x0) / (x1 - x0) * (u1 - u0),
            v0 + (y - y0) / (y1 - y0) * (v1 - v0),
        )

    def value(self, u: float, v: float) -> Point:
        """The pair of values that a place on paper stands for."""
        return Axes(self.paper, self.values).at(u, v)


def ticks(low: float, high: float, units: str, most: float = MOST_TICKS) -> list[tuple[float, str]]:
    """Round values between `low` and `high` mm, about `most` at most, and their figures in the
    job's unit."""
    one = MM_PER_INCH if units == "inch" else 1.0
    rough = (high - low) / one / most
    power = 10.0 ** floor(log10(rough))
    step = next(s * power for s in STEPS if s * power >= rough * (1 - 1e-9))
    decimals = max(0, -floor(log10(step) + 1e-9))
    first, last = ceil(low / one / step - 1e-9), floor(high / one / step + 1e-9)
    return [(n * step * one, f"{n * step:.{decimals}f}") for n in range(first, last + 1)]


def draw_axes(board: Board, axes: Axes, units: str, across: str, up: str) -> None:
    """The frame with its grid, ticks and figures, and what is read off either side."""
    u0, v0, u1, v1 = axes.paper
    with board.part("axes"):
        for value, figure in ticks(axes.values[0], axes.values[2], units):
            u = axes.at(value, axes.values[1])[0]
            board.add(
                [Line(((u, v0), (u, v1)), Ink.GRID), Line(((u, v0), (u, v0 - TICK)), Ink.TABLE)]
            )
            at = (u - width_of(figure, FIGURE) / 2, v0 - TICK - 1.2 - FIGURE)
            board.write(Text(figure, at, FIGURE))
        most = min(MOST_TICKS, (v1 - v0) / LEAST_APART)
        for value, figure in ticks(axes.values[1], axes.values[3], units, most):
            v = axes.at(axes.values[0], value)[1]
            board.add(
                [Line(((u0, v), (u1, v)), Ink.GRID), Line(((u0 - TICK, v), (u0, v)), Ink.TABLE)]
            )
            at = (u0 - TICK - 1.0 - width_of(figure, FIGURE), v - FIGURE / 2)
            board.write(Text(figure, at, FIGURE))
        board.add([Line(rectangle(axes.paper), Ink.TABLE, closed=True)])
        middle = (u0 + u1 - width_of(across, FIGURE)) / 2
        board.write(Text(across, (middle, v0 - 9.5), FIGURE))
        board.write(Text(up, (u0 - LEFT_OF_FRAME, v1 + 2.6), FIGURE))
