"""What to key in for each zero, and what the display then shows, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standclear.plan.setting.changed import Rates
from standclear.plan.setting.zeros import Reading, SetupZero, WayToSet
from standclear.report.lines import Line
from standclear.report.sizes import DECIMALS, in_unit, length, number

PLACE = {"raw face": "the raw face", "stop": "the stop", "jaws": "the jaws' front"}
WAY = {
    "stop": "blank on the stop, zero fixed",
    "touch": "each raw face touched",
    "rule": "set with a rule",
    "finished-on-stop": "finished face on the stop, zero fixed",
    "measured": "raw back touched, measured length less finished length keyed in",
    "nominal": "raw back touched, allowance keyed in as it stands on paper",
}


def zero_lines(zeros: Sequence[SetupZero], finished: float, units: str) -> Iterator[Line]:
    """A heading, then for each set-up the way in use and the two others."""
    yield Line("Values to key in", "heading")
    for zero in zeros:
        yield Line(f"set-up {zero.setup}, {zero.offset}: {_offset(zero, units)}", "cure", 2)
        if zero.measured is not None:
            yield Line(
                f"Measure the part first: {length(zero.measured, units)} expected, less "
                f"{number(finished, units)} finished is "
                f"{number(zero.measured - finished, units)} at the back.",
                indent=6,
            )
        for way in sorted(zero.ways, key=lambda each: not each.in_use):
            yield from _way(way, zero, units)


def signed_z(mm: float, units: str) -> str:
    """A display of Z with its sign and all decimals: `Z+0.400`."""
    value = round(in_unit(mm, units), DECIMALS[units]) + 0.0
    return f"Z{value:+.{DECIMALS[units]}f}"


def _offset(zero: SetupZero, units: str) -> str:
    if zero.change == 0:
        kept = "" if zero.old is None else f", {signed_z(zero.old, units)}"
        return f"stays as it is{kept}, for a blank of the length stated"
    towards = "towards the chuck" if zero.change < 0 else "away from the chuck"
    change = f"{signed_z(zero.change, units)} ({towards})"
    if zero.old is None or zero.new is None:
        return f"part zero moves {change} against the job file: add that, or set it anew"
    return f"old {signed_z(zero.old, units)}, change {change}, new {signed_z(zero.new, units)}"


def _way(way: WayToSet, zero: SetupZero, units: str) -> Iterator[Line]:
    mark = "" if way.in_use else "or "
    if way.keyed is None or way.longer is None:
        yield Line(f"{mark}{WAY[way.way]}: not with this seat, it needs a stop.", indent=6)
        return
    role = "plain" if way.in_use else "words"
    yield Line(f"{mark}{WAY[way.way]}: {_keyed(way, units)}", role, 6)
    if way.right is not None and abs(way.right - way.keyed) > 1e-6:
        yield Line(
            f"With it the part does not come out at its finished length: "
            f"{length(way.right, units)} would be right.",
            "mend",
            10,
        )
    if not way.readings:
        return
    first, *others = way.readings
    shown = f"Tip on {PLACE[first.place]}, display must read {signed_z(first.z, units)}"
    for other in others:
        shown += f"; on {PLACE[other.place]} {_range(other, units)}"
    yield Line(f"{shown}.", role, 10)
    yield Line(_longer(way, way.longer, zero.turned, units), role, 10)


def _keyed(way: WayToSet, units: str) -> str:
    assert way.keyed is not None
    if way.way in ("stop", "finished-on-stop"):
        return f"part zero {length(way.keyed, units)} in front of the stop."
    if way.way == "measured":
        return (
            f"key in what was measured less the finished length, {number(way.keyed, units)} here."
        )
    return f"key in {length(way.keyed, units)}."


def _range(reading: Reading, units: str) -> str:
    low, high = signed_z(reading.range.lo, units), signed_z(reading.range.hi, units)
    shown = signed_z(reading.z, units)
    return shown if low == high else f"{shown} ({low} to {high})"


def _longer(way: WayToSet, rates: Rates, turned: bool, units: str) -> str:
    """What a longer blank does; a shorter one does the opposite."""
    if not turned:
        if rates.face_by_length:
            face = "its raw face stands out by all of it, the front takes the saw error"
        else:
            face = "its raw face stays, the back takes the saw error"
        jaws = (
            "the jaws lie that much further from the tool"
            if rates.jaws_by_length < 0
            else "the jaws stay where they are"
        )
        return f"A longer blank: {face}; {jaws}."
    out = "comes out longer by all of it" if rates.finished_by_length else "keeps its length"
    face = (
        "its raw back stands out by all of it"
        if rates.face_by_length
        else "its raw back stays in front of part zero"
    )
    ends = ""
    if way.finished is not None:
        low, high = number(way.finished.lo, units), number(way.finished.hi, units)
        ends = f" (finished {low})" if low == high else f" (finished {low} to {high})"
    return f"A longer blank: {face}, the part {out}{ends}."
