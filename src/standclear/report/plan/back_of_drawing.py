"""The plan in the few lines that a setter writes on the back of the drawing."""

from __future__ import annotations

from collections.abc import Iterator

from standclear.plan.grip.grip import Grip
from standclear.plan.setting.clearance import ClearancePoint
from standclear.plan.setting.plan import SettingPlan
from standclear.plan.setting.rule import Rule
from standclear.plan.setting.zeros import SetupZero
from standclear.report.lines import Line
from standclear.report.plan.clearance import Found, in_one_axis, outward, too_near
from standclear.report.plan.zeros import PLACE, WAY, signed_z
from standclear.report.sizes import length, number
from standclear.report.words import position_words

SEAT = {"stop": "on the stop", "step": "on the jaws' step", "stick-out": "no stop"}
FROM_STOP = ("stop", "finished-on-stop")


def back_lines(plan: SettingPlan) -> Iterator[Line]:
    """A heading, the blank, then three lines a set-up: how it is held, its zero, where to start."""
    units = plan.job.units
    yield Line("On the back of the drawing", "heading")
    yield Line(_blank(plan, units), indent=2)
    found = too_near(plan.proof)
    for k, zero in enumerate(plan.zeros):
        grip = next((g for g in plan.grips if g.setup == zero.setup), None)
        head = f"{k + 1}  {zero.setup}, {zero.offset}: "
        yield Line(head + _held(plan, k, grip, units), "cure", 2)
        yield Line(_zero(plan, zero, units), indent=5)
        rules = [r for r in plan.rules if r.setup == zero.setup]
        yield Line(_start(plan.points[k], found, rules, grip, units), indent=5)


def _blank(plan: SettingPlan, units: str) -> str:
    blank, split = plan.job.blank, plan.split
    shape = "bar" if blank.shape == "round" else blank.shape
    said = f"{shape.capitalize()} {number(blank.size, units)}, saw to {number(split.blank, units)}"
    bounds = (plan.shortest, plan.longest)
    known = [number(b.length, units) for b in bounds if b is not None and b.proved]
    if len(known) == 2 and not split.proposed:
        said += f" ({known[0]} to {known[1]} will do)"
    front = split.front.allowance + (split.proposed or 0.0)
    if split.back is None:
        return f"{said}: {number(front, units)} in front of part zero."
    back = split.back.allowance - (split.proposed or 0.0)
    return (
        f"{said}: {number(front, units)} front, {number(split.finished, units)} part, "
        f"{length(back, units)} back."
    )


def _held(plan: SettingPlan, k: int, grip: Grip | None, units: str) -> str:
    seat = SEAT[plan.job.setup[k].seat.on]
    if grip is None or grip.diameter <= 0:
        return f"{seat}; how it is held is not known."
    on = f"{number(grip.diameter, units)}{' across flats' if grip.flats else ''}"
    bore = ""
    if grip.soft is not None:
        bore = f", bore {number(grip.soft.diameter, units)} x {number(grip.soft.depth, units)} deep"
    return (
        f"{grip.jaws or 'jaws'}{bore}, {seat}; grip {number(grip.length.lo, units)} on {on}, out "
        f"{length(grip.stick_out, units)}."
    )


def _zero(plan: SettingPlan, zero: SetupZero, units: str) -> str:
    way = zero.in_use
    parts = []
    if zero.measured is not None:
        parts.append(f"Measure {length(zero.measured, units)} first.")
    if way.keyed is not None:
        what = f"{number(way.keyed, units)}"
        if way.way in FROM_STOP:
            what = f"part zero {what} in front of the stop"
        elif way.way == "measured":
            what = f"key in what was measured less {number(plan.job.part.length, units)}"
        else:
            what = f"key in {what}"
        parts.append(f"{WAY[way.way][:1].upper()}{WAY[way.way][1:]}: {what};")
        shown = ", ".join(f"{PLACE[r.place]} {signed_z(r.z, units)}" for r in way.readings)
        parts.append(f"display on {shown}.")
    if zero.change:
        moved = signed_z(zero.change, units)
        new = "" if zero.new is None else f", new value {signed_z(zero.new, units)}"
        parts.append(f"That moves the offset by {moved}{new}.")
    return " ".join(parts)


def _start(
    points: tuple[ClearancePoint, ...],
    found: Found | None,
    rules: list[Rule],
    grip: Grip | None,
    units: str,
) -> str:
    need = " ".join(
        f"{r.axis}{outward(2 * r.needed if r.axis == 'X' else r.needed, units)}" for r in rules
    )
    said = f"Raw bar and face want {need} to start at"
    places = dict.fromkeys(position_words((p.z, p.r), units) for p in points)
    if places:
        said += f"; the program starts at {', '.join(places)}"
    short = dict.fromkeys(
        p.place.in_words for p in points if not p.keeps_margin and not in_one_axis([p], found)
    )
    if short:
        said += f", too near at {', '.join(short)}"
    one = dict.fromkeys(
        p.place.in_words for p in points if not p.keeps_margin and in_one_axis([p], found)
    )
    if one:
        said += f", the margin in one axis at {', '.join(one)}"
    if grip is not None and grip.deepest is not None:
        where = f" ({grip.deepest.place.in_words})" if grip.deepest.place is not None else ""
        near = length(grip.deepest.gap, units)
        said += f". Nearest to the {grip.deepest.against}: {near}{where}"
    return f"{said}."
