"""Our own single-stroke letters, so that a drawing carries its text to machines without fonts.

Upright letters in the proportions of ISO 3098 type B: capitals 10 tenths of the height, small
letters 7, tails 3 below the base line, stroke 1, gap between letters 2. A glyph is written as its
width and its strokes on that grid: `x,y` a point, `@cx,cy,rx,ry,from,to` an arc in degrees,
counter-clockwise where `to` is greater, `;` lifts the pen.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterator
from functools import cache

from standclear.drawing.shapes import Point, Text

GRID = 10.0
LETTER_GAP = 2.0
SPACE = 4.0
ARC_STEP = 15.0
"""Degrees between points of an arc."""
DESCENT = 0.3
"""Depth of tails as a part of the height."""

_RING = "@2.4,3.5,2.4,3.5,0,360"
_O = "@3,7,3,3,0,180 @3,3,3,3,180,360 6,7"
_P = "0,0 0,10 3,10 @3,7.3,2.6,2.7,90,-90 0,4.6"

GLYPHS: dict[str, tuple[float, str]] = {
    "0": (5, "@2.5,7.5,2.5,2.5,0,180 @2.5,2.5,2.5,2.5,180,360 5,7.5"),
    "1": (5, "1,8 3,10 3,0"),
    "2": (5, "@2.5,7.5,2.5,2.5,180,-35 0,0 5,0"),
    "3": (5, "@2.4,7.6,2.4,2.4,150,-90 ; @2.4,2.6,2.6,2.6,90,-150"),
    "4": (5, "3.8,0 3.8,10 0,3 5,3"),
    "5": (5, "4.6,10 0.8,10 0.5,5.5 @2.3,3.2,2.7,3.2,130,-150"),
    "6": (5, "3.8,10 0.4,4.4 @2.5,2.7,2.5,2.7,155,515"),
    "7": (5, "0,10 5,10 1.5,0"),
    "8": (5, "@2.5,7.7,2.2,2.3,-90,270 ; @2.5,2.7,2.5,2.7,90,450"),
    "9": (5, "1.2,0 4.6,5.6 @2.5,7.3,2.5,2.7,-25,335"),
    "A": (6, "0,0 3,10 6,0 ; 1.05,3.5 4.95,3.5"),
    "B": (5.7, "0,0 0,10 3,10 @3,7.6,2.4,2.4,90,-90 0,5.2 ; 3,5.2 @3.1,2.6,2.6,2.6,90,-90 0,0"),
    "C": (5.6, "@3,7,3,3,35,180 @3,3,3,3,180,325"),
    "D": (5.5, "0,0 0,10 2.5,10 @2.5,7,3,3,90,0 @2.5,3,3,3,0,-90 0,0"),
    "E": (5, "5,10 0,10 0,0 5,0 ; 0,5.2 4,5.2"),
    "F": (4.8, "4.8,10 0,10 0,0 ; 0,5.2 4,5.2"),
    "G": (6, "@3,7,3,3,35,180 @3,3,3,3,180,360 6,4.6 3.4,4.6"),
    "H": (6, "0,0 0,10 ; 6,0 6,10 ; 0,5.2 6,5.2"),
    "I": (0.6, "0.3,0 0.3,10"),
    "J": (4, "4,10 4,2.6 @1.9,2.3,2.1,2.3,0,-160"),
    "K": (5.6, "0,0 0,10 ; 5.5,10 0,3.6 ; 2,6 5.6,0"),
    "L": (4.8, "0,10 0,0 4.8,0"),
    "M": (7, "0,0 0,10 3.5,4 7,10 7,0"),
    "N": (6, "0,0 0,10 6,0 6,10"),
    "O": (6, _O),
    "P": (5.6, _P),
    "Q": (6.2, f"{_O} ; 3.8,2.2 6.2,-0.8"),
    "R": (5.6, f"{_P} ; 2.8,4.6 5.6,0"),
    "S": (5.4, "@2.7,7.6,2.5,2.4,30,270 @2.7,2.6,2.7,2.6,90,-150"),
    "T": (6, "0,10 6,10 ; 3,10 3,0"),
    "U": (6, "0,10 0,3 @3,3,3,3,180,360 6,10"),
    "V": (6, "0,10 3,0 6,10"),
    "W": (8, "0,10 2,0 4,10 6,0 8,10"),
    "X": (6, "0,0 6,10 ; 0,10 6,0"),
    "Y": (6, "0,10 3,5 6,10 ; 3,5 3,0"),
    "Z": (5.6, "0,10 5.6,10 0,0 5.6,0"),
    "a": (4.8, f"{_RING} ; 4.8,7 4.8,0"),
    "b": (4.8, f"0,10 0,0 ; {_RING}"),
    "c": (4.3, "@2.4,3.5,2.4,3.5,45,315"),
    "d": (4.8, f"4.8,10 4.8,0 ; {_RING}"),
    "e": (4.8, "0.05,3.8 4.75,3.8 @2.4,3.5,2.4,3.5,5,320"),
    "f": (3.2, "3.4,9.8 @2.6,8.4,1.5,1.6,60,180 1.1,0 ; 0,7 3,7"),
    "g": (4.8, f"{_RING} ; 4.8,7 4.8,-0.8 @2.4,-0.8,2.4,2.2,0,-150"),
    "h": (4.6, "0,10 0,0 ; 0,4.6 @2.3,4.6,2.3,2.4,180,0 4.6,0"),
    "i": (0.6, "0.3,0 0.3,7 ; 0.3,9.2 0.3,9.9"),
    "j": (1.6, "1.4,7 1.4,-1.4 @0.1,-1.4,1.3,1.6,0,-110 ; 1.4,9.2 1.4,9.9"),
    "k": (4.3, "0,0 0,10 ; 4,7 0,2.6 ; 1.5,4.2 4.3,0"),
    "l": (1.6, "0.2,10 0.2,1.4 @1.6,1.4,1.4,1.4,180,270"),
    "m": (7.2, "0,0 0,7 ; 0,5 @1.8,5,1.8,2,180,0 3.6,0 ; 3.6,5 @5.4,5,1.8,2,180,0 7.2,0"),
    "n": (4.6, "0,0 0,7 ; 0,4.6 @2.3,4.6,2.3,2.4,180,0 4.6,0"),
    "o": (4.8, _RING),
    "p": (4.8, f"0,7 0,-3 ; {_RING}"),
    "q": (4.8, f"4.8,7 4.8,-3 ; {_RING}"),
    "r": (3.4, "0,0 0,7 ; 0,4.6 @2.1,4.8,2.1,2.2,180,50"),
    "s": (4.2, "@2.1,5.3,1.9,1.7,30,270 @2.1,1.8,2.1,1.8,90,-150"),
    "t": (3.4, "1.2,9.4 1.2,1.8 @2.7,1.6,1.5,1.6,180,290 ; 0,7 3.2,7"),
    "u": (4.6, "0,7 0,2.4 @2.3,2.4,2.3,2.4,180,360 ; 4.6,7 4.6,0"),
    "v": (4.6, "0,7 2.3,0 4.6,7"),
    "w": (6.4, "0,7 1.6,0 3.2,7 4.8,0 6.4,7"),
    "x": (4.4, "0,0 4.4,7 ; 0,7 4.4,0"),
    "y": (4.6, "0,7 2.3,0 ; 4.6,7 1.6,-2.2 0.3,-3"),
    "z": (4.2, "0,7 4.2,7 0,0 4.2,0"),
    ".": (0.8, "0.4,0 0.4,0.7"),
    ",": (1, "0.7,0.7 0.7,0 0,-1.4"),
    ":": (0.8, "0.4,0 0.4,0.7 ; 0.4,5 0.4,5.7"),
    ";": (1, "0.7,0.7 0.7,0 0,-1.4 ; 0.7,5 0.7,5.7"),
    "-": (3.4, "0,4.4 3.4,4.4"),
    "–": (4.6, "0,4.4 4.6,4.4"),
    "+": (4.6, "0,4.4 4.6,4.4 ; 2.3,2.1 2.3,6.7"),
    "=": (4.6, "0,3.4 4.6,3.4 ; 0,5.6 4.6,5.6"),
    "/": (4.6, "0,-1 4.6,11"),
    "\\": (4.6, "4.6,-1 0,11"),
    "(": (2, "2,11 @4.6,5,4.6,6.4,130,230"),
    ")": (2, "@-2.6,5,4.6,6.4,-50,50"),
    "[": (1.8, "1.8,11 0,11 0,-1 1.8,-1"),
    "]": (1.8, "0,11 1.8,11 1.8,-1 0,-1"),
    "<": (4.6, "4.6,7.4 0,4.4 4.6,1.4"),
    ">": (4.6, "0,7.4 4.6,4.4 0,1.4"),
    "%": (6.4, "0,0 6.4,10 ; @1.5,8.2,1.5,1.8,0,360 ; @4.9,1.8,1.5,1.8,0,360"),
    "#": (6, "1.2,0 2.4,10 ; 3.8,0 5,10 ; 0.2,3.2 5.6,3.2 ; 0.6,6.8 6,6.8"),
    "*": (4, "2,3 2,8 ; 0,4.2 4,6.8 ; 0,6.8 4,4.2"),
    "'": (0.6, "0.3,8 0.3,10"),
    '"': (1.8, "0.2,8 0.2,10 ; 1.6,8 1.6,10"),
    "!": (0.6, "0.3,10 0.3,3 ; 0.3,0 0.3,0.7"),
    "?": (4.4, "@2.2,7.8,2.2,2.2,170,-45 2.2,4.6 2.2,3 ; 2.2,0 2.2,0.7"),
    "&": (6, "6,0 1,7 @2.4,8.2,1.6,1.8,200,-40 0.8,4.2 @2.4,2.4,2.4,2.4,150,320 6,4.4"),
    "_": (5, "0,-1 5,-1"),
    "|": (0.6, "0.3,-1 0.3,11"),
    "°": (2.6, "@1.3,8.7,1.3,1.3,0,360"),
    "±": (4.6, "0,5.4 4.6,5.4 ; 2.3,3.1 2.3,7.7 ; 0,1.2 4.6,1.2"),
    "×": (4.4, "0.4,1.6 4,6.4 ; 0.4,6.4 4,1.6"),
    "Ø": (6.4, "@3.2,5,3.2,3.2,0,360 ; 0.2,-0.4 6.2,10.4"),
}
_UNKNOWN = (5.0, "0,0 0,10 5,10 5,0 0,0")


@cache
def _glyph(character: str) -> tuple[float, tuple[tuple[Point, ...], ...]]:
    base = unicodedata.normalize("NFKD", character)[:1]
    width, source = GLYPHS.get(character) or GLYPHS.get(base) or _UNKNOWN
    strokes: list[tuple[Point, ...]] = []
    for stroke in source.split(";"):
        points: list[Point] = []
        for token in stroke.split():
            numbers = [float(n) for n in token.lstrip("@").split(",")]
            points += _arc(*numbers) if token.startswith("@") else [(numbers[0], numbers[1])]
        strokes.append(tuple(points))
    return width, tuple(strokes)


def _arc(cx: float, cy: float, rx: float, ry: float, start: float, end: float) -> list[Point]:
    count = max(1, math.ceil(abs(end - start) / ARC_STEP))
    angles = [math.radians(start + (end - start) * i / count) for i in range(count + 1)]
    return [(cx + rx * math.cos(a), cy + ry * math.sin(a)) for a in angles]


@cache
def width_of(string: str, height: float) -> float:
    """Length of a line of text, mm, for capitals `height` mm high."""
    total = sum(advance(character) for character in string)
    return max(0.0, total - LETTER_GAP) * height / GRID


def advance(character: str) -> float:
    """From the start of a letter to that of the next, on the letters' grid."""
    return (SPACE if character == " " else _glyph(character)[0]) + LETTER_GAP


def pens_of(string: str, height: float) -> Iterator[tuple[str, float]]:
    """Each letter but blanks, and how far from the start of the line it begins, mm."""
    pen = 0.0
    for character in string:
        if character != " ":
            yield character, pen * height / GRID
        pen += advance(character)


def strokes_of(character: str, height: float) -> Iterator[tuple[Point, ...]]:
    """The strokes of one letter from its place on the base line, mm, upright."""
    scale = height / GRID
    for stroke in _glyph(character)[1]:
        yield tuple((x * scale, y * scale) for x, y in stroke)


def strokes(text: Text) -> list[tuple[Point, ...]]:
    """The strokes of a text as polylines on paper, mm."""
    x0, y0 = text.at
    return [
        tuple((x0 + pen + x, y0 + y) if text.upright else (x0 - y, y0 + pen + x) for x, y in stroke)
        for character, pen in pens_of(text.string, text.height)
        for stroke in strokes_of(character, text.height)
    ]


def shortened(string: str, height: float, room: float) -> str:
    """`string`, or as much of its head as `room` mm hold, ending in dots."""
    if width_of(string, height) <= room:
        return string
    head = string
    while head and width_of(head + "...", height) > room:
        head = head[:-1]
    return head.rstrip() + "..."


def wrapped(string: str, height: float, room: float) -> list[str]:
    """`string` broken at blanks into lines of at most `room` mm; longer words are shortened."""
    rows: list[str] = []
    for word in string.split():
        joined = f"{rows[-1]} {word}" if rows else word
        if rows and width_of(joined, height) <= room:
            rows[-1] = joined
        else:
            rows.append(shortened(word, height, room))
    return rows
