"""A glance: what is known of another blank at once, while a finger drags it.

Of the full proof a glance keeps what can end in `contact`: does the blank overlap the keep-out,
does the tool meet jaws, chuck or stop. Beside that it measures the gaps. It looks for no loose
metal, no good metal, no raw skin, no depth of cut and no sizes, so it never says that a job is
clear: either it has found a strike, or it has found none and the full proof is asked for. Where
metal comes loose unforeseen, the full proof counts it as still there in the set-ups that follow; a
glance does not.

What does not depend on the blank is worked out once (`prepare`): the tool at each place that is
owed air, what is cut before, and all that tools cover.

Frame: the section (z, r) of each set-up, millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Verdict
from standclear.job.models import Jaws, Job
from standclear.job.placing import Placing, place_setups
from standclear.job.setup_checks import jaws_of, same_clamping
from standclear.motions.table import Kind, Spindle
from standclear.proof.air_findings import watch_list
from standclear.proof.approach import (
    EVERYWHERE,
    Air,
    Station,
    clearance_starts,
    in_order,
    measure,
    tools_there,
    worth_measuring,
)
from standclear.proof.bench import Metal, obstacles_of
from standclear.proof.facts import Scene
from standclear.proof.held import Held, HeldReading, contact_limit, reaches, reaching
from standclear.proof.judge_setup import (
    JAW_MARGIN_MM,
    NOTHING_CARRIED,
    Carried,
    air_owed,
    obstacle_strikes,
    on_the_bench,
    room_of,
)
from standclear.proof.keep_out import KeepOut
from standclear.proof.obstacles import Encounter, encounters
from standclear.proof.prove import handed_on
from standclear.proof.result import SetupProof, Strike
from standclear.proof.section import grow
from standclear.proof.strikes import find_strikes
from standclear.sweeps.areas import common, less, union
from standclear.sweeps.sweep import sweep

MEASURED = 4
"""Places of a set-up whose gaps are measured: the nearest ones, in both directions."""
Spot = tuple[int, bool]
"""A motion, and whether the tool stands at its start or goes its whole way."""


@dataclass(frozen=True)
class Prepared:
    """One reading with what a glance needs of it, whatever the blank."""

    held: HeldReading
    """As it was held: for blanks within its reach the proof works with this one."""
    far: HeldReading
    """The same with its keep-out known further out."""
    tools: dict[Spot, BaseGeometry]
    """The tool, full outline, wherever it may be owed air."""
    cut_before: dict[int, BaseGeometry]
    """By motion of `tools` what all motions before it cut."""
    covered: BaseGeometry
    """All that the tools cover in all motions, full outline."""
    followed_cut: tuple[BaseGeometry, BaseGeometry]
    """What is cut before anything that could not be followed, by `held` and by `far`."""
    unproven_from: int
    """Number of the first motion that could not be followed; the count of motions where none."""
    outlines: dict[int, dict[int, BaseGeometry]] = field(default_factory=dict)
    """For each keep-out, by its id, what `find_strikes` has swept of motions that struck before."""


Ready = tuple[tuple[Prepared, ...], ...]
"""For each set-up its readings."""


@dataclass(frozen=True)
class Glance:
    """What a glance has found."""

    struck: bool
    """A strike is found; False says only that none is found."""
    setups: tuple[SetupProof, ...]
    """`contact` where the set-up strikes, else `unproven`: the full proof has not been asked. The
    metal after is what is left when nothing falls."""


def can_glance(job: Job) -> bool:
    """False where metal falls in a set-up: what goes on is then known to the full proof alone."""
    return not any(setup.falls_at for setup in job.setup)


def prepare(held: Held, job: Job, size: float, length: float) -> Ready:
    """Every reading of every set-up, with the keep-out known for blanks up to `size` mm across and
    `length` mm long."""
    update = {"size": max(size, job.blank.size), "length": max(length, job.blank.length)}
    largest = job.model_copy(update={"blank": job.blank.model_copy(update=update)})
    readings = []
    for index, placing in enumerate(place_setups(largest)):
        air = air_owed(job, job.setup[index])
        raw = shapely.box(placing.back_face.lo, 0.0, placing.face_strike_z, placing.strike_radius)
        readings.append(
            tuple(
                _prepared(each, reaching(each, job, room_of(raw, air, max(each.wear, default=0.0))))
                for each in held.readings[index]
            )
        )
    return tuple(readings)


def glance(held: Held, ready: Ready, job: Job) -> Glance:
    """What is known at once of the blank, the zeros and the jaws of `job`."""
    before = NOTHING_CARRIED
    found: list[SetupProof] = []
    for index, placing in enumerate(place_setups(job)):
        looked = [_look(held, job, index, placing, each, before) for each in ready[index]]
        found.append(max((proof for proof, _ in looked), key=lambda p: p.verdict.rank))
        before = handed_on([carried for _, carried in looked])
    return Glance(any(p.verdict is Verdict.CONTACT for p in found), tuple(found))


def _prepared(held: HeldReading, far: HeldReading) -> Prepared:
    trace, keep = far.trace, far.keep
    motions = trace.motions
    rapids = np.flatnonzero(motions.kind == Kind.RAPID).tolist()
    # Which of the rapids are approaches is the blank's affair; so every one is placed.
    spots = sorted([*((m, True) for m in clearance_starts(motions)), *((m, False) for m in rapids)])
    placed = tools_there(motions, far.tools, spots, EVERYWHERE)
    cut_before: dict[int, BaseGeometry] = {}
    done, total = 0, shapely.Polygon()
    for motion in sorted({motion for motion, _ in spots}):
        until = int(np.searchsorted(keep.cut.cut_motion, motion))
        if until > done:
            total = union([total, *keep.cut.cut[done:until]])
            done = until
        cut_before[motion] = total
    stopped = [f.motion for f in trace.findings if f.unproven]
    unproven_from = max(min([*stopped, len(motions)]), 0)
    whole = replace(motions, spindle=np.full_like(motions.spindle, Spindle.STOPPED))
    full = sweep(
        whole,
        far.tools,
        0.0,
        EVERYWHERE,
        rapid_corner=far.corner,
        true_outline=True,
    )
    covered = union(full.strike)
    shapely.prepare(covered)
    return Prepared(
        held,
        far,
        dict(zip(spots, placed, strict=True)),
        cut_before,
        covered,
        (_followed(held.keep, unproven_from), _followed(keep, unproven_from)),
        unproven_from,
    )


def _followed(keep: KeepOut, until: int) -> BaseGeometry:
    return keep.surely_cut if until >= keep.cut.count else union(keep.cut.until(until).cut)


def _look(
    held: Held, job: Job, index: int, placing: Placing, ready: Prepared, before: Carried
) -> tuple[SetupProof, Carried]:
    setup = job.setup[index]
    unclamped = index > 0 and not same_clamping(job, index)
    metal, raw, clean, to_part, way = on_the_bench(placing, before, unclamped=unclamped)
    jaws = jaws_of(job, setup)
    assert jaws is None or isinstance(jaws, Jaws)
    moved = way.ahead if setup.seat.on == "stick-out" else way.seat
    obstacles, _ = obstacles_of(jaws, setup, placing, metal, moved)
    air = air_owed(job, setup)
    room = room_of(metal.most, air, max(ready.held.wear, default=0.0))
    near = reaches(ready.held, room)
    reading = ready.held if near else reaching(ready.far, job, room)
    keep, trace = reading.keep, reading.trace
    followed_cut = ready.followed_cut[0 if near else 1]
    if reading is not (ready.held if near else ready.far):
        followed_cut = _followed(keep, ready.unproven_from)
    rest = Metal(
        less(metal.most, followed_cut),
        less(metal.least, keep.most_cut),
        less(metal.nominal, keep.surely_cut),
    )
    strikes = _strikes(ready, reading, metal.most)
    jaw_margin = JAW_MARGIN_MM if setup.margin.jaws is None else setup.margin.jaws
    met = _met(ready, reading, obstacles, jaw_margin, contact_limit(job))
    numbers = [s.motion for s in strikes] + [e.motion for e in met if e.strikes]
    contact = any(number < ready.unproven_from for number in numbers)
    program = held.programs[setup.program]
    scene = Scene(setup.name, program, trace, ready.unproven_from)
    watched = watch_list(scene, _stations(ready, metal.most, raw, air), reading.names)
    verdict = Verdict.CONTACT if contact else Verdict.UNPROVEN
    proof = SetupProof(
        setup.name,
        verdict,
        program,
        trace,
        raw,
        metal.most,
        rest.most,
        rest.least,
        None,
        obstacles,
        keep.areas,
        keep.reach,
        (*strikes, *obstacle_strikes(met)),
        watched,
        tuple(
            shapely.Polygon(t.shape.outer) if t is not None else shapely.Polygon()
            for t in reading.tools
        ),
    )
    unproven = before.unproven or ready.unproven_from < len(trace.motions)
    carried = Carried(
        rest,
        raw,
        clean,
        to_part,
        placing.back_face,
        way,
        before.struck or contact,
        unproven,
    )
    return proof, carried


def _strikes(ready: Prepared, reading: HeldReading, metal: BaseGeometry) -> tuple[Strike, ...]:
    """As the full proof finds them; at once none where the blank is clear of every layer."""
    for layer in reading.keep.layers:
        if common(grow(metal, layer.grow, layer.grow), layer.area).area > 0:
            outlines: dict[int, BaseGeometry] = {}
            if reading is ready.held or reading is ready.far:
                outlines = ready.outlines.setdefault(id(reading.keep), outlines)
            motions = reading.trace.motions
            return find_strikes(reading.keep, metal, motions, reading.tools, outlines)
    return ()


def _met(
    ready: Prepared,
    reading: HeldReading,
    obstacles: dict[str, BaseGeometry],
    margin: float,
    limit: float,
) -> tuple[Encounter, ...]:
    """As the full proof finds them; at once none where nothing that tools cover comes near."""
    wide = margin + max(reading.wear, default=0.0) * 2
    solid = [area for area in obstacles.values() if not area.is_empty]
    if not solid or float(shapely.distance(ready.covered, solid).min()) > wide:
        return ()
    motions = reading.trace.motions
    return encounters(
        motions, reading.tools, reading.wear, obstacles, margin, limit, reading.corner
    )


def _stations(
    ready: Prepared, metal: BaseGeometry, raw: BaseGeometry, air: Air
) -> tuple[Station, ...]:
    """Gaps at the nearest of the places and ways that are owed air, against what is left there."""
    motions = ready.far.trace.motions
    spots = in_order(motions, raw)
    if not spots or metal.is_empty:
        return ()
    placed = [ready.tools[spot] for spot in spots]
    near = np.flatnonzero(worth_measuring(placed, metal, motions, spots, air))
    left = {k: less(metal, ready.cut_before[spots[k][0]]) for k in near.tolist()}
    far = {
        k: placed[k].distance(each)
        for k, each in left.items()
        if not each.is_empty and not placed[k].is_empty
    }
    found = []
    for k in sorted(sorted(far, key=lambda k: far[k])[:MEASURED]):
        motion, starts = spots[k]
        gap = measure(placed[k], left[k])
        found.append(Station(motion, -1, starts, gap, gap.nearest == 0.0, False, left[k]))
    return tuple(found)
