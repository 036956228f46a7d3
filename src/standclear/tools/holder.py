"""Tool holders by their designation: ISO 5608 external (PCLNR2525M12), ISO 6261 boring bars
(A25R-PCLNR12).

Lengths in millimetres, angles in degrees. All tables are written from memory of the standards.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from standclear.tools.errors import DesignationError, MismatchError
from standclear.tools.insert import Insert
from standclear.tools.insert_tables import CIRCLE_BY_CODE, CLEARANCES, METRIC_ROUND_MM

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
_SHAPES = ("C", "D", "R", "S", "T", "V", "W")

_SIZE_CODE = r"[0-9L]\d"
_EXTERNAL = re.compile(rf"(.)(.)(.)(.)(.)(\d\d)(\d\d)([A-Z])({_SIZE_CODE})(-.*)?")
_BAR = re.compile(rf"(.)(\d\d)([A-Z])-?(.)(.)(.)(.)(.)({_SIZE_CODE})(-.*)?")


@dataclass(frozen=True, slots=True)
class Holder:
    """A holder as its designation gives it."""

    designation: str
    kind: Literal["external", "bar"]
    clamping: str
    shape: str
    style: str
    entering_angle: float
    cutting: Cutting
    shank: Literal["straight", "offset"]
    clearance: str
    hand: str
    """R, L, or N for neutral."""
    width_mm: float
    """Shank width b, or the diameter of a bar."""
    height_mm: float
    """Shank height h, or the diameter of a bar."""
    length_mm: float | None
    """None where the letter says special."""
    edge_code: str
    """Size code of the insert it takes."""
    tip_offset_mm: float | None
    """From the tip to the far side of the shank, or to a bar's axis; None where no table has it
    (straight shanks, unusual sizes)."""
    trust: tuple[str, ...] = ()
    """Sentences: what rests on memory of a table."""


def read_holder(designation: str) -> Holder:
    """Decode a holder designation, external or boring bar.

    Raises `DesignationError` naming the position, what was found and what is accepted.
    """
    text = re.sub(r"\s+", "", designation).upper()
    bar = _BAR.fullmatch(text)
    if bar:
        return _bar(designation, bar)
    external = _EXTERNAL.fullmatch(text)
    if external:
        return _external(designation, external)
    raise DesignationError(
        designation,
        0,
        "the holder designation",
        designation,
        ("ISO 5608 such as PCLNR2525M12", "ISO 6261 such as A25R-PCLNR12"),
    )


def check_pair(holder: Holder, insert: Insert) -> None:
    """Raise `MismatchError`, naming both, unless the holder takes this insert.

    Shape, clearance and size code must agree.
    """
    pairs = (
        ("shape", holder.shape, insert.shape),
        ("clearance", holder.clearance, insert.clearance),
        ("edge length code", holder.edge_code, insert.size_code or "not in the table"),
    )
    for what, wanted, found in pairs:
        if wanted != found:
            raise MismatchError(
                f"holder {holder.designation} and insert {insert.designation} do not agree: "
                f"{what} {wanted} against {found}"
            )


def _external(designation: str, match: re.Match[str]) -> Holder:
    clamping, shape, style, clearance, hand, height, width, length, edge = match.groups()[:9]
    _check_head(designation, 1, (clamping, shape, style, clearance, hand), STYLES)
    for position, what, found in ((6, "shank height", height), (7, "shank width", width)):
        if int(found) == 0:
            raise DesignationError(designation, position, what, found, ("millimetres above 00",))
    _check_length(designation, 8, length)
    _check_edge(designation, 9, shape, edge)
    offset: float | None = None
    trust: tuple[str, ...] = _style_trust(designation, style)
    if hand == "N":
        offset = float(width) / 2
    elif STYLES[style].shank == "offset":
        offset = OFFSET_BY_WIDTH_MM.get(float(width))
        if offset is not None:
            trust += (f"{designation}: tip offset f = {offset:g} mm (ISO 5610 from memory)",)
    return Holder(
        designation=designation,
        kind="external",
        clamping=clamping,
        shape=shape,
        style=style,
        entering_angle=_entering_angle(style, shape),
        cutting=STYLES[style].cutting,
        shank=STYLES[style].shank,
        clearance=clearance,
        hand=hand,
        width_mm=float(width),
        height_mm=float(height),
        length_mm=LENGTHS_MM[length],
        edge_code=edge,
        tip_offset_mm=offset,
        trust=trust,
    )


def _bar(designation: str, match: re.Match[str]) -> Holder:
    kind, diameter, length, clamping, shape, style, clearance, hand, edge = match.groups()[:9]
    if kind not in BAR_KINDS:
        raise DesignationError(designation, 1, "kind of bar", kind, BAR_KINDS)
    if int(diameter) == 0:
        raise DesignationError(designation, 2, "bar diameter", diameter, ("mm above 00",))
    _check_length(designation, 3, length)
    _check_head(designation, 4, (clamping, shape, style, clearance, hand), STYLES_OF_BARS)
    if hand == "N":
        raise DesignationError(designation, 8, "hand", hand, ("R", "L"))
    _check_edge(designation, 9, shape, edge)
    size = float(diameter)
    offset = OFFSET_BY_BAR_MM.get(size)
    trust = _style_trust(designation, style)
    if offset is not None:
        trust += (f"{designation}: tip offset f = {offset:g} mm (ISO 6261 from memory)",)
    return Holder(
        designation=designation,
        kind="bar",
        clamping=clamping,
        shape=shape,
        style=style,
        entering_angle=_entering_angle(style, shape),
        cutting="end",
        shank="offset",
        clearance=clearance,
        hand=hand,
        width_mm=size,
        height_mm=size,
        length_mm=LENGTHS_MM[length],
        edge_code=edge,
        tip_offset_mm=offset,
        trust=trust,
    )


def _check_head(
    designation: str, first: int, letters: tuple[str, ...], styles: dict[str, Style] | str
) -> None:
    """The five letters from clamping to hand, the first standing at position `first`."""
    accepted: tuple[tuple[str, tuple[str, ...]], ...] = (
        ("clamping", tuple(CLAMPINGS)),
        ("insert shape", _SHAPES),
        ("style", tuple(styles)),
        ("insert clearance", tuple(CLEARANCES)),
        ("hand", ("R", "L", "N")),
    )
    for index, (found, (what, letters_accepted)) in enumerate(zip(letters, accepted, strict=True)):
        if found not in letters_accepted:
            raise DesignationError(designation, first + index, what, found, letters_accepted)


def _check_length(designation: str, position: int, letter: str) -> None:
    if letter not in LENGTHS_MM:
        raise DesignationError(designation, position, "length", letter, LENGTHS_MM)


def _check_edge(designation: str, position: int, shape: str, code: str) -> None:
    codes = set(CIRCLE_BY_CODE[shape])
    if shape == "R":
        codes |= set(METRIC_ROUND_MM)
    if code not in codes:
        raise DesignationError(designation, position, "edge length code", code, sorted(codes))


def _entering_angle(style: str, shape: str) -> float:
    if style == "N" and shape == "D":
        return N_STYLE_WITH_D_DEGREES
    return STYLES[style].entering_angle


def _style_trust(designation: str, style: str) -> tuple[str, ...]:
    if STYLES[style].certain:
        return ()
    angle = STYLES[style].entering_angle
    return (f"{designation}: style {style} taken as entering angle {angle:g} degrees",)
