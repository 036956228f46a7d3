"""Bar, allowances and lengths, guessed from clearance points, depths and comments.

Millimetres inside. The margin of clearance points is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from standclear.draft.guess import Guess, Unit
from standclear.draft.motion_facts import Clearance, SpanFacts, ToolCuts
from standclear.draft.text_facts import Comment

MARGIN_MM, MARGIN_INCH = 2.5, 0.1
"""What clearance points usually leave, X on diameter and Z."""
USUAL_BARS_MM = (
    *(6.0, 8.0, 10.0, 12.0, 13.0, 14.0, 15.0, 16.0, 18.0, 19.0, 20.0, 22.0, 24.0, 25.0, 26.0),
    *(27.0, 28.0, 30.0, 32.0, 35.0, 36.0, 38.0, 40.0, 42.0, 45.0, 48.0, 50.0, 52.0, 55.0, 60.0),
    *(63.0, 65.0, 70.0, 73.0, 75.0, 80.0, 85.0, 90.0, 95.0, 100.0, 105.0, 110.0, 115.0, 120.0),
    *(125.0, 130.0, 135.0, 140.0, 145.0, 150.0, 155.0, 160.0, 165.0, 170.0, 175.0, 180.0, 190.0),
    *(200.0, 220.0, 250.0),
)
"""Diameters of round bar, EN 10060, from memory; 6 and 8 are bright bar."""
FACE_LEFT_MM, FACE_LEFT_INCH = 0.5, 0.02
"""What is taken to come off a face that is cut where the clearance point leaves no more."""
HELD_MM, HELD_INCH = 25.0, 1.0
"""What is taken to stay in the jaws where only one end is turned."""
NO_BAR_MM, NO_BAR_INCH = 50.0, 2.0
PARTED_MM = 0.5
"""A plunge to this radius or less parts the piece off."""
_ROUGHING = frozenset({"G71", "G72", "G73", "G90", "G94"})
_FACING = frozenset({"G72", "G94"})
_NUMBER = r"(\d{1,4}(?:[.,]\d{1,4})?|[.,]\d{1,4})(?!\d)"
_BAR = re.compile(
    rf"\b(?:BAR|STOCK|BLANK|BILLET|ROHTEIL|STANGE)\b\W*(?:DIA\W*|D\W*)?{_NUMBER}"
    rf"(?:\s*(?:MM|IN|DIA)?\s*[X*]\s*{_NUMBER})?",
    re.IGNORECASE | re.ASCII,
)
"""A comment such as BAR 48 X 83 or STOCK DIA 2.0."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """What is guessed of blank and part, in the unit of the job."""

    bar: Guess
    blank_length: Guess
    part_length: Guess
    allowances: tuple[Guess, ...]
    """One for each clamping: how far its raw face stands out."""


def sizes_of(spans: Sequence[SpanFacts], comments: Sequence[Comment], unit: Unit) -> Sizes:
    """Bar, lengths and allowances from the facts of every clamping."""
    allowances = tuple(_allowance(span, unit) for span in spans)
    bar = _bar(spans, comments, unit)
    faces = [float(each.value) for each in allowances]
    part, blank = _lengths(spans, faces, comments, unit)
    return Sizes(bar, blank, part, allowances)


def usual_bars(unit: Unit) -> tuple[float, ...]:
    """Usual diameters of round bar, mm. In inches by sixteenths up to 2, eighths up to 4, quarters
    up to 10 (common practice, no source)."""
    if not unit.inch:
        return USUAL_BARS_MM
    sixteenths = [*range(4, 33), *range(34, 65, 2), *range(68, 161, 4)]
    return tuple(unit.mm(each / 16) for each in sixteenths)


def outside(span: SpanFacts) -> list[ToolCuts]:
    """The tools that cut outside."""
    return [tool for tool in span.tools if tool.feeds and not tool.inside and not tool.on_axis]


def _bar(spans: Sequence[SpanFacts], comments: Sequence[Comment], unit: Unit) -> Guess:
    clearance = next((found for span in spans if (found := _outer_clearance(span))), None)
    turned = max((r for span in spans for r in _turned(span, clearance)), default=0.0)
    said = _said_bar(comments)
    if clearance is None:
        if said is not None:
            return Guess(said[0], f"the comment on line {said[2]} says so")
        value = unit.out(unit.either(NO_BAR_MM, NO_BAR_INCH))
        return Guess(value, "nothing in the program tells")
    x, margin = 2 * clearance.point[1], unit.either(MARGIN_MM, MARGIN_INCH)
    where = f"X{unit.said(x)} of the clearance point on line {clearance.line}"
    if said is not None and 2 * turned - 1e-6 <= unit.mm(said[0]) < x:
        return Guess(said[0], f"the comment on line {said[2]} says so, below {where}")
    fitting = [d for d in usual_bars(unit) if 2 * turned - 1e-6 <= d < x - 1e-6]
    if not fitting:
        value = max(2 * turned, x - margin, x / 2)
        return Guess(unit.out(value), f"{where}; no usual bar lies below it and over every cut")
    value = min(fitting, key=lambda d: (abs(d - (x - margin)), d))
    usual = unit.said(margin)
    return Guess(
        unit.out(value), f"the usual bar nearest to {unit.said(x - margin)}: {where} less {usual}"
    )


def _outer_clearance(span: SpanFacts) -> Clearance | None:
    """The clearance point that tells the bar: of the cycles that rough or face the lowest, without
    such the highest that a plain feed begins at."""
    tools = {tool.tool for tool in outside(span)}
    own = [c for c in span.clearances if c.tool in tools and not c.outward and c.point[1] > 0]
    cycles = [c for c in own if c.cycle in _ROUGHING and c.towards_axis]
    if cycles:
        return min(cycles, key=lambda c: c.point[1])
    plain = [c for c in own if c.towards_axis] or own
    return max(plain, key=lambda c: c.point[1], default=None)


def _turned(span: SpanFacts, clearance: Clearance | None) -> list[float]:
    limit = clearance.point[1] if clearance else float("inf")
    return [r for tool in outside(span) for r in tool.turned if r < limit - 1e-6]


def _allowance(span: SpanFacts, unit: Unit) -> Guess:
    margin = unit.either(MARGIN_MM, MARGIN_INCH)
    tools = {tool.tool for tool in outside(span)}
    own = [c for c in span.clearances if c.tool in tools and not c.outward and c.point[0] > 0]
    cycles = [c for c in own if c.cycle in _ROUGHING]
    told = min(cycles, key=lambda c: c.point[0], default=None) or max(
        own or [c for c in span.clearances if c.point[0] > 0],
        key=lambda c: c.point[0],
        default=None,
    )
    least = unit.either(FACE_LEFT_MM, FACE_LEFT_INCH)
    if told is None:
        return Guess(unit.out(least), "nothing in the program tells")
    z = told.point[0]
    where = f"Z{unit.said(z)} of the clearance point on line {told.line}"
    if z - margin >= least:
        return Guess(unit.out(z - margin), f"{where} less the usual {unit.said(margin)}")
    value = min(least, z / 2)
    return Guess(unit.out(value), f"{where} leaves less than the usual {unit.said(margin)}")


def _lengths(
    spans: Sequence[SpanFacts], faces: Sequence[float], comments: Sequence[Comment], unit: Unit
) -> tuple[Guess, Guess]:
    """Length of part and of blank."""
    said = _said_bar(comments)
    depths = [_depth(span) for span in spans]
    parted = max((z for z in map(_parted_at, spans) if z is not None), default=None)
    held = unit.either(HELD_MM, HELD_INCH)
    if len(spans) > 1:
        ends = max(depths[0::2]), max(depths[1::2])
        part = sum(ends)
        because = (
            f"Z-{unit.said(ends[0])} and Z-{unit.said(ends[1])}, the deepest cuts of the two ends, "
            "if these just meet"
        )
        blank = part + unit.mm(max(faces[0::2]) + max(faces[1::2]))
        blank_because = "the part and what comes off both faces"
    elif parted is not None:
        part, because = parted, f"parted off at Z-{unit.said(parted)}"
        blank = part + held + unit.mm(faces[0])
        blank_because = f"the part, its face, and {unit.said(held)} behind the parting tool"
    else:
        part = depths[0] + held
        because = f"deepest cut Z-{unit.said(depths[0])}, and {unit.said(held)} held in the jaws"
        blank, blank_because = part + unit.mm(faces[0]), "the part and what comes off the face"
    if said is not None and said[1] is not None:
        off = max(faces[0::2]) + max(faces[1::2], default=0.0)
        if 0 < said[1] - off <= unit.out(part) + unit.out(held) or parted is not None:
            where = f"the comment on line {said[2]}"
            length = Guess(said[1], f"{where} says so")
            if parted is not None:
                return Guess(unit.out(part), because), length
            rest = round(said[1] - off, 4)
            return Guess(rest, f"{where}, less what comes off the faces"), length
    return Guess(unit.out(part), because), Guess(unit.out(blank), blank_because)


def _depth(span: SpanFacts) -> float:
    """The deepest cut outside, else the deepest of any tool, as a length; 1 mm at least."""
    tools = outside(span) or [tool for tool in span.tools if tool.feeds]
    return max([1.0, *(-tool.deepest_z for tool in tools)])


def _parted_at(span: SpanFacts) -> float | None:
    cuts = [
        -z
        for tool in outside(span)
        for z, start, end in tool.plunges
        if end <= PARTED_MM and start > end and not _FACING & tool.cycles
    ]
    return max(cuts, default=None)


def _said_bar(comments: Sequence[Comment]) -> tuple[float, float | None, int] | None:
    """(size, length where it is said, line) of the first comment that names the bar."""
    for comment in comments:
        if match := _BAR.search(comment.text):
            size, length = (
                float(each.replace(",", ".")) if each else None for each in match.groups()
            )
            if size:
                return size, length or None, comment.line
    return None
