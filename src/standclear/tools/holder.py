"""Tool holders by their designation: ISO 5608 external (PCLNR2525M12), ISO 6261 boring bars
(A25R-PCLNR12), and the inch forms of both (MCLNR-164D, A16T-MCLNR4).

Lengths in millimetres, angles in degrees.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from standclear.tools.errors import DesignationError, MismatchError
from standclear.tools.holder_tables import (
    BAR_KINDS,
    CLAMPINGS,
    INCH_BAR_LENGTHS,
    INCH_LENGTHS,
    INCH_SHANKS,
    LENGTHS_MM,
    N_STYLE_WITH_D_DEGREES,
    OFFSET_BY_BAR_MM,
    OFFSET_BY_WIDTH_MM,
    STYLES,
    STYLES_OF_BARS,
    Cutting,
)
from standclear.tools.insert import Insert
from standclear.tools.insert_tables import (
    CIRCLE_BY_CODE,
    CLEARANCES,
    INCH_CIRCLE,
    INCH_MM,
    METRIC_ROUND_MM,
)

_SHAPES = tuple(CIRCLE_BY_CODE)
_CODE = r"(?:\d\d|L3)"
_EIGHTHS = r"\d(?:\.\d)?"
_HEAD = "([A-Z])" * 5
_EXTERNAL = re.compile(rf"{_HEAD}(\d\d)(\d\d)([A-Z])({_CODE})(?:-.*)?")
_BAR = re.compile(rf"([A-Z])(\d\d)([A-Z])-?{_HEAD}({_CODE})(?:-.*)?")
_INCH_EXTERNAL = re.compile(rf"{_HEAD}-?(\d\d)-?({_EIGHTHS})([A-Z])(?:-.*)?")
_INCH_BAR = re.compile(rf"([A-Z])(\d\d)([A-Z])-?{_HEAD}-?({_EIGHTHS})(?:-.*)?")


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
    """Sentences: where sources disagree on what a letter says."""


def read_holder(designation: str) -> Holder:
    """Decode a holder designation, external or boring bar, metric or inch.

    Raises `DesignationError` naming the position, what was found and what is accepted.
    """
    text = re.sub(r"\s+", "", designation).upper()
    if match := _BAR.fullmatch(text):
        kind, size, length, *head, code = match.groups()
        _check_bar(designation, kind, length, LENGTHS_MM, head)
        _check(designation, 9, "edge length code", code, _codes_of(head[1]))
        if int(size) == 0:
            raise DesignationError(designation, 2, "bar diameter", size, ("millimetres above 00",))
        return _holder(designation, "bar", head, (float(size),) * 2, LENGTHS_MM[length], code)
    if match := _EXTERNAL.fullmatch(text):
        *head, height, width, length, code = match.groups()
        _check_head(designation, 1, head, STYLES)
        for position, what, found in ((6, "shank height", height), (7, "shank width", width)):
            if int(found) == 0:
                raise DesignationError(designation, position, what, found, ("mm above 00",))
        _check(designation, 8, "length", length, LENGTHS_MM)
        _check(designation, 9, "edge length code", code, _codes_of(head[1]))
        sizes = (float(height), float(width))
        return _holder(designation, "external", head, sizes, LENGTHS_MM[length], code)
    if match := _INCH_BAR.fullmatch(text):
        kind, size, length, *head, eighths = match.groups()
        _check_bar(designation, kind, length, INCH_BAR_LENGTHS, head)
        _check(designation, 2, "bar diameter in sixteenths of an inch", size, INCH_SHANKS)
        code = _code_from_eighths(designation, 9, head[1], eighths)
        sizes = (int(size) / 16 * INCH_MM,) * 2
        return _holder(designation, "bar", head, sizes, _inches(INCH_BAR_LENGTHS[length]), code)
    if match := _INCH_EXTERNAL.fullmatch(text):
        *head, size, eighths, length = match.groups()
        _check_head(designation, 1, head, STYLES)
        _check(designation, 6, "square shank in sixteenths of an inch", size, INCH_SHANKS)
        code = _code_from_eighths(designation, 7, head[1], eighths)
        _check(designation, 8, "length", length, INCH_LENGTHS)
        sizes = (int(size) / 16 * INCH_MM,) * 2
        return _holder(designation, "external", head, sizes, _inches(INCH_LENGTHS[length]), code)
    raise DesignationError(
        designation,
        0,
        "the holder designation",
        designation,
        (
            "ISO 5608 such as PCLNR2525M12",
            "ISO 6261 such as A25R-PCLNR12",
            "inch forms such as MCLNR-164D or A16T-MCLNR4",
        ),
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


def _holder(
    designation: str,
    kind: Literal["external", "bar"],
    head: list[str],
    sizes: tuple[float, float],
    length: float | None,
    code: str,
) -> Holder:
    """Put together what both standards say; `sizes` are height and width."""
    clamping, shape, letter, clearance, hand = head
    style = STYLES[letter]
    angle = style.entering_angle
    if letter == "N" and shape == "D":
        angle = N_STYLE_WITH_D_DEGREES
    trust: tuple[str, ...] = ()
    if not style.certain:
        trust += (f"{designation}: style {letter} taken as entering angle {angle:g} degrees",)
    offset: float | None = None
    if kind == "bar":
        offset = OFFSET_BY_BAR_MM.get(sizes[1])
    elif hand == "N":
        offset = sizes[1] / 2
    elif style.shank == "offset":
        offset = OFFSET_BY_WIDTH_MM.get(sizes[1])
    return Holder(
        designation=designation,
        kind=kind,
        clamping=clamping,
        shape=shape,
        style=letter,
        entering_angle=angle,
        cutting="end" if kind == "bar" else style.cutting,
        shank="offset" if kind == "bar" else style.shank,
        clearance=clearance,
        hand=hand,
        height_mm=sizes[0],
        width_mm=sizes[1],
        length_mm=length,
        edge_code=code,
        tip_offset_mm=offset,
        trust=trust,
    )


def _check(designation: str, position: int, what: str, found: str, accepted: Iterable[str]) -> None:
    accepted = tuple(accepted)
    if found not in accepted:
        raise DesignationError(designation, position, what, found, accepted)


def _check_bar(
    designation: str, kind: str, length: str, lengths: Iterable[str], head: list[str]
) -> None:
    _check(designation, 1, "kind of bar", kind, BAR_KINDS)
    _check(designation, 3, "length", length, lengths)
    _check_head(designation, 4, head, STYLES_OF_BARS, hands="RL")


def _check_head(
    designation: str, first: int, head: list[str], styles: Iterable[str], hands: str = "RLN"
) -> None:
    """The five letters from clamping to hand, the first standing at position `first`."""
    accepted: tuple[tuple[str, Iterable[str]], ...] = (
        ("clamping", CLAMPINGS),
        ("insert shape", _SHAPES),
        ("style", styles),
        ("insert clearance", CLEARANCES),
        ("hand", hands),
    )
    for index, (found, (what, letters)) in enumerate(zip(head, accepted, strict=True)):
        _check(designation, first + index, what, found, letters)


def _codes_of(shape: str) -> list[str]:
    codes = set(CIRCLE_BY_CODE[shape])
    if shape == "R":
        codes |= set(METRIC_ROUND_MM)
    return sorted(codes)


def _code_from_eighths(designation: str, position: int, shape: str, eighths: str) -> str:
    """ISO size code of an insert whose inscribed circle is counted in eighths of an inch."""
    codes = {inches: code for code, inches in CIRCLE_BY_CODE[shape].items()}
    fitting = {number for number, inches in INCH_CIRCLE.items() if inches in codes}
    _check(designation, position, "inscribed circle in eighths of an inch", eighths, fitting)
    return codes[INCH_CIRCLE[eighths]]


def _inches(length: float | None) -> float | None:
    return None if length is None else length * INCH_MM
