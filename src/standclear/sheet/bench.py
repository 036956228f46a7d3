"""Blank, jaws, stop and grip of a set-up, in words."""

from __future__ import annotations

from collections.abc import Iterator

from standclear.job.models import Blank, Jaws, Job
from standclear.job.setup_checks import jaws_of
from standclear.plan.grip.grip import Grip
from standclear.report.sizes import length, number
from standclear.report.words import signed
from standclear.sheet.content import Fact

SHAPE = {"round": "round bar", "tube": "tube", "hexagon": "hexagon bar", "square": "square bar"}


def bench_facts(job: Job, index: int, grip: Grip | None) -> tuple[Fact, ...]:
    """What lies on the bench for set-up number `index`, and how it is held; `grip` is None where
    the job gives no jaws."""
    return tuple(_facts(job, index, grip))


def blank_line(blank: Blank, units: str) -> str:
    """The blank with its tolerances: `round bar 48.0 (-0.16/0) x 83.0 (-0.2/+0.2) mm, C45`."""
    size = f"{number(blank.size, units)}{_limits(blank.size_tolerance, units)}"
    bore = ""
    if blank.bore is not None:
        bore = f", bore {number(blank.bore, units)}{_limits(blank.bore_tolerance, units)}"
    long = f"{number(blank.length, units)}{_limits(blank.length_tolerance, units)}"
    material = f", {blank.material}" if blank.material else ""
    unit = "in" if units == "inch" else "mm"
    return f"{SHAPE[blank.shape]} {size}{bore} x {long} {unit}{material}"


def _limits(tolerance: tuple[float, float], units: str) -> str:
    if tolerance == (0.0, 0.0):
        return ""
    return f" ({signed(tolerance[0], units)}/{signed(tolerance[1], units)})"


def _facts(job: Job, index: int, grip: Grip | None) -> Iterator[Fact]:
    units = job.units
    yield Fact("Blank", blank_line(job.blank, units))
    allowed = [
        f"{name} {length(value, units)}"
        for name, value in (
            ("run-out", job.blank.run_out),
            ("bow", job.blank.bow),
            ("skin", job.blank.skin),
            ("out of square", job.blank.out_of_square),
        )
        if value is not None
    ]
    if allowed:
        yield Fact("It may have", ", ".join(allowed))
    yield from _held(job, index, grip)


def _held(job: Job, index: int, grip: Grip | None) -> Iterator[Fact]:
    units, setup = job.units, job.setup[index]
    jaws = jaws_of(job, setup)
    if not isinstance(jaws, Jaws):
        yield Fact("Jaws", "the job gives none: jaws, chuck and stop are not examined")
    else:
        gripped = ""
        if grip is not None and grip.diameter:
            what = "turned" if grip.turned else "raw bar"
            gripped = f"; grip {length(grip.length.lo, units)} of {what} "
            gripped += number(grip.diameter, units)
        yield Fact("Jaws", f"{jaws.name or 'without a name'}{gripped}")
    yield Fact("Seat", _seat(job, index, jaws if isinstance(jaws, Jaws) else None))
    if grip is not None:
        yield Fact("Stands out", f"{length(grip.stick_out, units)} at most from the jaws' front")
        if grip.stop_to_zero is not None:
            yield Fact("Part zero", f"{length(grip.stop_to_zero, units)} in front of the seat")
    if jaws_of(job, setup) is not None and grip is not None and grip.deepest is not None:
        near, place = grip.deepest, grip.deepest.place
        where = f", {place.in_words}" if place is not None else ""
        yield Fact(f"Nearest to {near.against}", f"{length(near.gap, units)}{where}")


def _seat(job: Job, index: int, jaws: Jaws | None) -> str:
    seat, units = job.setup[index].seat, job.units
    if seat.on == "stick-out":
        return f"no stop: stick-out set to {length(seat.stick_out or 0.0, units)}"
    if seat.on == "step" and jaws is not None:
        return f"on the jaws' step {length(jaws.steps[seat.step], units)} from the stop plane"
    if jaws is not None and jaws.stop is not None:
        return f"on the stop, diameter {length(jaws.stop.diameter, units)}"
    return "on the stop"
