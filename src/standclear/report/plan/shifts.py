"""How far each zero may be moved, in words and as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from standclear.findings.finding import Verdict
from standclear.plan.windows.shift import ShiftWindow, Side, Stop
from standclear.report.lines import Line
from standclear.report.sizes import length

_METAL = {"metal": "metal", "jaws": "the jaws", "chuck": "the chuck", "stop": "the stop"}
_RAW = {
    "face": "the face",
    "diameter": "the diameter",
    "outline": "the outline",
}


def shift_lines(shifts: Sequence[ShiftWindow], units: str) -> tuple[Line, ...]:
    """Each clamping's zero with the room to either side; margins of air not counted."""
    return tuple(_shifts(shifts, units))


def _shifts(shifts: Sequence[ShiftWindow], units: str) -> Iterator[Line]:
    yield Line("")
    yield Line("How far each zero may be moved", "heading")
    yield Line(
        "With this blank, one zero at a time. Margins of air are not counted, and the sizes that "
        "the other end measures from it move along.",
        indent=2,
    )
    for window in shifts:
        names = ", ".join(window.setups)
        yield Line(f"set-up {names}, {', '.join(window.offsets)}", "heading", 2)
        if window.toward is None or window.away is None:
            yield Line(f"not at all: with the zero as it stands {window.why}", "stop", 4)
            continue
        yield from _side("towards the chuck, value smaller by", window.toward, units)
        yield from _side("away from the chuck, value greater by", window.away, units)


def _side(way: str, side: Side, units: str) -> Iterator[Line]:
    if not side.stops:
        yield Line(f"{way} {length(side.by, units)} at least: not looked further", indent=4)
    else:
        first, *others = side.stops
        said = f"{way} {length(side.by, units)} at most: {_met(first)}"
        if others:
            after = "; ".join(f"{_met(s)} from {length(s.by, units)}" for s in others)
            said += f". Behind that: {after}"
        yield Line(said, indent=4)
    if side.verdict is None:
        return
    if side.verdict is not Verdict.CLEAR:
        yield Line(f"NOT clear just within: {side.verdict}; prove it by itself", "stop", 6)
    elif side.findings:
        codes = ", ".join(side.findings)
        yield Line(f"Proved just within: clear; then to mend: {codes}.", "mend", 6)
    else:
        yield Line("Proved just within: clear.", indent=6)


def _met(stop: Stop) -> str:
    line = f", line {stop.line}" if stop.line else ""
    where = f"set-up {stop.setup}{line}"
    if stop.side == "strikes":
        return f"{where} strikes {_METAL[stop.against]}"
    if stop.against == "out of reach":
        return f"{where} leaves metal that no cut reaches"
    if stop.side == "does not clean up":
        return f"{where} does not clean up {_RAW[stop.against]}"
    if stop.side == "comes loose":
        return f"{where} lets metal loose"
    return f"{where} {stop.side.replace('comes', 'makes the part come')}"


def shift_data(shifts: Sequence[ShiftWindow]) -> list[dict[str, Any]]:
    """The same as data for `plain_json`; lengths in mm."""
    return [
        {
            "setups": w.setups,
            "offsets": w.offsets,
            "toward": w.toward,
            "away": w.away,
            "why": w.why,
        }
        for w in shifts
    ]
