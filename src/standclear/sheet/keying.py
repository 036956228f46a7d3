"""What is keyed in for a zero, as the sums that a setter does on paper.

The figures are those of the plan; a sum is shown with its terms only where these add up to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standclear.job.models import Jaws, Job
from standclear.job.placing import jaws_front
from standclear.job.setup_checks import NEEDS_SEAT, jaws_of
from standclear.plan.setting.changed import exact_sum
from standclear.plan.setting.split import Split
from standclear.plan.setting.zeros import Reading, SetupZero
from standclear.report.plan.zeros import PLACE, signed_z
from standclear.report.sizes import fixed
from standclear.sheet.content import Sum, Term

SAME_MM = 1e-6
TOUCH = {
    "touch": "Touch the raw face",
    "rule": "Set the raw face with a rule",
    "measured": "Touch the raw back",
    "nominal": "Touch the raw back",
}


def key_sums(job: Job, index: int, zero: SetupZero, split: Split) -> tuple[Sum, ...]:
    """The sums of set-up number `index`, in the order in which they are needed."""
    return tuple(_sums(job, index, zero, split))


def _sums(job: Job, index: int, zero: SetupZero, split: Split) -> Iterator[Sum]:
    units, way = job.units, zero.in_use
    if index == 0 and split.back is not None:
        yield _sum(
            "Left for the back end",
            (
                ("blank", split.blank),
                ("part", -split.finished),
                ("front", -split.front.allowance),
            ),
            split.back.allowance,
            units,
        )
    if zero.measured is not None:
        yield _sum(
            "Measure the part: at the back",
            (("measured", zero.measured), ("part", -job.part.length)),
            exact_sum(zero.measured, -job.part.length),
            units,
            "as expected",
        )
    if way.keyed is not None:
        yield from _keyed(job, index, zero, units)
    for reading in way.readings:
        if reading.place == "raw face" and way.way in TOUCH:
            continue  # it is what was just keyed in
        yield from _display(job, index, zero, reading, units)
    yield _offset(zero, units)


def _keyed(job: Job, index: int, zero: SetupZero, units: str) -> Iterator[Sum]:
    way, keyed = zero.in_use, zero.in_use.keyed
    assert keyed is not None
    if way.way == "finished-on-stop":
        yield _sum("Part zero in front of the stop", (("part", job.part.length),), keyed, units)
    elif way.way in NEEDS_SEAT:
        face = next((r.z for r in way.readings if r.place == "raw face"), 0.0)
        terms = (("blank", job.blank.length), ("face allowance", -face))
        yield _sum("Part zero in front of the stop", terms, keyed, units)
    elif way.way == "measured":
        terms = (("measured", zero.measured or 0.0), ("part", -job.part.length))
        what = f"{TOUCH[way.way]}, key in for {zero.offset}"
        yield _sum(what, terms, keyed, units, shown=signed_z(keyed, units))
    else:
        what = f"{TOUCH[way.way]}, key in for {zero.offset}"
        yield _sum(what, (("face allowance", keyed),), keyed, units, shown=signed_z(keyed, units))


def _display(job: Job, index: int, zero: SetupZero, reading: Reading, units: str) -> Iterator[Sum]:
    """What the display must show with the tip on a place, and the range it may show."""
    low, high = signed_z(reading.range.lo, units), signed_z(reading.range.hi, units)
    note = "" if low == high else f"{low} to {high}"
    what = f"Tip on {PLACE[reading.place]}, display must read"
    terms = _to_place(job, index, zero, reading.place)
    yield _sum(what, terms, reading.z, units, note, shown=signed_z(reading.z, units))


def _to_place(job: Job, index: int, zero: SetupZero, place: str) -> tuple[tuple[str, float], ...]:
    """Terms that lead from part zero to a place, as far as the job's plain figures do."""
    keyed = zero.in_use.keyed or 0.0
    jaws = jaws_of(job, job.setup[index])
    if place == "stop":
        return (("part zero in front of the stop", -keyed),)
    if place == "raw face" and zero.measured is not None:
        return (("measured", zero.measured), ("part", -job.part.length))
    if place == "raw face":
        return (("blank", job.blank.length), ("part zero in front of the stop", -keyed))
    if not isinstance(jaws, Jaws):
        return ()
    front = ("jaws' front from the stop", jaws_front(jaws.profile))
    if zero.turned:
        return (("part", -job.part.length), front)
    return (("face allowance", keyed), ("blank", -job.blank.length), front)


def _offset(zero: SetupZero, units: str) -> Sum:
    what = f"Work offset {zero.offset}, Z"
    change = Term("change", "+" if zero.change >= 0 else "-", fixed(abs(zero.change), units))
    if zero.old is None or zero.new is None:
        if zero.change == 0:
            return Sum(what, (), "", "As the machine has it; write it here.")
        way = "towards the chuck" if zero.change < 0 else "away from the chuck"
        return Sum(what, (Term("as it is", "", ""), change), "", f"Part zero moves {way}.")
    return Sum(what, (Term("old", "", fixed(zero.old, units)), change), fixed(zero.new, units))


def _sum(
    what: str,
    terms: Sequence[tuple[str, float]],
    result: float,
    units: str,
    note: str = "",
    shown: str = "",
) -> Sum:
    adds_up = bool(terms) and abs(exact_sum(*(v for _, v in terms)) - result) < SAME_MM
    figures = tuple(
        Term(name, ("+" if value >= 0 else "-") if n else ("" if value >= 0 else "-"),
             fixed(abs(value), units))
        for n, (name, value) in enumerate(terms)
    )  # fmt: skip
    return Sum(what, figures if adds_up else (), shown or fixed(result, units), note)
