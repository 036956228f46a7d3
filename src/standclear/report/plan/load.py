"""How hard a part is on tool, spindle, grip and itself, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standclear.estimate.limits import Limit
from standclear.estimate.load import JobLoad, SetupLoad, ToolLoad
from standclear.interval import Interval
from standclear.report.sizes import in_unit, length
from standclear.report.text import Line

CAUTION = (
    "Estimates over published constants and usual shares. They say nothing of safety: the plates "
    "and manuals of machine, chuck and tools govern."
)
M_PER_MIN_IN_FT = 1 / 0.3048


def load_lines(load: JobLoad, units: str, density: float | None = None) -> tuple[Line, ...]:
    """The whole answer, limits first; sizes in the job's unit. `density` of the material in g/cm3;
    weights are left out without one."""
    return tuple(_lines(load, units, density))


def _lines(load: JobLoad, units: str, density: float | None) -> Iterator[Line]:
    head = (
        f"{len(load.limits)} limits reached" if load.limits else "no limit reached of those given"
    )
    yield Line(head, "mend" if load.limits else "heading")
    yield Line(CAUTION, indent=2)
    for limit in load.limits:
        yield Line(limit_words(limit), "mend", 2)
    for setup in load.setups:
        yield from _setup(setup, density, units)
    yield Line("")
    yield Line("Where the figures come from", "heading")
    if load.material is not None:
        for constant in load.material.constants:
            yield Line(
                f"{load.material.name}: kc1.1 {constant.kc11:g} N/mm2, m {constant.m:g} "
                f"({constant.source})",
                indent=2,
            )
        yield Line("upper bounds with a worn edge, half as much again (from memory)", indent=2)
    yield Line("")
    yield Line("Not in these figures", "heading")
    for sentence in load.left_out:
        yield Line(sentence, indent=2)


def limit_words(limit: Limit) -> str:
    """`set-up front end, line 15, T01: spindle power 3.0 to 5.8 kW, may be above ...`."""
    sure = "above" if limit.sure else "may be above"
    found = span(limit.found.lo, limit.found.hi, limit.unit)
    against = {
        "spindle power": "what the spindle gives",
        "grip": "the grip that is left at that speed",
        "chuck speed": "the chuck's top speed",
        "bar overhang": "what such a bar is used to (common practice, no source)",
    }[limit.what]
    return (
        f"set-up {limit.setup}, line {limit.line}, T{limit.station:02d}: {limit.what} {found}, "
        f"{sure} {against}, {span(limit.limit, limit.limit, limit.unit)}"
    )


def _setup(setup: SetupLoad, density: float | None, units: str) -> Iterator[Line]:
    yield Line("")
    volume = f"{setup.volume:.1f} cm3" if units == "mm" else f"{setup.volume / 16.387064:.2f} in3"
    weight = "" if density is None else f", {setup.volume * density / 1000.0:.3f} kg"
    yield Line(f"Set-up {setup.name}: {volume}{weight} taken off", "heading")
    for tool in setup.tools:
        yield from _tool(tool, units)
    if setup.grip is not None:
        left = "" if setup.grip_left is None else f"; {setup.grip_left / 1000:.1f} kN left at speed"
        if setup.permitted is not None:
            left += f", and the most of it up to {setup.permitted:.0f} rpm"
        yield Line(
            f"Grip wanted at the hardest cut {span(setup.grip.lo, setup.grip.hi, 'N')}{left}",
            indent=2,
        )


def _tool(tool: ToolLoad, units: str) -> Iterator[Line]:
    yield Line(f"T{tool.station:02d}{tool.offset:02d} {tool.name}".rstrip(), indent=2)
    chip = "" if math.isnan(tool.thickness) else f", chip {length(tool.thickness, units)} thick"
    rate = f"{tool.rate:.1f} cm3/min" if units == "mm" else f"{tool.rate / 16.387064:.2f} in3/min"
    yield Line(
        f"deepest cut {length(tool.depth, units)}{chip}; {rate} at most, line {tool.line}", indent=6
    )
    if tool.force is not None and tool.power is not None:
        yield Line(
            f"cutting force {span(tool.force.lo, tool.force.hi, 'N')}, power "
            f"{span(tool.power.lo, tool.power.hi, 'kW')}",
            indent=6,
        )
    if tool.torque is not None:
        pushed = "" if tool.thrust is None else f", thrust {_span(tool.thrust, 'N')}"
        yield Line(f"torque {_span(tool.torque, 'N m')}{pushed}", indent=6)
    if tool.bend is not None:
        yield Line(f"the part gives way {_lengths(tool.bend, units)} on radius", indent=6)
    if tool.bar_bend is not None:
        yield Line(f"the bar gives way {_lengths(tool.bar_bend, units)} on radius", indent=6)
    if tool.roughness is not None:
        yield Line(_finish(tool.roughness, units), indent=6)
    yield Line(_values(tool, units), indent=6)


def _finish(found: Interval, units: str) -> str:
    unit, per = ("um", 1.0) if units == "mm" else ("uin", 39.3700787)
    low, high = f"{per * found.lo:.1f}", f"{per * found.hi:.1f}"
    said = low if low == high else f"{low} to {high}"
    return f"peak to valley {said} {unit} by nose and feed alone"


def _values(tool: ToolLoad, units: str) -> str:
    """The speeds and feeds of the program beside the usual ones."""
    speeds, unit = _speeds(tool.speed, units)
    feeds = _lengths(tool.feed, units)
    said = f"cuts at {speeds} {unit}, {tool.rpm:.0f} rpm at most, feed {feeds} a turn"
    if tool.usual is None:
        return said
    usual, _ = _speeds(tool.usual.speed, units)
    feed = "" if tool.usual.feed is None else f", feed {_lengths(tool.usual.feed, units)}"
    return f"{said}; usual for {tool.usual.name}: {usual} {unit}{feed} ({tool.usual.source})"


def _speeds(span: Interval, units: str) -> tuple[str, str]:
    per, unit = (1.0, "m/min") if units == "mm" else (M_PER_MIN_IN_FT, "ft/min")
    low, high = f"{per * span.lo:.0f}", f"{per * span.hi:.0f}"
    return (low if low == high else f"{low} to {high}"), unit


def _lengths(span: Interval, units: str) -> str:
    low, high = length(span.lo, units), length(span.hi, units)
    if low == high:
        return high
    places = 3 if units == "mm" else 4
    return f"{in_unit(span.lo, units):.{places}f} to {in_unit(span.hi, units):.{places}f} " + (
        "mm" if units == "mm" else "in"
    )


def _span(found: Interval, unit: str) -> str:
    return span(found.lo, found.hi, unit)


def span(low: float, high: float, unit: str) -> str:
    """A range of an estimate, to about two figures: `0.9 to 1.7 kN`, `3.5 kW`."""
    if unit == "N" and high >= 1000:
        low, high, unit = low / 1000.0, high / 1000.0, "kN"
    places = 0 if unit in ("N", "rpm") else 1
    first, last = f"{low:.{places}f}", f"{high:.{places}f}"
    return f"{first} {unit}" if first == last else f"{first} to {last} {unit}"
