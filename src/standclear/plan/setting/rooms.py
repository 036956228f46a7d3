"""How far raw faces and jaws may still move before a program's motions are too near them.

Read off the sweeps of a held program: the room in front of a raw face ends where a place that owes
air, or the keep-out, first reaches over the face; that before the jaws where they, slid along the
axis, meet what the tools sweep. Frame: the section of one set-up, millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.job.models import Job
from standclear.job.placing import place_setups
from standclear.motions.table import Spindle
from standclear.plan.setting.changed import Rates, first_turned, is_parted, rates
from standclear.plan.setting.limits import ANY_SPLIT, SAME_MM, Limit
from standclear.plan.setting.split import least_cut
from standclear.proof.approach import Air, placed_stations
from standclear.proof.held import Held, HeldReading, reaching
from standclear.proof.judge_setup import JAW_MARGIN_MM, air_owed
from standclear.proof.result import JobProof, SetupProof
from standclear.proof.section import grow, rectangle, slide
from standclear.sweeps.areas import common, commons, less, union
from standclear.sweeps.sweep import sweep

AHEAD_MM = 25.0
"""How far in front of a raw face is looked: more than any face allowance. Our choice, no source."""
STEPS = 24
"""Halvings of a distance: from 25 mm down to under a hundredth of a micrometre."""


def program_limits(held: Held, job: Job, proof: JobProof) -> tuple[Limit, ...]:
    """What the programs of a clear job allow its raw faces and jaws, and where they stand too near
    at any split; `held` and `job` are what `proof` was judged from."""
    moves, placings = rates(job), place_setups(job)
    found: list[Limit] = []
    end = first_turned(job)
    raw_faced = {0} if end is None or is_parted(job) else {0, end}
    for k, setup in enumerate(proof.setups):
        air = air_owed(job, job.setup[k])
        margin = job.setup[k].margin.jaws
        jaw_margin = JAW_MARGIN_MM if margin is None else margin
        for reading in held.readings[k]:
            if k in raw_faced:
                seen = _seen_ahead(reading, job, setup, air)
                least = placings[k].face_cleanup_z - least_cut(job)
                found += _of_face(setup, seen, air, moves[k], least)
                found += _of_depth(setup, seen, moves[k])
            found += _of_jaws(setup, reading, jaw_margin, moves[k])
    return _tightest(found)


def _seen_ahead(reading: HeldReading, job: Job, setup: SetupProof, air: Air) -> HeldReading:
    """`reading` swept as far in front of the raw face as is looked here."""
    z_min, r_min, z_max, r_max = setup.raw.bounds
    worn = max(reading.wear, default=0.0)
    beyond = (AHEAD_MM + air.along + worn, air.across + worn)
    return reaching(reading, job, (z_min, r_min, z_max + beyond[0], r_max + beyond[1]))


def _tightest(found: list[Limit]) -> tuple[Limit, ...]:
    """Of all readings and blocks, the one limit of each kind and set-up that binds."""
    kept: dict[tuple[str, str], Limit] = {}
    for limit in sorted(found, key=lambda each: each.slack):
        kept.setdefault((limit.kind, limit.setup), limit)
    return tuple(kept.values())


def _of_face(
    setup: SetupProof, reading: HeldReading, air: Air, moves: Rates, spare: float
) -> Iterator[Limit]:
    """The face may stand out up to where something reaches over it that must not.

    The face cannot lie further in than where it still cleans up, `spare` further than it does. Who
    is too near what is left short of there (what a facing cut leaves to be finished, say) is so at
    any split, and no limit of it: that is for the program to mend.
    """
    _, _, face, radius = setup.raw.bounds
    innermost = face - max(spare, 0.0)
    slab = rectangle(0.0, face + AHEAD_MM, 0.0, radius)
    motions = reading.trace.motions
    reached: list[tuple[float, int]] = []
    at_any: list[tuple[float, int]] = []
    for motion, tool in placed_stations(reading.trace, reading.tools, setup.raw, _box(slab, air)):
        near = common(grow(tool, air.along, air.across), slab)
        if not near.is_empty:
            left = common(near, less(slab, union(reading.keep.cut.until(motion).cut)))
            if not left.is_empty:
                z = float(left.bounds[0])
                short = z < innermost - SAME_MM
                (at_any if short else reached).append((z, int(motions.block[motion])))
    for layer in reading.keep.layers:
        struck = common(grow(layer.area, layer.grow, layer.grow), slab)
        if not struck.is_empty:
            reached.append((float(struck.bounds[0]), -1))
    if reached:
        z, block = min(reached)
        line = setup.program.blocks[block].line if block >= 0 else 0
        yield Limit("air", setup.name, z - face, -moves.face_by_length, -moves.face_by_shift, line)
    if at_any:
        # The last of those equally near: the feed that starts there, not the rapid to it.
        z, back = min((z, -block) for z, block in at_any)
        yield Limit(ANY_SPLIT, setup.name, z - face, 0.0, 0.0, setup.program.blocks[-back].line)


def _of_depth(setup: SetupProof, reading: HeldReading, moves: Rates) -> Iterator[Limit]:
    """The first facing cut takes all that the face stands out further; its tool may take so much.

    Only where the first cut to meet what stands out goes across the face: one along the bar takes
    no more for a longer one.
    """
    _, _, face, radius = setup.raw.bounds
    beyond = rectangle(face, face + AHEAD_MM, 0.0, radius)
    cut = reading.keep.cut
    meets = np.flatnonzero(shapely.area(commons(cut.cut, beyond)) > 0)
    if len(meets) == 0:
        return
    motions, motion = reading.trace.motions, int(cut.cut_motion[meets[0]])
    along, across = np.abs(motions.end[motion] - motions.start[motion])
    most = reading.depth_limits[motions.tool[motion]]
    if most is None or along > across:
        return
    own = union(cut.cut[cut.cut_motion == motion])
    left = common(own, rectangle(0.0, face + AHEAD_MM, 0.0, radius))
    slack = most - (face - float(left.bounds[0]))
    line = setup.program.blocks[motions.block[motion]].line
    yield Limit("depth", setup.name, slack, -moves.face_by_length, -moves.face_by_shift, line)


def _box(slab: BaseGeometry, air: Air) -> tuple[float, float, float, float]:
    z_min, _, z_max, r_max = slab.bounds
    return (z_min - air.along, 0.0, z_max + air.along, r_max + air.across)


def _of_jaws(
    setup: SetupProof, reading: HeldReading, margin: float, moves: Rates
) -> Iterator[Limit]:
    """The jaws may come nearer up to where, with their margin, they meet what a tool sweeps."""
    standing = union([a for a in setup.obstacles.values() if not a.is_empty])
    if standing.is_empty or (moves.jaws_by_length == 0 and moves.jaws_by_shift == 0):
        return
    worn = max(reading.wear, default=0.0)
    wanted = grow(standing, worn, worn).buffer(margin)
    reach = slide(wanted, Interval(0.0, AHEAD_MM))
    motions = reading.trace.motions
    whole = replace(motions, spindle=np.full_like(motions.spindle, Spindle.STOPPED))
    z_min, r_min, z_max, r_max = reach.bounds
    swept = sweep(
        whole,
        reading.tools,
        0.0,
        (z_min, r_min, z_max, r_max),
        rapid_corner=reading.corner,
        true_outline=True,
    )
    pieces = [piece for piece in swept.strike if piece.intersects(reach)]
    if not pieces:
        return
    met = union(pieces)
    free, struck = 0.0, AHEAD_MM
    for _ in range(STEPS):
        middle = (free + struck) / 2
        if common(slide(wanted, Interval(0.0, middle)), met).area > 0:
            struck = middle
        else:
            free = middle
    yield Limit("jaws", setup.name, free, -moves.jaws_by_length, -moves.jaws_by_shift)
