"""Findings about threads: how far in front of the metal a pass begins, how deep it cuts, and
whether the next jaws hold on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.interval import Interval
from standclear.job.models import Setup
from standclear.motions.table import Motions
from standclear.proof.clock import MetalClock
from standclear.proof.facts import Scene
from standclear.proof.metal_findings import DEPTH_NOISE_MM, too_deep_finding
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common, union
from standclear.sweeps.sweep import Sweeps, Tooling

RUN_IN_LEADS = 2.0
"""Leads that slide and spindle need to fall in step; two to three, more at high speed, are common
practice, no source."""
ROUNDING_MM = 1e-6
HELD_MM = 1.0
"""Length of thread between the jaws that is let: an end that runs under them. Our choice, no
source."""
WIDE = 1e6


def run_in_findings(scene: Scene, metal: BaseGeometry, cut: Sweeps) -> tuple[Finding, ...]:
    """Threads along the axis that begin less than two leads in front of `metal` as it is then; of
    passes that begin at the same Z one after another the shortest."""
    motions = scene.motions
    clock = MetalClock(metal, cut)
    points = {call.number: call.point[0] for call in scene.trace.calls}
    shortest: dict[int, tuple[float, int]] = {}
    group, last = 0, None
    for row in _first_rows(motions):
        z = points.get(int(motions.call[row]), float(motions.start[row, 0]))
        if (key := (int(motions.tool[row]), z)) != last:
            group, last = group + 1, key
        way = shapely.LineString([(z, motions.start[row, 1]), motions.end[row]])
        met = shapely.intersection(way, clock.before(row))
        if met.is_empty:
            continue
        run_in = float(shapely.distance(shapely.Point(way.coords[0]), met))
        if run_in + ROUNDING_MM < RUN_IN_LEADS * motions.feed[row]:
            shortest[group] = min(shortest.get(group, (run_in, row)), (run_in, row))
    return tuple(_finding(scene, row, run_in) for run_in, row in shortest.values())


def deep_pass_findings(
    scene: Scene,
    metal: BaseGeometry,
    cut: Sweeps,
    tools: Sequence[Tooling | None],
    limits: Sequence[float | None],
    names: Sequence[str],
) -> tuple[Finding, ...]:
    """The deepest pass of each block that takes more than its tool may; `limits` in mm by tool.

    A pass takes what its insert meets of `metal`, less what the pass before from the same Z has
    taken: this tells a diameter that was not turned to the crest where no word says where that is.
    """
    motions = scene.motions
    clock = MetalClock(metal, cut)
    worst: dict[int, Finding] = {}
    deepest: dict[int, float] = {}
    reached, last = 0.0, None
    for row in _first_rows(motions):
        tool = int(motions.tool[row])
        tooling, limit = tools[tool], limits[tool]
        if tooling is None or limit is None:
            continue
        if (key := (tool, float(motions.start[row, 0]))) != last:
            reached, last = 0.0, key
        depth = _depth(tooling.shape.cutting_part, motions, row, clock.before(row))
        taken = depth - reached if depth + DEPTH_NOISE_MM >= reached else depth
        reached = depth
        block = int(motions.block[row])
        if taken > limit + DEPTH_NOISE_MM and taken > deepest.get(block, 0.0):
            deepest[block] = taken
            worst[block] = too_deep_finding(scene, row, names[tool], taken, limit)
    return tuple(worst.values())


def threaded(
    motions: Motions, tools: Sequence[Tooling | None], metal: BaseGeometry
) -> BaseGeometry:
    """The part of `metal` that thread passes wind their groove through."""
    ways = []
    for row in np.flatnonzero(motions.crest > 0).tolist():
        tooling = tools[int(motions.tool[row])]
        if tooling is not None and motions.spindle[row] == tooling.cuts_with:
            ways.append(_way(tooling.shape.cutting_part, motions, row))
    return common(union(ways), metal)


def held_thread_findings(
    setup: Setup, threads: BaseGeometry, metal: BaseGeometry, grip: Interval
) -> tuple[Finding, ...]:
    """An outside thread of an earlier set-up on the diameter that the jaws close on, `grip` being
    the Z between which they hold `metal`."""
    between = rectangle(grip.lo, grip.hi, 0.0, WIDE)
    held, thread = common(metal, between), common(threads, between)
    if held.is_empty or thread.is_empty:
        return ()
    parts = shapely.get_parts(thread)
    outside = [p for p in parts if p.bounds[3] >= held.bounds[3] - ROUNDING_MM]
    if sum(p.bounds[2] - p.bounds[0] for p in outside) <= HELD_MM:
        return ()
    z_from, _, z_to, radius = union(outside).bounds
    return (
        Finding(
            "grip-on-thread",
            Severity.MEND,
            "The jaws close on a thread, from Z{z_from} to Z{z_to} on diameter {diameter}: they "
            "crush its crests, and it holds less than a plain diameter.",
            "Grip beside the thread, cut it in the last set-up, or hold it in a threaded sleeve.",
            setup.name,
            measures=(
                Measure("z_from", z_from, Quantity.POSITION_Z),
                Measure("z_to", z_to, Quantity.POSITION_Z),
                Measure("diameter", 2 * radius, Quantity.DIAMETER),
            ),
        ),
    )


def _way(insert: NDArray[np.float64], motions: Motions, row: int) -> BaseGeometry:
    """What the insert covers in a pass: it is convex, so it is the hull of its two places."""
    places = np.concatenate([insert + motions.start[row], insert + motions.end[row]])
    return shapely.MultiPoint(places).convex_hull


def _depth(insert: NDArray[np.float64], motions: Motions, row: int, metal: BaseGeometry) -> float:
    """How far from the tip's way, across the axis, the insert meets metal in a pass, mm."""
    start, end = motions.start[row], motions.end[row]
    met = shapely.get_coordinates(common(_way(insert, motions, row), metal))
    if len(met) == 0:
        return 0.0
    slope = (end[1] - start[1]) / (end[0] - start[0])
    across = met[:, 1] - start[1] - slope * (met[:, 0] - start[0])
    return float(np.abs(across).max())


def _first_rows(motions: Motions) -> Iterator[int]:
    """Thread passes along the axis that no thread pass leads into."""
    thread = motions.crest > 0
    after = np.concatenate([[False], thread[:-1]])
    travel = np.abs(motions.end - motions.start)
    rows = np.flatnonzero(thread & ~after & (travel[:, 0] >= travel[:, 1]))
    yield from rows.tolist()


def _finding(scene: Scene, row: int, run_in: float) -> Finding:
    lead = float(scene.motions.feed[row])
    return Finding(
        "thread-run-in-short",
        Severity.MEND,
        "The thread begins {run_in} in front of the metal at a lead of {lead}: slide and spindle "
        "need two leads, {wanted}, to fall in step.",
        "Begin the thread {wanted} or more in front of the metal.",
        scene.setup,
        scene.place(int(scene.motions.block[row])),
        measures=(
            Measure("run_in", run_in),
            Measure("lead", lead),
            Measure("wanted", RUN_IN_LEADS * lead),
        ),
        motion=row,
        tags=scene.reading(row),
    )
