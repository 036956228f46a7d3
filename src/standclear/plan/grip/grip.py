"""What the jaws hold in each set-up, how near the tool comes to them, and the bore to make.

Frame of a set-up: its part zero at z = 0, + away from the spindle, millimetres. 'From the jaws'
front' counts into the jaws.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Place
from standclear.interval import Interval
from standclear.job.models import Jaws, Job, Setup
from standclear.job.placing import Placing, jaws_front, place_setups
from standclear.job.setup_checks import is_turned, jaws_of
from standclear.job.tolerances import without_tolerances
from standclear.plan.grip.clearance import nearest_to
from standclear.proof.bench import WIDE
from standclear.proof.held import Held, HeldReading
from standclear.proof.result import JobProof, SetupProof
from standclear.proof.section import rectangle
from standclear.proof.section import turned as turned_round
from standclear.sweeps.areas import common, thickness

PRACTICE = "common practice, no source"
MOST_OVERHANG = 3.0
"""Stick-out over diameter, held in the chuck alone; common practice, no source."""
LEAST_OF_STICK_OUT = 1 / 3
"""Least length gripped over stick-out; common practice, no source."""
LEAST_OF_DIAMETER = 0.5
"""Least length gripped over diameter; common practice, no source."""
LEAST_GRIP_MM = 6.0
"""Least length gripped in jaws of full depth; common practice, no source."""
SAME_RADIUS_MM = 0.002
"""What a surface may lie under the largest radius between the jaws and still be held: sections are
known within 0.001 mm a side. More would count the foot of a chamfer as held."""
GIVES_WAY_MM = 0.005
"""What stands over the surface held by no more than this gives way, or is not there: where an arc
runs into a cylinder the section may stand a little proud of both. The contact limit."""
FLAT_MM = 1e-6
"""How far the ends of a stretch along the axis may differ on radius."""
ALONG_MM = 0.01
"""A stretch of a surface shorter than this holds nothing: it is rounding. Our choice."""


@dataclass(frozen=True)
class DeepestPass:
    """The motion that comes nearest to jaws, chuck or stop."""

    motion: int
    place: Place | None
    against: str
    gap: float
    """Real distance, mm, at every corner of the tolerances; 0 where it touches."""


@dataclass(frozen=True)
class SoftJaws:
    """What to bore where the jaws hold a turned diameter. Millimetres."""

    diameter: float
    """Of the bore: that of the metal it is to hold."""
    depth: float
    """From the jaws' front to the face that the part seats on; where nothing seats, to the end of
    the metal."""
    land: float
    """Length of the gripping surface from the jaws' front."""
    seats: bool
    """A stop or a step of the jaws ends the bore; else the depth is only the least."""


@dataclass(frozen=True)
class Warn:
    """A usual limit of the trade that the set-up leaves. `found` and `limit` are lengths in mm, or
    ratios (`ratio`)."""

    what: str
    found: float
    limit: float
    ratio: bool
    source: str = PRACTICE


@dataclass(frozen=True)
class Grip:
    """How one set-up holds the part. Millimetres."""

    setup: str
    jaws: str
    """Their name; empty where they have none."""
    diameter: float
    """Of the metal that the jaws close on: of raw bar its size in mid tolerance, across flats where
    it has any; 0 where there is no metal between the jaws."""
    turned: bool
    """The metal held has been turned; else it is the raw bar."""
    flats: bool
    """It is raw bar with flats, which jaws close on as a rule."""
    on_flats: bool
    """The job says that they do; else the proof takes them on the corners too."""
    length: Interval
    """Along the axis on which jaws and that diameter meet, over the tolerances."""
    front_z: Interval
    """Z of the jaws' front."""
    stick_out: float
    """Greatest, from the jaws' front to the outer face."""
    over_diameter: float
    """Stick-out over the diameter gripped."""
    stop_to_zero: float | None
    """From the seat (stop or step) to part zero; None where nothing seats."""
    deepest: DeepestPass | None
    """None where no motion comes within reach of the jaws."""
    soft: SoftJaws | None
    """None where the raw bar is held."""
    warnings: tuple[Warn, ...]


def grip_of(held: Held, job: Job, proof: JobProof) -> tuple[Grip, ...]:
    """How every set-up of `job` holds the part, in order; set-ups without jaws are left out.

    `held` and `job` are what `proof` was judged from.
    """
    found = []
    for index, placing in enumerate(place_setups(job)):
        jaws = jaws_of(job, job.setup[index])
        if isinstance(jaws, Jaws):
            setup = proof.setups[index]
            before = proof.setups[index - 1] if index else None
            reading = reading_of(held, index, setup)
            found.append(_one(job, index, jaws, placing, setup, before, reading))
    return tuple(found)


def reading_of(held: Held, index: int, setup: SetupProof) -> HeldReading:
    """The reading of set-up number `index` that `setup` answers for."""
    readings = held.readings[index]
    return next((r for r in readings if r.trace is setup.trace), readings[0])


def _one(
    job: Job,
    index: int,
    jaws: Jaws,
    placing: Placing,
    proof: SetupProof,
    before: SetupProof | None,
    reading: HeldReading,
) -> Grip:
    setup = job.setup[index]
    front = jaws_front(jaws.profile)
    stop = _stop_plane(jaws, proof)
    held = _gripping(jaws)
    land = Interval(stop.middle + held.lo, stop.middle + held.hi)
    seats = setup.seat.on != "stick-out"
    step = jaws.steps[setup.seat.step] if setup.seat.on == "step" else 0.0
    metal, least = proof.metal_before, proof.metal_before
    if before is not None and is_turned(index, setup) and seats:
        # It seats by the face it has, wherever its zero lies: what the error of the zero slides in
        # the section is not gripped.
        seat = stop.middle + step
        metal, least = (
            _seated(metal, seat),
            _seated(turned_round(before.metal_after_least, 0.0), seat),
        )
    radius, gripped = _between(metal, land)
    _, surely = _between(least, land)
    length = Interval(max(0.0, min(surely, gripped - _slack(job, index, setup))), gripped)
    front_z = stop + front
    stick_out = float(proof.metal_before.bounds[2]) - (stop.lo + front)
    turned = index > 0 and radius < placing.cleanup_radius + placing.skin - ALONG_MM
    soft = None
    if turned:
        inner = front - step if seats else front - held.lo
        soft = SoftJaws(2 * radius, inner, min(front - held.lo, inner), seats)
    diameter = 2 * radius if turned else _bar(job)
    over = stick_out / diameter if radius else float("inf")
    return Grip(
        setup.name,
        jaws.name,
        diameter if radius else 0.0,
        turned,
        not turned and job.blank.shape in ("hexagon", "square"),
        setup.on_flats,
        length,
        front_z,
        stick_out,
        over,
        -(_as_stated(job, index) + step) if seats else None,
        _deepest(proof, reading),
        soft,
        tuple(_warnings(length.lo, stick_out, diameter if radius else 0.0)),
    )


def _seated(metal: BaseGeometry, seat: float) -> BaseGeometry:
    """`metal` with its chuck-side face at z = `seat`."""
    return metal if metal.is_empty else translate(metal, seat - metal.bounds[0])


def _between(metal: BaseGeometry, land: Interval) -> tuple[float, float]:
    """Radius of `metal` that the jaws close on, and the length of it that they grip."""
    between = common(metal, rectangle(land.lo, land.hi, 0.0, WIDE))
    if between.is_empty:
        return 0.0, 0.0
    radius = _closed_on(between)
    held = common(between, rectangle(land.lo, land.hi, radius - SAME_RADIUS_MM, WIDE))
    return radius, _length(held)


def _closed_on(between: BaseGeometry) -> float:
    """Radius of the longest cylinder that ends no further than `GIVES_WAY_MM` below the highest
    spot; of that spot where there is none."""
    highest = float(between.bounds[3])
    longest, radius = ALONG_MM, highest
    for part in shapely.get_parts(between):
        if part.geom_type != "Polygon":
            continue
        for (z0, r0), (z1, r1) in pairwise(shapely.get_coordinates(part.exterior).tolist()):
            flat = abs(r1 - r0) < FLAT_MM and min(r0, r1) >= highest - GIVES_WAY_MM
            if flat and abs(z1 - z0) > longest:
                longest, radius = abs(z1 - z0), max(r0, r1)
    return radius


def _as_stated(job: Job, index: int) -> float:
    """Z of the stop plane with every size and zero as stated."""
    return place_setups(without_tolerances(job))[index].stop_plane.middle


def _stop_plane(jaws: Jaws, proof: SetupProof) -> Interval:
    """Z of the jaws' stop plane as the proof placed them: it slid the profile over this range."""
    z_min, _, z_max, _ = proof.obstacles["jaws"].bounds
    along = [z for z, _ in jaws.profile]
    low, high = z_min - min(along), z_max - max(along)
    return Interval(min(low, high), max(low, high))


def _gripping(jaws: Jaws) -> Interval:
    """Z, from the stop plane, between which the jaws' profile grips."""
    surface = [z for z, h in jaws.profile if abs(h) < 1e-9] or [z for z, _ in jaws.profile]
    return Interval(min(surface), max(surface))


def _bar(job: Job) -> float:
    low, high = job.blank.size_tolerance
    return job.blank.size + (low + high) / 2


def _slack(job: Job, index: int, setup: Setup) -> float:
    """By how much less may be gripped than in the set-up with the most metal."""
    blank = job.blank
    lean = (blank.out_of_square or 0.0) if index == 0 or not is_turned(index, setup) else 0.0
    if setup.seat.on != "stick-out":
        return lean
    saw = blank.length_tolerance[1] - blank.length_tolerance[0]
    return lean + saw + 2 * setup.seat.error


def _length(area: shapely.Geometry) -> float:
    parts = [p for p in shapely.get_parts(area) if not p.is_empty and thickness(p) > 0]
    total = float(sum(p.bounds[2] - p.bounds[0] for p in parts))
    return total if total > ALONG_MM else 0.0


def _deepest(proof: SetupProof, reading: HeldReading) -> DeepestPass | None:
    near = nearest_to(proof.obstacles, reading)
    if near is None:
        return None
    motion, against, gap = near
    block = int(reading.trace.motions.block[motion])
    place = None
    if block >= 0:
        at = proof.program.blocks[block]
        column = at.words[0].column if at.words else 1
        name = at.file or proof.program.name
        place = Place(name, block, at.line, column, at.shown, bool(at.file))
    return DeepestPass(motion, place, against, gap)


def _warnings(length: float, stick_out: float, diameter: float) -> Iterator[Warn]:
    if length < LEAST_GRIP_MM:
        yield Warn("length gripped", length, LEAST_GRIP_MM, ratio=False)
    if diameter <= 0:
        return
    if stick_out / diameter > MOST_OVERHANG:
        yield Warn("stick-out over diameter", stick_out / diameter, MOST_OVERHANG, ratio=True)
    # The trade has two rules of thumb here; a grip that keeps either of them is not warned of.
    wanted = min(stick_out * LEAST_OF_STICK_OUT, diameter * LEAST_OF_DIAMETER)
    if LEAST_GRIP_MM <= length < wanted:
        yield Warn("length gripped", length, wanted, ratio=False)
