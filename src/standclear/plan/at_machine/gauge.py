"""The check at the machine: where to stand with the spindle stopped, and the gap that is to be
there.

Frame of a set-up: its part zero at z = 0, + away from the spindle, millimetres. Gaps are real
distances between tool and metal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from shapely.affinity import translate

from standclear.blocks.program import Program
from standclear.findings.finding import Place, Verdict
from standclear.job.models import Job
from standclear.job.placing import Placing, place_setups
from standclear.motions.table import Kind, Motions
from standclear.plan.at_machine.approach_order import order_to
from standclear.plan.at_machine.blocks import blocks_to_stand, shifts_coordinates
from standclear.plan.at_machine.gaps import SAME_PLACE_MM, Gauged, gaps_at
from standclear.plan.grip.grip import reading_of
from standclear.proof.approach import clearance_starts
from standclear.proof.held import Held, HeldReading, hold, tools_of
from standclear.proof.prove import judge
from standclear.proof.result import JobProof, SetupProof
from standclear.sweeps.areas import common, union

__all__ = ["Check", "Gauged", "MachineCheck", "machine_check"]

GAUGE_MM = 0.1
GAUGE_INCH_MM = 0.1016
"""How far under and over the gap the two gauges lie: 0.1 mm, or 0.004 in; common practice, no
source."""


@dataclass(frozen=True)
class Check:
    """One place to stand."""

    setup: str
    tool: str
    motion: int
    places: tuple[Place, ...]
    """The blocks that start from here, in the order of the program."""
    x: float
    """On diameter."""
    z: float
    blocks: tuple[str, ...]
    """To key in by manual data input, one at a time; empty where `cannot` says why not."""
    cannot: str
    gaps: tuple[Gauged, ...]
    first_cut: int
    """Number of the motion of the first cut from here; -1 where none follows."""


@dataclass(frozen=True)
class MachineCheck:
    """The check of a whole job."""

    checks: tuple[Check, ...]
    allowance: float
    """How far a zero may be off and the gauges still agree, mm, plus or minus along Z."""
    within: Verdict
    """The verdict with every zero off by up to that."""
    within_tools: Verdict
    """The verdict with every tool's offsets off by up to that, in X (twice that on diameter) and in
    Z, each tool by its own."""


def machine_check(held: Held, job: Job, proof: JobProof) -> MachineCheck:
    """Every clearance point of every set-up as a place to stand with the spindle stopped.

    `held` and `job` are what `proof` was judged from. The gauges let a zero, and a tool's
    offsets, be off by more than the job may say, so the job is judged again with as much of each.
    """
    allowance = GAUGE_INCH_MM if job.units == "inch" else GAUGE_MM
    checks: list[Check] = []
    for index, placing in enumerate(place_setups(job)):
        setup = proof.setups[index]
        reading = reading_of(held, index, setup)
        checks += _of_setup(job, index, placing, setup, reading, allowance)
    wide = [
        s.model_copy(
            update={"zero": s.zero.model_copy(update={"error": max(s.zero.error, allowance)})}
        )
        for s in job.setup
    ]
    within = judge(held, job.model_copy(update={"setup": wide})).verdict
    return MachineCheck(tuple(checks), allowance, within, _with_tools_off(held, job, allowance))


def _with_tools_off(held: Held, job: Job, allowance: float) -> Verdict:
    """The verdict with the offsets of every tool off by up to `allowance`, radial in X."""
    tools = [
        tool.model_copy(update={"wear": max(tool.wear or 0.0, allowance)}) for tool in tools_of(job)
    ]
    off = job.model_copy(update={"tools": tools})
    return judge(hold(replace(held.files, job=off)), off).verdict


def _of_setup(
    job: Job,
    index: int,
    placing: Placing,
    setup: SetupProof,
    reading: HeldReading,
    allowance: float,
) -> Iterator[Check]:
    motions = setup.trace.motions
    shifted = shifts_coordinates(setup.program, motions)
    known = min((max(f.motion, 0) for f in setup.trace.findings if f.unproven), default=None)
    solid = union([setup.metal_before, *setup.obstacles.values()])
    for same in _same_places(motions):
        motion = same[0]
        tool = int(motions.tool[motion])
        z, r = motions.start[motion].tolist()
        outline = translate(setup.tool_outlines[tool], z, r)
        blocks: tuple[str, ...] = ()
        order = None
        cannot = ""
        if known is not None and motion >= known:
            cannot = "what leads there could not be followed"
        elif outline.is_empty:
            cannot = "the tool's outline is not known"
        elif shifted is not None:
            cannot = f"line {shifted} sets or shifts coordinates: stand here after it has run"
        elif common(outline, setup.metal_before).area > 0:
            cannot = "the place lies inside the blank until earlier passes have cut"
        else:
            order = order_to(motions, motion, reading.tools, solid)
            if order is None:
                cannot = "no way along one axis at a time keeps clear of blank and jaws"
        if order is not None:
            blocks = blocks_to_stand(job, index, setup, motion, order.first)
        gaps = () if cannot else tuple(gaps_at(job, index, placing, setup, outline, allowance))
        places = [p for p in (_place(setup.program, motions, m) for m in same) if p is not None]
        yield Check(
            setup.name,
            reading.names[tool],
            motion,
            tuple(dict.fromkeys(places)),
            2 * r,
            z,
            blocks,
            cannot,
            gaps,
            _first_cut(motions, motion),
        )


def _same_places(motions: Motions) -> list[list[int]]:
    """Clearance points, those of one tool at one place together, in order."""
    groups: dict[tuple[int, int, int], list[int]] = {}
    for motion in clearance_starts(motions):
        z, r = motions.start[motion].tolist()
        key = (int(motions.tool[motion]), round(z / SAME_PLACE_MM), round(r / SAME_PLACE_MM))
        groups.setdefault(key, []).append(motion)
    return list(groups.values())


def _first_cut(motions: Motions, motion: int) -> int:
    """The first feed from row `motion` on, before another tool is called."""
    for row in range(motion, len(motions)):
        if motions.tool[row] != motions.tool[motion] or motions.kind[row] == Kind.APPEAR:
            return -1
        if motions.kind[row] == Kind.FEED:
            return row
    return -1


def _place(program: Program, motions: Motions, motion: int) -> Place | None:
    block = int(motions.block[motion])
    if block < 0:
        return None
    at = program.blocks[block]
    column = at.words[0].column if at.words else 1
    return Place(at.file or program.name, block, at.line, column, at.shown, bool(at.file))
