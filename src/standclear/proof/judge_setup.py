"""One set-up, one reading of its program, one blank: the verdict and everything found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.blocks.program import Program
from standclear.findings.finding import Finding, Severity, Verdict
from standclear.interval import Interval
from standclear.job.models import Job, Machine, Setup
from standclear.job.placing import Placing
from standclear.job.setup_checks import jaws_of, same_clamping
from standclear.proof.air_findings import air_findings, watch_list
from standclear.proof.approach import Air, stations
from standclear.proof.bench import (
    WIDE,
    Metal,
    clean_outline,
    finished_outline,
    obstacles_of,
    raw_metal,
)
from standclear.proof.carry import AS_PLACED, NOWHERE, Way, carried, moved_by_way, way_of
from standclear.proof.facts import Scene, obstacle_findings, strike_findings
from standclear.proof.grip import seat_findings
from standclear.proof.held import HeldReading, contact_limit, reaching
from standclear.proof.length_finding import varying_length
from standclear.proof.metal_findings import (
    OTHER_END,
    burr_finding,
    good_metal_findings,
    loose_finding,
    raw_findings,
    thin_neck_finding,
    too_deep_findings,
)
from standclear.proof.neck import hangs_by_less
from standclear.proof.nose_findings import nose_findings
from standclear.proof.obstacles import Encounter, encounters
from standclear.proof.result import Part as StruckPart
from standclear.proof.result import SetupProof, Strike
from standclear.proof.section import rectangle, slide, turned
from standclear.proof.shares import Loosened, Shares, first_loosened
from standclear.proof.sizes import allowed_under, finished_columns
from standclear.proof.skin import NEITHER, Cleaned, Where, raw_left
from standclear.proof.strikes import find_strikes
from standclear.proof.thread_findings import (
    deep_pass_findings,
    held_thread_findings,
    run_in_findings,
    threaded,
)
from standclear.proof.way_home import ways_that_strike
from standclear.sweeps.areas import EMPTY, common, less, union
from standclear.sweeps.sweep import Sweeps

MARGIN_MM = 2.5
MARGIN_INCH_MM = 2.54
"""Margin of clearance points, X on diameter and Z: 2.5 mm or 0.100 in; common practice, no
source."""
JAW_MARGIN_MM = 1.0
"""Common practice, no source."""


@dataclass(frozen=True)
class Carried:
    """What one set-up hands to the next."""

    metal: Metal | None
    """None before the first."""
    raw: BaseGeometry | None
    clean: BaseGeometry | None
    """Raw outline less skin of the smallest blank."""
    to_part: tuple[float, float]
    """(sign, offset): z in the finished part's frame is sign * z + offset, zeros in mid
    tolerance."""
    back_face: Interval
    """Where the placing has the chuck-side face."""
    way: Way
    """The way into this set-up."""
    struck: bool
    unproven: bool
    threads: BaseGeometry = EMPTY
    """Metal that a groove winds through."""
    cleaned: Cleaned = NEITHER


NOTHING_CARRIED = Carried(
    None, None, None, (1.0, 0.0), NOWHERE, AS_PLACED, struck=False, unproven=False
)


@dataclass(frozen=True)
class Outcome:
    """A judged reading."""

    proof: SetupProof
    findings: tuple[Finding, ...]
    carried: Carried


def judge_setup(
    job: Job,
    index: int,
    placing: Placing,
    program: Program,
    held: HeldReading,
    before: Carried,
) -> Outcome:
    """Judge one reading of set-up number `index` on what `before` hands over."""
    setup = job.setup[index]
    unclamped = index > 0 and not same_clamping(job, index)
    metal, raw, clean, to_part, way = on_the_bench(placing, before, unclamped=unclamped)
    jaws = jaws_of(job, setup)
    assert not isinstance(jaws, str)
    moved = way.ahead if setup.seat.on == "stick-out" else way.seat
    obstacles, grip = obstacles_of(jaws, setup, placing, metal, moved)
    finished = _finished(job, to_part)
    air = air_owed(job, setup)
    held = reaching(held, job, room_of(metal.most, air, max(held.wear, default=0.0)))
    motions, keep = held.trace.motions, held.keep

    seat: tuple[Finding, ...] = ()
    if not before.struck:
        stop = placing.stop_plane + moved
        seat = seat_findings(setup, jaws, stop, metal, grip, placing.flats)
    threads = moved_by_way(before.threads, placing, way)
    if unclamped and not before.struck and jaws is not None:
        seat += held_thread_findings(setup, threads, metal.nominal, grip)
    shares = keep.first_cuts_most.of(metal.least)
    loosened, falls, burr = _loosened(
        setup, program, held, metal.least, (keep.most_cut, shares), grip
    )
    most_shares = shares
    if keep.cut is not keep.cut_most or not metal.most.equals(metal.least):
        # A longer or thicker blank may leave standing what the tools do not reach: it too comes
        # loose.
        most_shares = keep.first_cuts.of(metal.most)
        if loosened is None:
            loosened, _, _ = _loosened(
                setup, program, held, metal.most, (keep.surely_cut, most_shares), grip
            )
    if before.struck:
        # Metal struck and left standing may hang on nothing; the strike before is the answer.
        loosened = None
    least_left = less(metal.least, keep.most_cut)
    thin = hangs_by_less(least_left, grip, job.part.least_neck)
    stopped = [f.motion for f in held.trace.findings if f.unproven]
    if loosened is not None:
        stopped.append(loosened.motion + 1)
    unproven_from = max(min([*stopped, len(motions)]), 0)
    # A part that cannot sit there lies elsewhere than where its metal was judged.
    followed = not stopped and thin.is_empty and not any(f.unproven for f in seat)
    scene = Scene(setup.name, program, held.trace, unproven_from)

    strikes = _strikes(held, metal.most, falls)
    jaw_margin = JAW_MARGIN_MM if setup.margin.jaws is None else setup.margin.jaws
    met = encounters(
        motions, held.tools, held.wear, obstacles, jaw_margin, contact_limit(job), held.corner
    )
    found = stations(held.trace, held.places, keep.cut, metal.most, raw, air, contact_limit(job))

    followed_cut = (
        keep.surely_cut
        if unproven_from == len(motions)
        else union(keep.cut.until(unproven_from).cut)
    )
    rest = Metal(
        less(metal.most, followed_cut),
        least_left,
        less(metal.nominal, keep.surely_cut),
    )
    part = _part_of(rest, falls, job, to_part)

    findings = [
        *seat,
        *(replace(f, setup=setup.name) for f in held.trace.findings),
        *strike_findings(scene, strikes, ways_that_strike(job, motions, held.tools, strikes)),
        *obstacle_findings(scene, met, jaw_margin),
        *air_findings(scene, found, air),
        *_too_deep(scene, held, most_shares),
        *run_in_findings(scene, metal.most, keep.cut),
        *deep_pass_findings(scene, metal.most, keep.cut, held.tools, held.depth_limits, held.names),
        *(loose_finding(scene, f, falls=True) for f in falls),
    ]
    if not before.struck:
        cut = keep.cut_most
        findings += _good_metal(scene, job, index, placing, cut, finished, metal, clean, part.most)
    if loosened is not None and not any(s.motion <= loosened.motion for s in strikes):
        findings.append(loose_finding(scene, loosened, falls=False))
    elif burr is not None:
        findings.append(burr_finding(scene, burr))
    if loosened is None and not thin.is_empty:
        findings.append(thin_neck_finding(scene, thin, job.part.least_neck))
    findings += nose_findings(scene, rest.nominal, keep.surely_cut, _nosed(job, held))
    if before.unproven or before.struck:
        findings.append(_metal_unproven(setup))
    skin = raw_left(part.most, raw, clean, placing.skin, finished)
    surely = unproven_from == len(motions) and not before.unproven
    cleaned = before.cleaned.turned_round() if placing.mirror is not None else before.cleaned
    skin = cleaned.without(skin)
    if surely and not before.struck:
        cleaned = cleaned.after(skin)
    if index == len(job.setup) - 1:
        if job.blank.flats_stay:
            skin = tuple(s for s in skin if s.where not in (Where.DIAMETER, Where.BAND))
        findings.extend(raw_findings(setup.name, skin, surely=surely))
        findings.extend(varying_length(job))

    verdict = _verdict(strikes, met, unproven_from, followed)
    threads = union([threads, threaded(motions, held.tools, rest.nominal)])
    proof = SetupProof(
        setup.name,
        verdict,
        program,
        held.trace,
        raw,
        metal.most,
        part.most,
        part.least,
        finished,
        obstacles,
        keep.areas,
        keep.reach,
        (*strikes, *obstacle_strikes(met)),
        watch_list(scene, found, held.names),
        tuple(
            shapely.Polygon(t.shape.outer) if t is not None else shapely.Polygon()
            for t in held.tools
        ),
        threads,
    )
    unproven = before.unproven or not followed
    struck = before.struck or verdict is Verdict.CONTACT
    hands_over = Carried(
        part, raw, clean, to_part, placing.back_face, way, struck, unproven, threads, cleaned
    )
    return Outcome(proof, tuple(findings), hands_over)


def on_the_bench(
    placing: Placing, before: Carried, *, unclamped: bool
) -> tuple[Metal, BaseGeometry, BaseGeometry, tuple[float, float], Way]:
    """Metal, raw outline, clean outline and the way to the part's frame, in this set-up's; and the
    way by which the part got here."""
    sign, offset = before.to_part
    if before.metal is None or before.raw is None or before.clean is None:
        metal = raw_metal(placing)
        return metal, metal.most, clean_outline(placing), (sign, offset), AS_PLACED
    way = way_of(
        before.metal,
        before.back_face,
        placing,
        before.way,
        unclamped=unclamped,
        struck=before.struck,
    )
    metal = carried(before.metal, placing, way)
    outlines = carried(Metal(before.raw, before.clean, before.clean), placing, way)
    if placing.mirror is not None:
        to_part = (-sign, sign * way.nominal + offset)
    else:
        to_part = (sign, offset - sign * way.nominal)
    return metal, outlines.most, outlines.least, to_part, way


def in_part_frame(area: BaseGeometry, to_part: tuple[float, float]) -> BaseGeometry:
    """`area` of a set-up in the finished part's frame."""
    sign, offset = to_part
    return translate(area, offset) if sign > 0 else turned(area, offset)


def _finished(job: Job, to_part: tuple[float, float]) -> BaseGeometry | None:
    """The finished outline in this set-up's frame, zeros in mid tolerance."""
    outline = finished_outline(job)
    if outline is None:
        return None
    sign, offset = to_part
    return translate(outline, -offset) if sign > 0 else turned(outline, offset)


def air_owed(job: Job, setup: Setup) -> Air:
    """The margins of a set-up's clearance points and approaches, mm."""
    default = MARGIN_INCH_MM if job.units == "inch" else MARGIN_MM
    x = default if setup.margin.x is None else setup.margin.x
    z = default if setup.margin.z is None else setup.margin.z
    return Air(across=x / 2, along=z)


def room_of(metal: BaseGeometry, air: Air, wear: float) -> tuple[float, float, float, float]:
    """The box in which the keep-out must be known: the metal with the air it is owed, grown by
    wear."""
    if metal.is_empty:
        return (0.0, 0.0, 0.0, 0.0)
    z_min, _, z_max, r_max = metal.bounds
    along, across = air.along + wear, air.across + wear
    return (z_min - along, 0.0, z_max + along, r_max + across)


def _too_deep(scene: Scene, held: HeldReading, shares: Shares) -> tuple[Finding, ...]:
    """Cuts deeper than their tools may take; `shares` of the most metal there may be."""
    if not any(held.depth_limits):
        return ()
    return too_deep_findings(scene, shares, held.depth_limits, held.names)


def _nosed(job: Job, held: HeldReading) -> tuple[bool, ...]:
    """By tool of the trace: it has a nose, and the program moves the tip that it makes."""
    assert isinstance(job.machine, Machine)
    tip = job.machine.control.controlled_point == "tip"
    return tuple(tip and t is not None and t.shape.nose_radius_mm > 0 for t in held.tools)


def _loosened(
    setup: Setup,
    program: Program,
    held: HeldReading,
    left: BaseGeometry,
    cuts: tuple[BaseGeometry, Shares],
    grip: Interval,
) -> tuple[Loosened | None, list[Loosened], Loosened | None]:
    """The first metal that comes loose and does not fall by the job's word, all that falls, and
    the first burr. `left` is the metal, `cuts` all that is cut and what each motion takes of it."""
    all_cut, shares = cuts
    begin = 0
    falls: list[Loosened] = []
    while True:
        loosened, burr = first_loosened(less(left, all_cut), shares, grip, begin)
        if loosened is None:
            return None, falls, burr
        block = int(held.trace.motions.block[loosened.motion])
        at = program.blocks[block] if block >= 0 else None
        if at is None or at.file or at.line not in setup.falls_at:
            return loosened, falls, burr
        falls.append(loosened)
        left = less(left, loosened.area)
        shares = shares.of(left)
        begin = loosened.motion + 1


def _strikes(
    held: HeldReading, metal: BaseGeometry, falls: Sequence[Loosened]
) -> tuple[Strike, ...]:
    """Strikes before, between and after the falls, each on the metal that is there."""
    found: list[Strike] = []
    begin = 0
    for fall in [*falls, None]:
        end = len(held.trace.motions) if fall is None else fall.motion + 1
        strikes = find_strikes(held.keep, metal, held.trace.motions, held.tools)
        found.extend(s for s in strikes if begin <= s.motion < end)
        if fall is not None:
            metal, begin = less(metal, fall.area), end
    return tuple(found)


def _part_of(
    rest: Metal, falls: Sequence[Loosened], job: Job, to_part: tuple[float, float]
) -> Metal:
    """The metal that goes on: what stays in the chuck, or a piece that fell if it is the part."""
    if not falls:
        return rest
    part_zone = rectangle(-job.part.length, 0.0, 0.0, WIDE)
    pieces = [less(rest.most, union(f.area for f in falls))]
    pieces += [f.area for f in falls]
    most = [common(in_part_frame(p, to_part), part_zone).area for p in pieces]
    keep = pieces[most.index(max(most))]
    return Metal(common(rest.most, keep), common(rest.least, keep), common(rest.nominal, keep))


def _good_metal(
    scene: Scene,
    job: Job,
    index: int,
    placing: Placing,
    cut: Sweeps,
    finished: BaseGeometry | None,
    metal: Metal,
    clean: BaseGeometry,
    left: BaseGeometry,
) -> tuple[Finding, ...]:
    allowed = allowed_under(job.part) + (placing.mirror.width / 2 if placing.mirror else 0.0)
    if finished is not None:
        whose = "the finished outline"
    elif index > 0:
        finished, whose = finished_columns(metal.most, clean), OTHER_END
    else:
        return ()
    if metal.most.is_empty:
        return ()
    # A bore has metal around it: outlines leave bores out, so cuts under standing metal are theirs.
    bores = slide(left, Interval(0.0, 0.0), Interval(-metal.most.bounds[3], 0.0))
    return good_metal_findings(scene, cut, finished, bores, allowed, whose)


def _metal_unproven(setup: Setup) -> Finding:
    return Finding(
        "metal-before-unproven",
        Severity.NOTE,
        "What the set-up before leaves is not proven; this one is judged on the most metal that "
        "may be left.",
        "Mend the set-up before first.",
        setup=setup.name,
    )


def _verdict(
    strikes: Sequence[Strike], met: Sequence[Encounter], unproven_from: int, followed: bool
) -> Verdict:
    numbers = [s.motion for s in strikes] + [e.motion for e in met if e.strikes]
    if any(n < unproven_from for n in numbers):
        return Verdict.CONTACT
    return Verdict.CLEAR if followed else Verdict.UNPROVEN


def obstacle_strikes(met: Sequence[Encounter]) -> tuple[Strike, ...]:
    found = []
    for encounter in met:
        if encounter.strikes:
            z_min, r_min, z_max, r_max = encounter.overlap.bounds
            found.append(
                Strike(
                    encounter.motion,
                    StruckPart.OBSTACLE,
                    encounter.overlap,
                    r_max - r_min,
                    z_max - z_min,
                    encounter.obstacle,
                )
            )
    return tuple(found)
