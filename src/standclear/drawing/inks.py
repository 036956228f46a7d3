"""What each line and area means, and what it looks like: the one place for widths and colours.

Line types and widths follow ISO 128-2 (line group 0.5: wide 0.5, narrow 0.25; the numbers of line
types stand beside them), lettering ISO 3098 (stroke a tenth of the height). Colours are from Okabe
and Ito's colour-blind-safe set (2002, revised 2008) and never stand alone: `CUES` says what tells
each coloured meaning apart on a sheet without colour.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Ink(StrEnum):
    """What a line means."""

    OUTLINE = "outline"
    OBSTACLE = "obstacle"
    RAW = "raw"
    LEAST = "least"
    """Outline of the least metal that may be left."""
    THREAD = "thread"
    """Root of a thread (ISO 6410-1)."""
    HATCH = "hatch"
    CENTRE = "centre"
    TOOL = "tool"
    PATH = "path"
    """The way of the controlled point in the motion that is shown."""
    RAPID_WAY = "rapid-way"
    FEED_WAY = "feed-way"
    STRIKE = "strike"
    STRIKE_HATCH = "strike-hatch"
    STRIKE_MARK = "strike-mark"
    """Circle and leader of a strike's number."""
    DIMENSION = "dimension"
    LEADER = "leader"
    DETAIL = "detail"
    STRIKES_EDGE = "strikes-edge"
    """Edge of a stock map beyond which a blank is struck."""
    UNCLEAN_EDGE = "unclean-edge"
    """Edge of a stock map beyond which raw skin stays."""
    LOOSE_EDGE = "loose-edge"
    """Edge of a stock map beyond which metal comes loose."""
    OPEN_EDGE = "open-edge"
    """Edge of a stock map beyond which nobody has looked."""
    IN_HAND = "in-hand"
    """The blank in hand within its tolerances."""
    RACK = "rack"
    GRID = "grid"
    TEXT = "text"
    TOOL_TEXT = "tool-text"
    STRIKE_TEXT = "strike-text"
    """Headings of what is struck; small words stay black, which reads better."""
    FRAME = "frame"
    TABLE = "table"


class Tone(StrEnum):
    """What a filled area means."""

    METAL = "metal"
    TOOL = "tool-area"
    STRIKE = "strike-area"
    CLEAR = "clear-area"
    """Blanks of a stock map that are clear and clean up."""
    CUT = "cut-area"
    """What has been cut so far."""
    INK = "ink"
    """Arrowheads and dots of black lines."""
    TOOL_INK = "tool-ink"
    PAPER = "paper"


DASH, LONG_DASH, SHORT_DASH, SPACE, DOT = 12.0, 24.0, 6.0, 3.0, 1.5
"""In widths of the line (ISO 128-20, later ISO 128-2; from memory). A dot is half a width long
there; with the round end of a pen it comes out as one and a half, which is drawn here."""

LINE_TYPES: dict[int, tuple[str, tuple[float, ...]]] = {
    1: ("continuous", ()),
    2: ("dashed", (DASH, SPACE)),
    4: ("long-dashed dotted", (LONG_DASH, SPACE, DOT, SPACE)),
    5: ("long-dashed double-dotted", (LONG_DASH, SPACE, DOT, SPACE, DOT, SPACE)),
    7: ("dotted", (DOT, SPACE)),
    8: ("long-dashed short-dashed", (LONG_DASH, SPACE, SHORT_DASH, SPACE)),
    10: ("dashed dotted", (DASH, SPACE, DOT, SPACE)),
}
"""Names and patterns by number."""


@dataclass(frozen=True, slots=True)
class Pen:
    """Width in mm, colour as #RRGGBB, and the number of its line type."""

    width: float
    colour: str = "#000000"
    line_type: int = 1

    @property
    def dashes(self) -> tuple[float, ...]:
        """Dashes and gaps in mm (line, gap, ...), empty for continuous."""
        return tuple(self.width * n for n in LINE_TYPES[self.line_type][1])


WIDE, NARROW = 0.5, 0.25
BLUE, VERMILLION, GREY = "#0072B2", "#D55E00", "#444444"

PENS: dict[Ink, Pen] = {
    Ink.OUTLINE: Pen(WIDE),
    Ink.OBSTACLE: Pen(WIDE),
    Ink.RAW: Pen(NARROW, line_type=5),  # 05.1: the outline before the metal is shaped
    Ink.LEAST: Pen(NARROW),
    Ink.THREAD: Pen(NARROW),
    Ink.HATCH: Pen(NARROW, GREY),
    Ink.CENTRE: Pen(NARROW, line_type=4),  # 04.1
    Ink.TOOL: Pen(NARROW, BLUE),
    Ink.PATH: Pen(NARROW, BLUE, 2),
    Ink.RAPID_WAY: Pen(NARROW, BLUE, 2),
    Ink.FEED_WAY: Pen(NARROW, BLUE, 8),
    Ink.STRIKE: Pen(WIDE, VERMILLION),
    Ink.STRIKE_HATCH: Pen(NARROW, VERMILLION),
    Ink.STRIKE_MARK: Pen(NARROW, VERMILLION),
    Ink.DIMENSION: Pen(NARROW),
    Ink.LEADER: Pen(NARROW),
    Ink.DETAIL: Pen(NARROW),
    Ink.STRIKES_EDGE: Pen(WIDE, VERMILLION),
    Ink.UNCLEAN_EDGE: Pen(WIDE, line_type=2),
    Ink.LOOSE_EDGE: Pen(WIDE, line_type=10),
    Ink.OPEN_EDGE: Pen(NARROW, line_type=7),
    Ink.IN_HAND: Pen(WIDE, BLUE),
    Ink.RACK: Pen(NARROW),
    Ink.GRID: Pen(0.13, "#999999"),
    Ink.TEXT: Pen(0.0),
    Ink.TOOL_TEXT: Pen(0.0, BLUE),
    Ink.STRIKE_TEXT: Pen(0.0, VERMILLION),
    Ink.FRAME: Pen(0.7),  # ISO 5457
    Ink.TABLE: Pen(NARROW),
}
"""Lettering has width 0 here: its stroke follows its height."""

TONES: dict[Tone, str] = {
    Tone.METAL: "#EEEEEE",
    Tone.TOOL: "#DCEBF5",
    Tone.STRIKE: "#F6CFB3",
    Tone.CLEAR: "#DCEBF5",
    Tone.CUT: "#FFFFFF",
    Tone.INK: "#000000",
    Tone.TOOL_INK: BLUE,
    Tone.PAPER: "#FFFFFF",
}
"""Pale enough that every line on them stays readable."""

CUES: dict[Ink, str] = {
    Ink.TOOL: "letters",
    Ink.PATH: "line",
    Ink.RAPID_WAY: "line",
    Ink.FEED_WAY: "line",
    Ink.STRIKE: "cross hatch",
    Ink.STRIKE_HATCH: "cross hatch",
    Ink.STRIKE_MARK: "letters",
    Ink.STRIKES_EDGE: "line",
    Ink.IN_HAND: "letters",
    Ink.TOOL_TEXT: "letters",
    Ink.STRIKE_TEXT: "letters",
}
"""For each ink that is not black or grey what tells it apart without its colour: the line's own
width and dashes, the hatching it bounds, or the words and numbers that stand beside it."""
LETTERING = (Ink.TEXT, Ink.TOOL_TEXT, Ink.STRIKE_TEXT)


def stroke_of(height: float) -> float:
    """Width of the stroke of lettering of this height, mm (ISO 3098, type B)."""
    return height / 10
