"""Letters and sizes of tool holders: ISO 5608, ISO 5610, ISO 6261, ANSI B212.5, from memory."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Cutting = Literal["side", "end", "both"]


@dataclass(frozen=True, slots=True)
class Style:
    """What a style letter says."""

    entering_angle: float
    cutting: Cutting
    shank: Literal["straight", "offset"]
    certain: bool = True
    """False where sources disagree on the angle."""


STYLES: dict[str, Style] = {
    "A": Style(90.0, "side", "straight"),
    "B": Style(75.0, "side", "straight"),
    "C": Style(90.0, "end", "straight"),
    "D": Style(45.0, "side", "straight"),
    "E": Style(60.0, "side", "straight"),
    "F": Style(90.0, "end", "offset"),
    "G": Style(90.0, "side", "offset"),
    "H": Style(107.5, "side", "offset"),
    "J": Style(93.0, "side", "offset"),
    "K": Style(75.0, "end", "offset"),
    "L": Style(95.0, "both", "offset"),
    "M": Style(50.0, "side", "straight"),
    "N": Style(63.0, "side", "straight"),
    "P": Style(117.5, "side", "offset", certain=False),
    "Q": Style(107.5, "side", "offset", certain=False),
    "R": Style(75.0, "side", "offset"),
    "S": Style(45.0, "side", "offset"),
    "T": Style(60.0, "side", "offset"),
    "U": Style(93.0, "end", "offset"),
    "V": Style(72.5, "side", "straight"),
    "W": Style(60.0, "end", "offset"),
    "Y": Style(85.0, "end", "offset"),
}
"""ISO 5608 position 3, from memory."""

STYLES_OF_BARS = "FKLPQSUWY"
"""The styles whose edge faces the end of a bar, so that the bar can be fed into a bore."""

N_STYLE_WITH_D_DEGREES = 62.5
"""Style N is printed 63 and means 62.5 with a 55-degree insert, which then stands neutral."""

CLAMPINGS = "CDMPSW"
LENGTHS_MM: dict[str, float | None] = {
    "A": 32.0,
    "B": 40.0,
    "C": 50.0,
    "D": 60.0,
    "E": 70.0,
    "F": 80.0,
    "G": 90.0,
    "H": 100.0,
    "J": 110.0,
    "K": 125.0,
    "L": 140.0,
    "M": 150.0,
    "N": 160.0,
    "P": 170.0,
    "Q": 180.0,
    "R": 200.0,
    "S": 250.0,
    "T": 300.0,
    "U": 350.0,
    "V": 400.0,
    "W": 450.0,
    "Y": 500.0,
    "X": None,
}
"""ISO 5608 position 8; X is special."""

OFFSET_BY_WIDTH_MM: dict[float, float] = {
    12.0: 16.0,
    16.0: 20.0,
    20.0: 25.0,
    25.0: 32.0,
    32.0: 40.0,
    40.0: 50.0,
}
"""Tip offset f of offset shanks by shank width b: ISO 5610, from memory, middling confidence."""

OFFSET_BY_BAR_MM: dict[float, float] = {
    12.0: 9.0,
    16.0: 11.0,
    20.0: 13.0,
    25.0: 17.0,
    32.0: 22.0,
    40.0: 27.0,
}
"""Tip offset f of boring bars by bar diameter: ISO 6261, from memory, low confidence."""

BAR_KINDS = "ABCDEFGHJS"

SHARES_OF_OFFSET = {"external": (1.15, 1.4), "bar": (0.6, 0.8)}
"""Least and greatest tip offset f as a share of shank width or bar diameter: bounds the envelope
where no table gives f. The tables above run from 1.25 to 1.34 and from 0.65 to 0.75; the bounds
lie beyond them by our own choice."""

INCH_SHANKS = ("05", "06", "08", "10", "12", "16", "20", "24", "32")
"""Square shanks and bars in sixteenths of an inch."""

INCH_LENGTHS: dict[str, float | None] = {
    "A": 4.0,
    "B": 4.5,
    "C": 5.0,
    "D": 6.0,
    "E": 7.0,
    "F": 8.0,
    "X": None,
}
"""Length of inch holders in inches, ANSI B212.5, low confidence."""

INCH_BAR_LENGTHS: dict[str, float | None] = {
    "F": 3.0,
    "G": 3.5,
    "H": 4.0,
    "J": 4.5,
    "K": 5.0,
    "L": 5.5,
    "M": 6.0,
    "N": 6.5,
    "P": 6.75,
    "Q": 7.0,
    "R": 8.0,
    "S": 10.0,
    "T": 12.0,
    "U": 14.0,
    "V": 16.0,
    "W": 18.0,
    "Y": 20.0,
    "X": None,
}
"""Length of inch bars in inches, low confidence."""
