"""The check at the machine: where to stand with the spindle stopped, and the gap that is to be
there.

Frame of a set-up: its part zero at z = 0, + away from the spindle, millimetres. Gaps are real
distances between tool and metal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.blocks.program import Program
from standclear.findings.finding import Place, Verdict
from standclear.job.models import Job, Machine
from standclear.job.placing import CORNER_OVER_FLAT, Placing, place_setups
from standclear.motions.table import Kind, Motions, Trace
from standclear.plan.at_machine.approach_order import order_to
from standclear.plan.grip.grip import reading_of
from standclear.proof.approach import clearance_starts
from standclear.proof.held import Held, HeldReading
from standclear.proof.prove import judge
from standclear.proof.result import JobProof, SetupProof
from standclear.sweeps.areas import common, union

GAUGE_MM = 0.1
GAUGE_INCH_MM = 0.1016
"""How far under and over the gap the two gauges lie: 0.1 mm, or 0.004 in; common practice, no
source."""
SAME_PLACE_MM = 0.0005
"""Clearance points of one tool that lie this close are one place to stand."""


@dataclass(frozen=True)
class Gauged:
    """One gap to gauge. Millimetres, real."""

    axis: str
    """`Z` from the high spot of the outer face, or `X` from the high spot of the diameter."""
    gap: float
    """With every size and zero in mid tolerance."""
    passes: float
    """A gauge of this thickness goes in."""
    refused: float
    """One of this thickness does not."""
    past_corner: bool
    """The tool stands beyond the corner of the blank: the gauge lies on the metal and reaches out
    to the tool."""


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


def machine_check(held: Held, job: Job, proof: JobProof) -> MachineCheck:
    """Every clearance point of every set-up as a place to stand with the spindle stopped.

    `held` and `job` are what `proof` was judged from. The gauges let a zero be off by more than
    the job may say, so the job is judged again with as much.
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
    return MachineCheck(tuple(checks), allowance, within)


def _of_setup(
    job: Job,
    index: int,
    placing: Placing,
    setup: SetupProof,
    reading: HeldReading,
    allowance: float,
) -> Iterator[Check]:
    motions = setup.trace.motions
    shifted = _shifts_coordinates(setup.program, motions)
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
            blocks = _blocks(job, index, setup, motion, order.first)
        gaps = () if cannot else tuple(_gaps(job, placing, setup, outline, allowance))
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


def _gaps(
    job: Job, placing: Placing, setup: SetupProof, tool: BaseGeometry, allowance: float
) -> Iterator[Gauged]:
    """The gaps to the foremost point of the blank and to its largest radius, where the tool stands
    beyond them."""
    z_min, r_min, _, _ = tool.bounds
    _, _, face, radius = setup.metal_before.bounds
    ahead, over = z_min - face > 0, r_min - radius > 0
    lean = job.blank.out_of_square or 0.0
    along = max(0.0, placing.raw_face.width - lean)
    size = job.blank.size_tolerance[1] - job.blank.size_tolerance[0]
    wander = (job.blank.run_out or 0.0) / 2 + (job.blank.bow or 0.0)
    raw = radius > placing.strike_radius - SAME_PLACE_MM
    across = size / 2 * CORNER_OVER_FLAT[job.blank.shape] + wander if raw else 0.0
    for axis, there, gap, spread in (
        ("Z", ahead, z_min - face, along),
        ("X", over, r_min - radius, across),
    ):
        if not there:
            continue
        middle, half = gap + spread / 2, max(allowance, spread / 2)
        if middle - half > 0:
            yield Gauged(axis, middle, middle - half, middle + half, ahead and over)


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


SHIFTS = (10, 50, 52, 92)
"""G words that, with an axis word in their block, set or shift coordinates."""


def _shifts_coordinates(program: Program, motions: Motions) -> int | None:
    """Line of the first block of the set-up's way that sets or shifts coordinates; None where
    none does, so that what is keyed in counts from the work offset alone."""
    if len(motions) == 0:
        return None
    seen = motions.block[motions.block >= 0]
    for block in program.blocks[: int(seen.max(initial=-1)) + 1]:
        letters = {word.letter for word in block.words}
        numbers = {int(w.number) for w in block.words if w.letter == "G" and w.number is not None}
        if numbers & set(SHIFTS) and letters & set("XZUW"):
            cycle = 92 in numbers and (letters & {"F", "E"})
            if not cycle:
                return block.line
    return None


def _blocks(job: Job, index: int, setup: SetupProof, motion: int, first: str) -> tuple[str, ...]:
    """One axis a block, the unit, offset and tool of the set-up before them."""
    motions = setup.trace.motions
    z, r = motions.start[motion].tolist()
    machine = job.machine
    assert isinstance(machine, Machine)
    scale = 1.0 if machine.control.x_words == "radius" else 2.0
    words = {"X": f"X{_number(scale * r, job)}", "Z": f"Z{_number(z, job)}"}
    second = "Z" if first == "X" else "X"
    return (
        "M05",
        *_unit_word(setup.program, machine),
        "G40",
        *(["G28 U0. W0."] if machine.home == "beyond" else []),
        job.setup[index].offset,
        _tool_word(setup.program, setup.trace, int(motions.tool[motion])),
        f"G00 {words[first]}",
        f"G00 {words[second]}",
    )


def _number(mm: float, job: Job) -> str:
    """As it is keyed in: with its point, no needless zeros."""
    places, scale = (4, 25.4) if job.units == "inch" else (3, 1.0)
    text = f"{mm / scale:.{places}f}".rstrip("0")
    return "0." if text in ("-0.", "0.") else text


def _unit_word(program: Program, machine: Machine) -> tuple[str, ...]:
    """The unit word that the program gives first, if it gives one."""
    units = (70, 71) if machine.control.cycle_words == "cycles-g20" else (20, 21)
    for block in program.blocks:
        for word in block.words:
            if word.letter == "G" and word.number is not None and word.number in units:
                return (word.text,)
    return ()


def _tool_word(program: Program, trace: Trace, tool: int) -> str:
    """The word by which the program calls the tool, else station and offset in one word."""
    motions = trace.motions
    for row in (motions.tool == tool).nonzero()[0].tolist():
        block = int(motions.block[row])
        if motions.kind[row] == Kind.APPEAR and block >= 0:
            for word in program.blocks[block].words:
                if word.letter == "T":
                    return word.text
    use = trace.tools[tool]
    return f"T{use.station:02d}{use.offset:02d}"
