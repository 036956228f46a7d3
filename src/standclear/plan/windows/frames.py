"""How blank, faces and jaws of each set-up follow the quantity that a window shows.

The placing is all sums, so everything follows at a steady rate: it is read off the placing as it
stands and one millimetre on. Millimetres; the frame of each set-up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.job.models import Job
from standclear.job.placing import Placing, place_setups
from standclear.job.setup_checks import is_turned, same_clamping
from standclear.plan.windows.plane import Axis
from standclear.proof.bench import Metal
from standclear.proof.carry import AS_PLACED, Way, way_of
from standclear.proof.prove import other_blank
from standclear.proof.result import JobProof
from standclear.proof.section import surely, turned

RATE = 1e-6
"""A rate below this is the noise of sums of floats."""


class Across(StrEnum):
    """What a window shows across."""

    FACE = "face allowance"
    LENGTH = "blank length"


@dataclass(frozen=True)
class Varied:
    """The job with one quantity and the blank's size to choose."""

    job: Job
    across: Across
    setup: int
    """Number of the set-up whose face allowance it is; 0 for the length."""

    @property
    def stated(self) -> float:
        """The quantity as the job states it."""
        if self.across is Across.LENGTH:
            return self.job.blank.length
        return middle_face(self.job, self.setup)

    def at(self, x: float, size: float) -> Job:
        """The job at x and a blank of this size."""
        if self.across is Across.LENGTH:
            return other_blank(self.job, bar=size, length=x, face=None)
        if self.setup == 0:
            return other_blank(self.job, bar=size, length=None, face=x)
        more = x - self.stated
        zero = self.job.setup[self.setup].zero
        if zero.way == "nominal":
            changed = zero.model_copy(update={"face_allowance": (zero.face_allowance or 0) + more})
            setups = list(self.job.setup)
            setups[self.setup] = setups[self.setup].model_copy(update={"zero": changed})
            job = self.job.model_copy(update={"setup": setups})
            return other_blank(job, bar=size, length=None, face=None)
        first = middle_face(self.job, 0)
        if self.job.setup[0].zero.way == "stop":
            return other_blank(self.job, bar=size, length=None, face=first - more)
        return other_blank(self.job, bar=size, length=self.job.blank.length + more, face=None)


@dataclass(frozen=True)
class Step:
    """The way from one frame into the next: z becomes c - z where the part is turned round, z + c
    where not."""

    turned: bool
    c: Interval
    """With the quantity as stated."""
    rate: float
    """How far c moves, mm a mm of the quantity."""


@dataclass(frozen=True)
class Frame:
    """One set-up as the window's quantities move it."""

    face: Axis
    """Z of the outermost point of the raw face, by the quantity across."""
    clean_face: Axis
    """Z that the outer face must be cut down to."""
    jaws: Axis
    """How far jaws, chuck and stop slide along Z."""
    radius: Axis
    """Strike radius, by the size of the blank."""
    grip: Axis
    """Radius of the bar's own surface where jaws close on it, by the size of the blank."""
    clean_radius: Axis
    """Radius that the blank must be turned down to."""
    back: Axis
    """Z of the chuck-side end, the furthest that it lies."""
    steps: tuple[Step, ...]
    """The ways from the first frame to this."""


def middle_face(job: Job, setup: int) -> float:
    """Face allowance of a set-up when every size and zero is as stated."""
    zero = job.setup[setup].zero
    if zero.face_allowance is not None:
        return zero.face_allowance
    if setup == 0:
        return job.blank.length - (zero.from_stop or 0.0)
    placing = place_setups(job)
    return job.blank.length - middle_face(job, 0) - job.part.length if placing else 0.0


class Varying(Protocol):
    """A job with one quantity and the blank's size to choose."""

    @property
    def job(self) -> Job:
        """As stated."""
        ...

    @property
    def stated(self) -> float:
        """The quantity as the job states it."""
        ...

    def at(self, x: float, size: float) -> Job:
        """The job at x and a blank of this size. What moves is read off it, not where it is."""
        ...


def frames_of(varied: Varying, proof: JobProof) -> tuple[Frame, ...]:
    """Each set-up's frame; `proof` is that of the job as stated."""
    job, x, size = varied.job, varied.stated, varied.job.blank.size
    placed, off = place_setups(job), place_setups(varied.at(x, size))
    on, thick = place_setups(varied.at(x + 1.0, size)), place_setups(varied.at(x, size + 1.0))
    frames = []
    steps: list[Step] = []
    for k, (placing, way) in enumerate(zip(placed, _ways(job, proof, placed), strict=True)):
        if k > 0:
            rate = _rate(_way_placed(off[k]).middle, _way_placed(on[k]).middle)
            steps.append(Step(is_turned(k, job.setup[k]), way.c, rate))
        gripped = tuple(_gripped(job, k, each[k]) for each in (off, thick))
        frames.append(
            Frame(
                Axis(
                    placing.face_strike_z + way.ahead.hi,
                    _rate(off[k].face_strike_z, on[k].face_strike_z),
                    x,
                ),
                Axis(
                    placing.face_cleanup_z + way.ahead.lo,
                    _rate(off[k].face_cleanup_z, on[k].face_cleanup_z),
                    x,
                ),
                Axis(0.0, _rate(off[k].stop_plane.middle, on[k].stop_plane.middle), x),
                Axis(
                    placing.strike_radius, _rate(off[k].strike_radius, thick[k].strike_radius), size
                ),
                Axis(gripped[0], _rate(*gripped), size),
                Axis(
                    placing.cleanup_radius,
                    _rate(off[k].cleanup_radius, thick[k].cleanup_radius),
                    size,
                ),
                Axis(
                    placing.back_face.lo + way.seat.lo,
                    _rate(off[k].back_face.lo, on[k].back_face.lo),
                    x,
                ),
                tuple(steps),
            )
        )
    return tuple(frames)


def _gripped(job: Job, k: int, placing: Placing) -> float:
    """Radius of the bar where its jaws close on it."""
    if job.setup[k].on_flats and placing.flats is not None:
        return placing.flats.hi
    return placing.strike_radius


def _ways(job: Job, proof: JobProof, placings: tuple[Placing, ...]) -> Iterator[Way]:
    """The way into each set-up, faces where the cuts of the one before really leave them."""
    way = AS_PLACED
    for k, placing in enumerate(placings):
        if k > 0:
            before = proof.setups[k - 1]
            most = before.metal_after
            # What is left in mid tolerance does not count here: only the range is asked for.
            metal = Metal(most, before.metal_after_least, most)
            back = placings[k - 1].back_face
            unclamped = not same_clamping(job, k)
            way = way_of(metal, back, placing, way, unclamped=unclamped, struck=False)
        yield way


def _rate(here: float, on: float) -> float:
    return round(on - here, 6) if abs(on - here) > RATE else 0.0


def _way_placed(placing: Placing) -> Interval:
    c = placing.mirror if placing.mirror is not None else placing.shift
    assert c is not None
    return c


def carried_cut(
    area: BaseGeometry, frames: tuple[Frame, ...], of: int, to: int
) -> tuple[BaseGeometry, float]:
    """What set-up `of` surely cuts, as it surely lies in the frame of set-up `to` with the quantity
    as stated, and how far it slides there, mm a mm of the quantity."""
    rate = 0.0
    for step in frames[to].steps[of:to]:
        area = surely(turned(area, 0.0) if step.turned else area, step.c)
        rate = step.rate - rate if step.turned else rate + step.rate
    for step in reversed(frames[of].steps[to:of]):
        area = surely(turned(area, 0.0), step.c) if step.turned else surely(area, -step.c)
        rate = step.rate - rate if step.turned else rate - step.rate
    return area, rate
