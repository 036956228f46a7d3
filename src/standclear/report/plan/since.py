"""What changed since a kept proof, in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from standclear.plan.later.keyed_anew import Anew, KeyIn, OtherTool, Value
from standclear.plan.later.since import Since
from standclear.report.lines import Line
from standclear.report.plan.comparing import difference_lines
from standclear.report.plan.zeros import PLACE, WAY, signed_z
from standclear.report.sizes import length, number

FROM_STOP = ("stop", "finished-on-stop")
ANEW = "touch it off again in X and Z, key in its nose radius and the direction of its tip"
SEEN = {"blank material": "No motion hangs on the material: look at speeds, feeds and depths."}


def since_lines(found: Since, units: str) -> tuple[Line, ...]:
    """What changed, the gravest first, then what to key in; lengths in the job's unit."""
    return tuple(_lines(found, units))


def _lines(found: Since, units: str) -> Iterator[Line]:
    yield Line(f"Since {found.proved_at or found.kept}", "heading")
    yield Line(f"verdict: {found.old_verdict} -> {found.new_verdict}", found.new_verdict, 2)
    yield Line(f"was {found.old_headline}", indent=2)
    for said, names in (
        ("changed", found.changed),
        ("new", found.added),
        ("no longer read", found.gone),
    ):
        if names:
            yield Line(f"{said}: {', '.join(names)}", indent=2)
    if not (found.changed or found.added or found.gone):
        yield Line("every file and the tool itself are the same", indent=2)
    for each in found.new_findings:
        yield Line(f"new: {each}", "mend", 2)
    for each in found.ended_findings:
        yield Line(f"no longer: {each}", indent=2)
    for gap in found.gaps:
        old, new = length(gap.old, units), length(gap.new, units)
        where = f"set-up {gap.setup}, line {gap.line}, {gap.tool}"
        yield Line(f"gap at {where}: {old} -> {new}", indent=2)
    for program in found.programs:
        yield Line(f"{program.name}, word by word, as kept -> now:", indent=2)
        yield from difference_lines(program.differences, 6)
    if found.not_read:
        yield Line(
            "What to key in is not worked out, programs are not compared word by word: "
            f"{found.not_read}",
            "mend",
            2,
        )
    if found.key_in is not None:
        yield Line("")
        yield from _key_in(found.key_in, units)


def _key_in(found: KeyIn, units: str) -> Iterator[Line]:
    if found.values:
        yield Line("On the bench", "heading")
        for value in found.values:
            yield Line(_value(value, units), indent=2)
            if value.what in SEEN:
                yield Line(SEEN[value.what], indent=6)
        yield Line("")
    yield Line("What to key in", "heading")
    if found.other_setups:
        yield Line("The set-ups are others than they were: set every zero anew.", "mend", 2)
    for anew in found.zeros:
        yield from _zero(anew, units)
    for tool in found.tools:
        yield Line(_tool(tool, units), "cure", 2)
    if not found.tools:
        yield Line("Tools: the same; their offsets stay, wear apart.", indent=2)


def _zero(anew: Anew, units: str) -> Iterator[Line]:
    zero = anew.zero
    yield Line(f"{zero.offset}, set-up {zero.setup}: {_moved(anew, units)}", "cure", 2)
    if anew.stated is not None and anew.new is not None and _astray(anew):
        yield Line(
            f"The job file states {signed_z(anew.stated, units)}, the sum gives "
            f"{signed_z(anew.new, units)}: find out which is right before cycle start.",
            "mend",
            6,
        )
    way = zero.in_use
    if anew.way_before != way.way:
        yield Line(f"It was set another way: {WAY[anew.way_before]}.", indent=6)
    if way.keyed is not None:
        keyed = _keyed(anew, units)
        yield Line(f"{WAY[way.way][:1].upper()}{WAY[way.way][1:]}: {keyed}.", indent=6)
    if zero.measured is not None:
        yield Line(f"Measure the part first: {length(zero.measured, units)} expected.", indent=6)
    if way.readings:
        first = way.readings[0]
        yield Line(
            f"Tip on {PLACE[first.place]}, display must read {signed_z(first.z, units)}.", indent=6
        )


def _astray(anew: Anew) -> bool:
    """Whether the job file was given another value of the offset, and not the one of the sum."""
    return anew.stated not in (anew.old, anew.new)


def _moved(anew: Anew, units: str) -> str:
    if anew.moved is None:
        return "other jaws are in the chuck: set it anew, the old value says nothing"
    if anew.moved == 0:
        kept = "" if anew.old is None else f", {signed_z(anew.old, units)}"
        return f"stays as it was{kept}"
    towards = "towards the chuck" if anew.moved < 0 else "away from the chuck"
    change = f"change {signed_z(anew.moved, units)} ({towards})"
    if anew.old is None or anew.new is None:
        return f"{change} against the value then"
    return f"old {signed_z(anew.old, units)}, {change}, new {signed_z(anew.new, units)}"


def _keyed(anew: Anew, units: str) -> str:
    """The number of the way in use, with what it was."""
    way = anew.zero.in_use
    assert way.keyed is not None
    of = " in front of the stop" if way.way in FROM_STOP else ""
    if anew.keyed_before is None or anew.keyed_before == way.keyed:
        return f"{length(way.keyed, units)}{of}, as before"
    return f"{_changed(anew.keyed_before, way.keyed, units)}{of}"


def _tool(tool: OtherTool, units: str) -> str:
    name = f"T{tool.station}" + (f" {tool.name}" if tool.name else "")
    if tool.state == "gone":
        return f"{name}: no longer in the job."
    if tool.state == "new":
        return f"{name}: new; {ANEW}."
    what = f"another {', '.join(key.replace('_', ' ') for key in tool.what)}"
    if tool.other_shape:
        return f"{name}: {what}; {ANEW}."
    if tool.old_geometry is None or tool.new_geometry is None or "geometry" not in tool.what:
        return f"{name}: {what}; nothing to key in."
    (x, z), (new_x, new_z) = tool.old_geometry, tool.new_geometry
    return (
        f"{name}: offset X {_changed(x, new_x, units)}; Z {_changed(z, new_z, units)}; as the job "
        "file has it."
    )


def _changed(old: float, new: float, units: str) -> str:
    if old == new:
        return f"{number(old, units)}, as before"
    sign = "-" if new < old else "+"
    return (
        f"old {number(old, units)}, change {sign}{number(abs(new - old), units)}, new "
        f"{length(new, units)}"
    )


def _value(value: Value, units: str) -> str:
    return f"{value.what}: {_shown(value.old, units)} -> {_shown(value.new, units)}"


def _shown(value: Any, units: str) -> str:
    if value is None or value == "":
        return "not stated"
    if isinstance(value, bool | str):
        return str(value)
    if isinstance(value, float):
        return length(value, units)
    return "/".join(number(each, units) for each in value)
