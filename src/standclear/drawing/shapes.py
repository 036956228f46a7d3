"""The neutral drawing: plain shapes on paper, in millimetres, each line with its meaning.

Frame: paper, x to the right, y up, origin in the lower left corner. What a line looks like is the
writer's affair; here it only says what it means. Line widths follow ISO 128-2 (wide 0.5, narrow
0.25, lettering 0.35); colours are Okabe and Ito's colour-blind-safe set (2002) and never stand
alone: strike is also cross-hatched and numbered, the tool is also named.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""x_min, y_min, x_max, y_max."""


class Ink(StrEnum):
    """What a line means."""

    OUTLINE = "outline"
    OBSTACLE = "obstacle"
    RAW = "raw"
    LEAST = "least"
    """Outline of the least metal that may be left."""
    HATCH = "hatch"
    CENTRE = "centre"
    TOOL = "tool"
    PATH = "path"
    TOOL_TEXT = "tool-text"
    STRIKE = "strike"
    STRIKE_HATCH = "strike-hatch"
    DIMENSION = "dimension"
    DETAIL = "detail"
    TEXT = "text"
    STRIKE_TEXT = "strike-text"
    FRAME = "frame"
    TABLE = "table"


@dataclass(frozen=True, slots=True)
class Pen:
    """Width in mm, colour as #RRGGBB, dashes in mm (line, gap, ...), empty for continuous."""

    width: float
    colour: str = "#000000"
    dashes: tuple[float, ...] = ()


BLUE, VERMILLION = "#0072B2", "#D55E00"
PALE_BLUE, PALE_VERMILLION, PALE_GREY = "#DCEBF5", "#F6CFB3", "#EEEEEE"
"""Areas: tool, strike, metal before the set-up. Pale enough that every line stays readable."""

PENS: dict[Ink, Pen] = {
    Ink.OUTLINE: Pen(0.5),
    Ink.OBSTACLE: Pen(0.5),
    # ISO 128-2 line 05.1, long dash double short dash: the outline before the metal is shaped.
    Ink.RAW: Pen(0.25, dashes=(6.0, 1.0, 1.2, 1.0, 1.2, 1.0)),
    Ink.LEAST: Pen(0.25),
    Ink.HATCH: Pen(0.18, "#444444"),
    # ISO 128-2 line 04.1, long dash short dash: centre line.
    Ink.CENTRE: Pen(0.25, dashes=(8.0, 1.2, 1.2, 1.2)),
    Ink.TOOL: Pen(0.3, BLUE),
    Ink.PATH: Pen(0.25, BLUE, dashes=(3.0, 1.2)),
    Ink.STRIKE: Pen(0.5, VERMILLION),
    Ink.STRIKE_HATCH: Pen(0.25, VERMILLION),
    Ink.DIMENSION: Pen(0.25),
    Ink.DETAIL: Pen(0.25),
    Ink.TEXT: Pen(0.3),
    Ink.TOOL_TEXT: Pen(0.3, BLUE),
    Ink.STRIKE_TEXT: Pen(0.35, VERMILLION),
    Ink.FRAME: Pen(0.7),
    Ink.TABLE: Pen(0.25),
}


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
    colour: str


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


Shape = Line | Fill | Text


@dataclass(frozen=True, slots=True)
class Drawing:
    """A sheet: its size in mm, what it shows in words, and its shapes, painted in order."""

    width: float
    height: float
    title: str
    description: str
    shapes: tuple[Shape, ...]


def rectangle(area: Box) -> tuple[Point, ...]:
    """Corners of a box, counter-clockwise."""
    x0, y0, x1, y1 = area
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
