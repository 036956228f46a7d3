"""Which end first: what the jaws hold and how far each end can be turned, before any program.

From outline, blank and jaws alone. A turning tool fed towards the chuck can follow a profile that
only rises, so either end is turned up to the part's largest diameter, and the two cuts meet there:

    p1   where the largest diameter begins, from the face of the end turned first
    p2   where it ends
    a    how far the jaws let the first end be turned;  b  the same for the second
    band left over: length - a - b, where that is more than nothing

Frame of a set-up: its part zero at z = 0, millimetres. Nothing here proves a motion: there is none.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Finding
from standclear.interval import Interval
from standclear.job.models import Jaws, Job
from standclear.job.placing import Placing, jaws_front, place_setups
from standclear.job.setup_checks import jaws_of
from standclear.job.units import Point
from standclear.plan.grip.grip import SAME_RADIUS_MM
from standclear.proof.bench import WIDE, Metal, finished_outline, obstacles_of, raw_metal
from standclear.proof.grip import seat_findings
from standclear.proof.judge_setup import JAW_MARGIN_MM
from standclear.proof.section import rectangle, slide, surely, turned
from standclear.sweeps.areas import common, on_grid, union

SAME_MM = 1e-6
NOWHERE = Interval(0.0, 0.0)


@dataclass(frozen=True)
class HeldEnd:
    """One set-up of an order: the end that is turned in it."""

    end: str
    """`front` or `back`: of the part as its outline names them."""
    setup: str
    """Whose jaws, seat and zero are taken."""
    jaws: str
    grip: float
    """Length gripped."""
    diameter: float
    """On what diameter."""
    stick_out: float
    """Greatest, from the jaws' front to the raw face."""
    front: float
    """Z of the jaws' front, at its nearest to the tool."""
    deepest: float
    """Z down to which the tool's point may go: the jaws' margin is kept. What of the holder leads
    the point comes off it."""
    must: float
    """Z down to which this end has to be turned so that nothing is left to the other one that it
    cannot do."""
    faults: tuple[Finding, ...]
    """What the jaws cannot do: cannot seat, hold too little."""

    @property
    def over_diameter(self) -> float:
        """Stick-out over the diameter gripped."""
        return self.stick_out / self.diameter if self.diameter else float("inf")


@dataclass(frozen=True)
class Dip:
    """A groove or undercut of the outline. Z from the face of the end turned first."""

    z_from: float
    z_to: float
    diameter: float
    """The least in it."""


@dataclass(frozen=True)
class Order:
    """One order of the ends."""

    ends: tuple[HeldEnd, HeldEnd]
    band: float
    """Length left between what both ends can turn; 0 where they meet."""
    out_of_reach: float
    """Length of the part's smaller diameters that an end does not reach; 0 where all is reached."""
    dips: tuple[Dip, ...]
    """Where the outline falls on its way up from either end: no turning tool fed towards the chuck
    gets there, so grooves and undercuts are left to their own tools."""

    @property
    def first(self) -> str:
        return self.ends[0].end

    @property
    def works(self) -> bool:
        """It seats, holds, and both ends meet."""
        faults = [f for end in self.ends for f in end.faults]
        return not faults and self.band <= 0 and self.out_of_reach <= 0

    @property
    def merit(self) -> tuple[bool, int, float]:
        """Greater is better: it works; fewer faults; the least of its grips, over the stick-out
        that it has to hold."""
        holds = min(end.grip / end.stick_out for end in self.ends)
        return self.works, -sum(len(end.faults) for end in self.ends), holds


def orders_of(job: Job) -> tuple[Order, ...]:
    """Both orders, the better one first; with an end that cannot be told apart, front first.

    Empty where the job has no outline, or no jaws in its first or second set-up. The job has two
    set-ups at least, the second turned round.
    """
    if job.part.outline is None or not all(
        isinstance(jaws_of(job, setup), Jaws) for setup in job.setup[:2]
    ):
        return ()
    both = [_order(job, "front"), _order(_mirrored(job), "back")]
    return tuple(sorted(both, key=lambda order: order.merit, reverse=True))


@dataclass(frozen=True)
class JawsFront:
    """Where the jaws of a set-up end, and how deep the tool's point may go before them."""

    setup: str
    front: float
    """Z of the jaws' front, at its nearest to the tool."""
    deepest: float


def jaws_fronts(job: Job) -> tuple[JawsFront, ...]:
    """Of every set-up that has jaws."""
    found = []
    for k, placing in enumerate(place_setups(job)):
        jaws = jaws_of(job, job.setup[k])
        if isinstance(jaws, Jaws):
            front = placing.stop_plane.hi + jaws_front(jaws.profile)
            found.append(JawsFront(job.setup[k].name, front, _deepest(job, k, placing, jaws)))
    return tuple(found)


def _mirrored(job: Job) -> Job:
    """`job` with the part's ends exchanged."""
    outline = [(-job.part.length - z, d) for z, d in reversed(job.part.outline or [])]
    return job.model_copy(
        update={"part": job.part.model_copy(update={"outline": outline, "sizes": []})}
    )


def _order(job: Job, first: str) -> Order:
    placings = place_setups(job)
    jaws = [jaws_of(job, setup) for setup in job.setup[:2]]
    p1, p2 = _largest(job.part.outline or [])
    length = job.part.length
    reach = [-_deepest(job, k, placings[k], each) for k, each in enumerate(jaws)]
    second = "back" if first == "front" else "front"
    raw = raw_metal(placings[0])
    half = _half_done(job, raw, min(reach[0], p2), placings[1])
    ends = (
        _end(job, 0, first, placings[0], raw, max(p1, length - reach[1])),
        _end(job, 1, second, placings[1], half, max(length - p2, length - reach[0])),
    )
    missed = max(0.0, p1 - reach[0]) + max(0.0, length - p2 - reach[1])
    # No band is left where the largest diameter is the bar's own, left as it is.
    whole = 2 * placings[0].cleanup_radius > max(d for _, d in job.part.outline or [])
    band = max(0.0, length - reach[0] - reach[1]) if whole else 0.0
    return Order(ends, band, missed, dips_of(job.part.outline or []))


def dips_of(outline: list[Point]) -> tuple[Dip, ...]:
    """Where `outline`, from front to back, falls before its largest diameter or rises after it."""
    p1, p2 = _largest(outline)
    front = [(z, d) for z, d in outline if -z <= p1 + SAME_MM]
    back = [(z, d) for z, d in reversed(outline) if -z >= p2 - SAME_MM]
    between = [(z, d) for z, d in outline if p1 - SAME_MM <= -z <= p2 + SAME_MM]
    found = {dip for way in (front, back, between) for dip in _falls(way)}
    return tuple(sorted(found, key=lambda dip: -dip.z_from))


def _falls(way: list[Point]) -> Iterator[Dip]:
    """Stretches of `way` that lie under a diameter met before."""
    top, inside = 0.0, list[Point]()
    for z, d in way:
        if d >= top - SAME_MM:
            if inside:
                ends = sorted([z for z, _ in inside])
                yield Dip(ends[-1], ends[0], min(d for _, d in inside))
            top, inside = d, []
        else:
            inside.append((z, d))


def _largest(outline: list[Point]) -> tuple[float, float]:
    """Where the largest diameter begins and ends, counted from the first face."""
    most = max(d for _, d in outline)
    at = [-z for z, d in outline if d >= most - 1e-9]
    return min(at), max(at)


def _deepest(job: Job, index: int, placing: Placing, jaws: Jaws | str | None) -> float:
    assert isinstance(jaws, Jaws)
    margin = job.setup[index].margin.jaws
    return (
        placing.stop_plane.hi
        + jaws_front(jaws.profile)
        + (JAW_MARGIN_MM if margin is None else margin)
    )


def _half_done(job: Job, raw: Metal, reach: float, placing: Placing) -> Metal:
    """The piece after its first end, turned down as far as `reach`, as it lies in the second
    set-up."""
    finished = finished_outline(job)
    assert finished is not None and placing.mirror is not None
    done = common(finished, rectangle(-reach, 0.0, 0.0, WIDE))

    def turned_down(area: BaseGeometry) -> BaseGeometry:
        rest = common(area, rectangle(-WIDE, -reach, 0.0, WIDE))
        return turned(union([done, rest]), 0.0)

    most, least, nominal = (turned_down(area) for area in (raw.most, raw.least, raw.nominal))
    lying = [
        slide(most, placing.mirror),
        surely(least, placing.mirror),
        translate(nominal, placing.mirror.middle),
    ]
    return Metal(*on_grid(np.array(lying, dtype=object)))


def _end(job: Job, index: int, end: str, placing: Placing, metal: Metal, must: float) -> HeldEnd:
    setup = job.setup[index]
    jaws = jaws_of(job, setup)
    assert isinstance(jaws, Jaws)
    _, grip = obstacles_of(jaws, setup, placing, metal, NOWHERE)
    # With the seat in the middle of its tolerance, as the metal is taken.
    half = placing.stop_plane.width / 2
    between = common(metal.nominal, rectangle(grip.lo + half, grip.hi - half, 0.0, WIDE))
    radius = 0.0 if between.is_empty else float(between.bounds[3])
    held = common(between, rectangle(-WIDE, WIDE, radius - SAME_RADIUS_MM, WIDE))
    # What is stated was for the order of the job: here the jaws close on the metal there is.
    plain = setup.model_copy(update={"grip_diameter": None})
    front = placing.stop_plane + jaws_front(jaws.profile)
    return HeldEnd(
        end,
        setup.name,
        jaws.name,
        0.0 if held.is_empty else sum(p.bounds[2] - p.bounds[0] for p in shapely.get_parts(held)),
        2 * radius,
        float(metal.most.bounds[2]) - front.lo,
        front.hi,
        _deepest(job, index, placing, jaws),
        -must,
        seat_findings(plain, jaws, placing.stop_plane, metal, grip),
    )
