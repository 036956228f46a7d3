"""How hard a part is on tool, spindle, grip and itself, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator

from standclear.estimate.limits import Limit
from standclear.estimate.load import JobLoad, SetupLoad, ToolLoad
from standclear.estimate.materials import CARBIDE
from standclear.estimate.other_materials import Others
from standclear.interval import Interval
from standclear.report.lines import Line
from standclear.report.sizes import fixed, in_unit, length

CAUTION = (
    "Estimates over published constants and usual shares. They say nothing of safety: the plates "
    "and manuals of machine, chuck and tools govern."
)
M_PER_MIN_IN_FT = 1 / 0.3048
OVER = 1.01
"""A speed or feed beyond a usual range by less than this factor is in it."""


def load_lines(
    load: JobLoad, units: str, density: float | None = None, asked: str = ""
) -> tuple[Line, ...]:
    """The whole answer, limits first; sizes in the job's unit. `density` of the material in g/cm3;
    weights are left out without one. `asked`: the material in place of the job's."""
    return tuple(_lines(load, units, density, asked))


def _lines(load: JobLoad, units: str, density: float | None, asked: str) -> Iterator[Line]:
    yield Line(reached_words(load), "mend" if load.limits else "heading")
    if asked:
        yield Line(f"As if the bar were {asked}, cut by the program as it stands.", indent=2)
    yield Line(CAUTION, indent=2)
    for limit in load.limits:
        yield Line(limit_words(limit), "mend", 2)
    for setup in load.setups:
        yield from _setup(setup, density, units)
    if load.others is not None:
        yield from _others(load.others, units)
    yield Line("")
    yield Line("Where the figures come from", "heading")
    for sentence in load.sources:
        yield Line(sentence, indent=2)
    yield Line("")
    yield Line("Not in these figures", "heading")
    for sentence in load.left_out:
        yield Line(sentence, indent=2)


def reached_words(load: JobLoad) -> str:
    """How many limits are reached, in a line."""
    count = len(load.limits)
    if count:
        return f"{count} limit{'s' if count > 1 else ''} reached, or may be"
    if not load.limited:
        return "the job gives no limit of machine or chuck: force and power stand alone"
    return "no limit reached of those given"


def _others(others: Others, units: str) -> Iterator[Line]:
    yield Line("")
    yield Line("What another material would ask for", "heading")
    yield Line(
        f"Force and power of the largest chip as programmed (set-up {others.setup}, line "
        f"{others.line}, T{others.station:02d}); usual speed and feed: {CARBIDE}.",
        indent=2,
    )
    _, unit = _speeds(Interval(0.0, 0.0), units)
    rows = [("", "force", "power", f"usual speed, {unit}", "usual feed")]
    for other in others.materials:
        own = other.material
        rows.append(
            (
                f"{own.name} ({own.group})",
                _span(other.force, "N"),
                _span(other.power, "kW"),
                _speeds(Interval(*own.speed), units)[0],
                _lengths(Interval(*own.feed), units),
            )
        )
    wide = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    for number, row in enumerate(rows):
        cells = "".join(f"{cell:>{w + 2}}" for cell, w in zip(row[1:], wide[1:], strict=True))
        yield Line(f"{row[0]:<{wide[0]}}{cells}", "words" if number == 0 else "plain", 2)


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
    if said := grip_words(setup):
        yield Line(f"{said[0].upper()}{said[1:]}", indent=2)


def grip_words(setup: SetupLoad) -> str:
    """`grip wanted at the hardest cut 6.3 to 30.8 kN; ...`; empty where nothing is known."""
    if setup.grip is None:
        return ""
    said = f"grip wanted at the hardest cut {_span(setup.grip, 'N')}"
    if setup.grip_left is not None:
        said += f"; left at the highest speed {span(setup.grip_left, setup.grip_left, 'N')}"
    if setup.permitted is not None:
        there = f"up to {setup.permitted:.0f} rpm" if setup.permitted > 0 else "not even at rest"
        said += f"; the most of it {there}"
    return said


def _tool(tool: ToolLoad, units: str) -> Iterator[Line]:
    yield Line(f"T{tool.station:02d}{tool.offset:02d} {tool.name}".rstrip(), indent=2)
    chip = "" if math.isnan(tool.thickness) else f", chip {length(tool.thickness, units)} thick"
    rate = f"{tool.rate:.1f} cm3/min" if units == "mm" else f"{tool.rate / 16.387064:.2f} in3/min"
    yield Line(
        f"deepest cut {length(tool.depth, units)}{chip}; {rate} at most, line {tool.line}", indent=6
    )
    if tool.force is not None and tool.power is not None:
        said = f"cutting force {_span(tool.force, 'N')}"
        if tool.torque is not None:
            pushed = "" if tool.thrust is None else f", thrust {_span(tool.thrust, 'N')}"
            said = f"torque {_span(tool.torque, 'N m')}{pushed}"
        yield Line(f"{said}, power {_span(tool.power, 'kW')}", indent=6)
    if tool.bend is not None:
        yield Line(f"the part gives way {_way(tool.bend, units)} on radius", indent=6)
    if tool.bar_bend is not None:
        yield Line(f"the bar gives way {_way(tool.bar_bend, units)} on radius", indent=6)
    if tool.roughness is not None:
        yield Line(_finish(tool.roughness, units), indent=6)
    yield Line(_values(tool, units), indent=6)


def _finish(found: Interval, units: str) -> str:
    unit, per = ("um", 1.0) if units == "mm" else ("uin", 39.3700787)
    low, high = f"{per * found.lo:.1f}", f"{per * found.hi:.1f}"
    said = low if low == high else f"{low} to {high}"
    return f"peak to valley {said} {unit} by nose and feed alone"


def _values(tool: ToolLoad, units: str) -> str:
    """The speeds and feeds of the program, each beside the usual ones."""
    speeds, unit = _speeds(tool.speed, units)
    speed = f"speed {speeds} {unit} ({tool.rpm:.0f} rpm at most)"
    feed = f"feed {_lengths(tool.feed, units)} a turn"
    if tool.usual is None:
        return f"{speed}; {feed}"
    usual, _ = _speeds(tool.usual.speed, units)
    speed += f", usual {usual}{_outside(tool.speed, tool.usual.speed)}"
    if tool.usual.feed is not None:
        feed += f", usual {_lengths(tool.usual.feed, units)}"
        feed += _outside(tool.feed, tool.usual.feed)
    return f"{speed}; {feed}"


def _outside(found: Interval, usual: Interval) -> str:
    """How the program's range lies to the usual one, where it reaches beyond it."""
    above, below = found.hi > OVER * usual.hi, found.lo * OVER < usual.lo
    said = [word for word, so in (("above", above), ("below", below)) if so]
    return f": {' and '.join(said)} that" if said else ""


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


def _way(found: Interval, units: str) -> str:
    """A range that begins at nothing worth the name is told by its end."""
    if float(fixed(found.lo, units)) == 0.0 and found.hi > 0.0:
        said = length(found.hi, units)
        return said if said.startswith("under") else f"up to {said}"
    return _lengths(found, units)


def _span(found: Interval, unit: str) -> str:
    return span(found.lo, found.hi, unit)


def span(low: float, high: float, unit: str) -> str:
    """A range of an estimate, to about two figures: `0.9 to 1.7 kN`, `3.5 kW`."""
    if unit == "N" and high >= 1000:
        low, high, unit = low / 1000.0, high / 1000.0, "kN"
    places = 0 if unit in ("N", "rpm") else 1
    first, last = f"{low:.{places}f}", f"{high:.{places}f}"
    return f"{first} {unit}" if first == last else f"{first} to {last} {unit}"
