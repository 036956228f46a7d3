"""Which tool in which set-up makes each surface that a size is measured at.

Frame: the finished part's own, z = 0 at its front face and negative inwards, millimetres; each
set-up's own where said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Job
from standclear.job.placing import place_setups
from standclear.plan.grip.grip import reading_of
from standclear.proof.held import Held, HeldReading
from standclear.proof.judge_setup import NOTHING_CARRIED, judge_setup
from standclear.proof.result import JobProof, SizeFound
from standclear.proof.section import rectangle
from standclear.proof.sizes import FLAT_MM
from standclear.sweeps.sweep import ON_CENTRE

NEXT_TO_MM = (0.002, 0.012)
"""How far off a surface the metal is looked for that its last cut took away: beyond the error of
the sweeps, within the thinnest finishing cut (common practice, no source)."""
ALONG_MM = 0.05
"""Half the length of surface that is looked at."""


@dataclass(frozen=True)
class Maker:
    """Who leaves a surface."""

    setup: int
    """Number of the set-up, from 0."""
    tool: int
    """Index into the tools of its trace."""
    station: int
    offset: int
    """Number of the tool's offset, wear and geometry."""
    motion: int
    own_size: bool
    """The tool makes the diameter that it has, whatever its offset: a drill or a tap."""


@dataclass(frozen=True)
class SizeMade:
    """A size with the makers of its surfaces; None where no cut leaves the surface."""

    size: SizeFound
    maker: Maker | None
    """Of the diameter, or of the face that a length goes to."""
    front: Maker | None
    """Of the face that a length is counted from; None for a diameter."""


@dataclass(frozen=True)
class _Frame:
    """One set-up: z of the part is sign * z + offset."""

    sign: float
    offset: float
    reading: HeldReading


def sizes_made(held: Held, job: Job, proof: JobProof) -> tuple[SizeMade, ...]:
    """Every size of `proof` with who makes it. `proof` must have an outcome."""
    assert proof.outcome is not None
    frames = _frames(held, job, proof)
    made = []
    for size in proof.sizes:
        if size.kind == "length":
            face = _face(proof.outcome, size.z_from, frames)
            made.append(SizeMade(size, face, _face(proof.outcome, size.z_to, frames)))
        else:
            made.append(SizeMade(size, _diameter(proof.outcome, size, frames), None))
    return tuple(made)


def front_and_back(held: Held, job: Job, proof: JobProof) -> tuple[Maker | None, Maker | None]:
    """Who makes the front face and the back face of the part."""
    assert proof.outcome is not None
    frames = _frames(held, job, proof)
    low, _, high, _ = proof.outcome.bounds
    return _face(proof.outcome, high, frames), _face(proof.outcome, low, frames)


def _frames(held: Held, job: Job, proof: JobProof) -> list[_Frame]:
    before = NOTHING_CARRIED
    frames = []
    for index, placing in enumerate(place_setups(job)):
        reading = reading_of(held, index, proof.setups[index])
        program = held.programs[job.setup[index].program]
        before = judge_setup(job, index, placing, program, reading, before).carried
        frames.append(_Frame(*before.to_part, reading))
    return frames


def _diameter(outcome: BaseGeometry, size: SizeFound, frames: Sequence[_Frame]) -> Maker | None:
    """None also where the diameter lies on a slope: there length and diameter go together."""
    z, r = size.z_from, size.found / 2
    inside = size.kind == "bore"
    side = -1.0 if inside else 1.0
    for at in (z - ALONG_MM, z + ALONG_MM):
        line = shapely.LineString([(at, -1.0), (at, 1e6)]).intersection(outcome)
        there = line.bounds[1 if inside else 3] if not line.is_empty else 0.0
        if abs(there - r) > NEXT_TO_MM[0]:
            return None
    near, far = sorted((r + side * NEXT_TO_MM[0], r + side * NEXT_TO_MM[1]))
    return _last_cut(rectangle(z - ALONG_MM, z + ALONG_MM, near, far), frames)


def _face(outcome: BaseGeometry, z: float, frames: Sequence[_Frame]) -> Maker | None:
    """Of the longest stretch of face at `z`, in its middle."""
    best = (0.0, 0.0)
    for part in shapely.get_parts(outcome):
        for (z0, r0), (z1, r1) in pairwise(shapely.get_coordinates(part)):
            if abs(z0 - z) < NEXT_TO_MM[0] and abs(z1 - z) < NEXT_TO_MM[0]:
                best = max(best, (abs(r1 - r0), (r0 + r1) / 2))
    if best[0] < FLAT_MM:
        return None
    half = min(ALONG_MM, best[0] / 4)
    open_towards = -1.0 if outcome.contains(shapely.Point(z + NEXT_TO_MM[1], best[1])) else 1.0
    near, far = sorted((z + open_towards * NEXT_TO_MM[0], z + open_towards * NEXT_TO_MM[1]))
    return _last_cut(rectangle(near, far, best[1] - half, best[1] + half), frames)


def _last_cut(beside: BaseGeometry, frames: Sequence[_Frame]) -> Maker | None:
    """Who swept the strip beside a surface last."""
    z_min, r_min, z_max, r_max = beside.bounds
    for number in range(len(frames) - 1, -1, -1):
        frame = frames[number]
        z_from, z_to = sorted(frame.sign * (z - frame.offset) for z in (z_min, z_max))
        strip = shapely.box(z_from, r_min, z_to, r_max)
        sweeps = frame.reading.keep.cut_most
        hits = shapely.area(shapely.intersection(sweeps.cut, strip)) > strip.area / 2
        if hits.any():
            motion = int(np.max(sweeps.cut_motion[hits]))
            tool = int(frame.reading.trace.motions.tool[motion])
            use = frame.reading.trace.tools[tool]
            tooling = frame.reading.tools[tool]
            own_size = tooling is not None and tooling.shape.kind in ON_CENTRE
            return Maker(number, tool, use.station, use.offset, motion, own_size)
    return None
