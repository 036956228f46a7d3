"""How each set-up holds the part, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standclear.interval import Interval
from standclear.plan.grip.grip import DeepestPass, Grip, SoftJaws, Warn
from standclear.report.lines import Line
from standclear.report.sizes import length, number, position
from standclear.report.words import place_words


def grip_lines(grips: Sequence[Grip], units: str) -> tuple[Line, ...]:
    """A heading, then some lines a set-up; sizes in the job's unit. One sentence where no set-up
    has jaws."""
    lines = [Line("How the part is held", "heading")]
    if not grips:
        lines.append(Line("Not worked out: the job gives no jaws.", indent=2))
    for grip in grips:
        lines.extend(_one(grip, units))
    return tuple(lines)


def _one(grip: Grip, units: str) -> Iterator[Line]:
    jaws = f", {grip.jaws}" if grip.jaws else ""
    if grip.diameter <= 0:
        yield Line(f"set-up {grip.setup}{jaws}: there is no metal between the jaws.", "stop", 2)
        return
    metal = "turned" if grip.turned else "raw bar"
    across = length(grip.diameter, units)
    size = f"{across} across flats" if grip.flats else f"diameter {across}"
    yield Line(
        f"set-up {grip.setup}{jaws}: grips {_at_least(grip.length, units)} of {size}, {metal}; "
        f"stands out {length(grip.stick_out, units)} at most, {grip.over_diameter:.2f} of the "
        "diameter.",
        indent=2,
    )
    yield Line(
        f"Jaws' front at {_z(grip.front_z, units)}; {_nearest(grip.deepest, units)}", indent=6
    )
    if grip.flats and not grip.on_flats:
        yield Line("Proved for jaws on the corners too: say `on_flats = true` where they are not.",
                   indent=6)  # fmt: skip
    if grip.soft is not None:
        yield Line(_bore(grip, grip.soft, units), indent=6)
    for warn in grip.warnings:
        yield Line(_warning(warn, units), "mend", 6)


def _at_least(found: Interval, units: str) -> str:
    said = length(found.hi, units)
    return (
        said
        if number(found.lo, units) == number(found.hi, units)
        else (f"{said} ({number(found.lo, units)} at least)")
    )


def _z(found: Interval, units: str) -> str:
    low, high = position(found.lo, units), position(found.hi, units)
    return f"Z{high}" if low == high else f"Z{low} to Z{high}"


def _nearest(deepest: DeepestPass | None, units: str) -> str:
    if deepest is None:
        return "no motion comes near it."
    where = f", {place_words(deepest.place)}" if deepest.place is not None else ""
    return (
        f"the nearest motion keeps {length(deepest.gap, units)} from the {deepest.against}{where}"
    )


def _bore(grip: Grip, soft: SoftJaws, units: str) -> str:
    said = f"Soft jaws: bore diameter {length(soft.diameter, units)}, "
    said += f"{length(soft.depth, units)} deep from the jaws' front"
    if soft.seats:
        said += " to the face that the part seats on"
    if soft.land < soft.depth:
        said += f", relieved behind a land of {length(soft.land, units)}"
    if grip.stop_to_zero is None:
        return said + "."
    return (
        f"{said}; part zero stands {length(grip.stop_to_zero, units)} in front of that face and "
        f"{length(grip.stop_to_zero - soft.depth, units)} in front of the jaws."
    )


def _warning(warn: Warn, units: str) -> str:
    found = f"{warn.found:.2f}" if warn.ratio else length(warn.found, units)
    limit = f"{warn.limit:.2f}" if warn.ratio else length(warn.limit, units)
    usual = "at most" if warn.ratio else "at least"
    return f"{warn.what.capitalize()} {found}, usual is {usual} {limit} ({warn.source})."
