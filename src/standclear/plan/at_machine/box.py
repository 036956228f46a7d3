"""A box of measured blanks: each as it is, with a shift of the first zero, or scrap.

Millimetres. A shift moves part zero of the first end towards the chuck: the front allowance grows
by it, the back allowance shrinks by it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, inf
from pathlib import Path

from standclear.findings.finding import Finding, Verdict
from standclear.job.models import Job
from standclear.plan.at_machine.grouping import fewest_groups, handy
from standclear.plan.setting.bounds import open_findings
from standclear.plan.setting.changed import zero_moved
from standclear.plan.setting.limits import Limit, shift_range
from standclear.plan.setting.rooms import program_limits
from standclear.plan.setting.split import cleanup_limits, increment_of, least_cut
from standclear.plan.setting.zeros import SetupZero, zeros_of
from standclear.plan.table import Row, read_table
from standclear.proof.held import Held
from standclear.proof.prove import judge, other_blank

NEEDED, OTHERS = ("name", "diameter", "length"), ("uncertainty",)
"""Columns of a table of blanks."""
FURTHEST_MM = 1000.0
"""A shift that nothing bounds is looked for no further: longer than any blank is spare."""


@dataclass(frozen=True)
class BlankMeasured:
    """One blank of the box, measured. `diameter` across flats of bar that has any."""

    name: str
    diameter: float
    length: float
    uncertainty: float
    """Plus or minus, of both."""


@dataclass(frozen=True)
class Scrap:
    """A blank that no shift makes clear."""

    blank: BlankMeasured
    lower: Limit | None
    """What asks for a shift of `need` at least, and what allows `allowed` at most; None where the
    length is not what fails."""
    need: float
    upper: Limit | None
    allowed: float
    shift: float
    """With which it was proved."""
    verdict: Verdict
    finding: Finding | None
    """The first that the proof has with it beside what the job has anyway."""


@dataclass(frozen=True)
class Group:
    """Blanks that run with one shift, each of them proved with it."""

    shift: float
    lowest: float
    """Every shift from here to `highest` serves all of them."""
    highest: float
    blanks: tuple[BlankMeasured, ...]
    zeros: tuple[SetupZero, ...]
    """What to key in, for the first blank of the group."""


@dataclass(frozen=True)
class Box:
    """The whole box."""

    groups: tuple[Group, ...]
    scrap: tuple[Scrap, ...]


def read_blanks(path: Path, job: Job) -> tuple[BlankMeasured, ...]:
    """The blanks of a CSV file with the columns name, diameter, length and, if wanted, uncertainty
    (plus or minus; left out, 0), in the job's unit.

    Raises FileError or JobError, line named, where the file does not fit.
    """
    return blanks_of(read_table(path, NEEDED, OTHERS), job)


def blanks_of(rows: Sequence[Row], job: Job) -> tuple[BlankMeasured, ...]:
    """The blanks in `rows`, as `read_blanks`. Raises JobError, line named."""
    found: list[BlankMeasured] = []
    for row in rows:
        name = row.cells["name"] or f"line {row.line}"
        if any(each.name == name for each in found):
            raise row.fault("name", f'"{name}", a second time', "give each blank its own name")
        sizes = {c: row.length(c, job.units) for c in ("diameter", "length")}
        for column, size in sizes.items():
            if size <= 0:
                raise row.fault(column, "0", "give a length greater than 0")
        doubt = row.length("uncertainty", job.units, 0.0)
        if doubt >= min(sizes.values()):
            raise row.fault("uncertainty", "no less than the blank", "give a smaller one")
        found.append(BlankMeasured(name, sizes["diameter"], sizes["length"], doubt))
    return tuple(found)


def sort_box(held: Held, job: Job, blanks: Sequence[BlankMeasured]) -> Box:
    """Every blank in the fewest groups of one shift each, or scrap; each proved with its shift.

    The range of shifts of a blank is read off the limits that the held programs set for bar of its
    diameter, which are straight lines over length and shift.
    """
    step = increment_of(job)
    known: dict[tuple[float, float], tuple[Limit, ...]] = {}
    ranges: dict[int, tuple[int, int]] = {}
    scrap: list[Scrap] = []
    # What is to mend whatever the blank is no reason to scrap one.
    before = {_key(f) for f in open_findings(judge(held, job))}
    for number, blank in enumerate(blanks):
        allowed = shift_range(_limits_of(held, job, blank, known))
        low, high = max(allowed.lo, -FURTHEST_MM), min(allowed.hi, FURTHEST_MM)
        if allowed.lo == inf:
            # Whatever the shift: bar too thin to clean up, or one that the chuck does not take.
            verdict, finding = _proved(held, job, blank, 0.0, before)
            scrap.append(Scrap(blank, None, 0.0, None, 0.0, 0.0, verdict, finding))
            continue
        least, most = ceil(low / step - 1e-6), floor(high / step + 1e-6)
        if least > most:
            verdict, finding = _proved(held, job, blank, 0.0, before)
            limits = (allowed.lo_limit, low, allowed.hi_limit, high)
            scrap.append(Scrap(blank, *limits, 0.0, verdict, finding))
        else:
            ranges[number] = (least, most)
    groups = []
    for members, (least, most) in fewest_groups(ranges):
        shift = round(handy(least, most) * step, 9)
        sound = []
        for blank in (blanks[k] for k in members):
            verdict, finding = _proved(held, job, blank, shift, before)
            if verdict is Verdict.CLEAR and finding is None:
                sound.append(blank)
            else:
                scrap.append(Scrap(blank, None, 0.0, None, 0.0, shift, verdict, finding))
        if sound:
            zeros = zeros_of(job, _with(job, sound[0], shift))
            ends = (round(least * step, 9), round(most * step, 9))
            groups.append(Group(shift, *ends, tuple(sound), zeros))
    return Box(tuple(groups), tuple(scrap))


def _proved(
    held: Held, job: Job, blank: BlankMeasured, shift: float, before: set[tuple[str, str, int]]
) -> tuple[Verdict, Finding | None]:
    """The verdict with the blank and the shift, and the first thing to mend that is new."""
    proof = judge(held, _with(job, blank, shift))
    new = [f for f in open_findings(proof) if _key(f) not in before]
    return proof.verdict, new[0] if new else None


def _key(finding: Finding) -> tuple[str, str, int]:
    return finding.code, finding.setup, finding.place.line if finding.place else 0


def _with(job: Job, blank: BlankMeasured, shift: float) -> Job:
    """`job` with the measured blank on the bench and its zero moved."""
    there = other_blank(job, bar=blank.diameter, length=blank.length, face=None)
    doubt = (-blank.uncertainty, blank.uncertainty)
    measured = there.blank.model_copy(update={"size_tolerance": doubt, "length_tolerance": doubt})
    there = there.model_copy(update={"blank": measured})
    return zero_moved(there, shift) if shift else there


def _limits_of(
    held: Held,
    job: Job,
    blank: BlankMeasured,
    known: dict[tuple[float, float], tuple[Limit, ...]],
) -> tuple[Limit, ...]:
    """The limits for this blank, from those of bar of its diameter at the job's length."""
    key = (blank.diameter, blank.uncertainty)
    if key not in known:
        stated = _with(job, replace(blank, length=job.blank.length), 0.0)
        cut = least_cut(job)
        # Less than the usual least cut is no reason to scrap a blank that still cleans up.
        cleaning = tuple(replace(c, slack=c.slack + cut) for c in cleanup_limits(stated))
        known[key] = (*cleaning, *program_limits(held, stated, judge(held, stated)))
    longer = blank.length - job.blank.length
    return tuple(replace(c, slack=c.slack + c.per_length * longer) for c in known[key])
