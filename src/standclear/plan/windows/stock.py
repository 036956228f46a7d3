"""The stock window: blanks for which a set-up, or the whole job, is clear and cleans up.

Read off the keep-out and what is cut. Strikes: the pairs (face, radius) whose blank overlaps the
keep-out less what earlier set-ups surely cut; jaws that move with the gripped diameter against all
that the tools sweep. Clean-up: metal that no cut takes, inside (the part that is left) and outside
(what the tools never reach). Margins of air are not counted: the window's edge is a strike.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Job
from standclear.motions.table import Spindle
from standclear.plan.windows.frames import Across, Frame, Varied, carried_cut, frames_of
from standclear.plan.windows.plane import (
    Box,
    blocked_blanks,
    blocked_slides,
    drawn,
    open_around,
)
from standclear.proof.held import Held, HeldReading, contact_limit, reaching
from standclear.proof.keep_out import Layer
from standclear.proof.result import JobProof
from standclear.proof.section import grow, rectangle
from standclear.proof.skin import LEAST_SKIN_MM
from standclear.sweeps.areas import EMPTY, SLIVER_MM, common, less, thickness, union
from standclear.sweeps.sweep import sweep

LOOK_MM = 12.0
"""How far a window is looked for, either way of the stated blank: across, and on diameter. Our
choice, no source."""
SLIDES_MM = 1.0
"""The same across, where what one end cut slides in the frame of the other with the blank: the
window then counts only what is cut at every place that it slides to. Our choice, no source."""
NEAR_MM = 1e-4
"""Two borders this near are one."""
PROBE_MM = 0.004
"""How far beyond an edge is looked for the block that is met there."""


@dataclass(frozen=True)
class Edge:
    """One edge of a window, between two corners (across, size), and what lies beyond it."""

    start: tuple[float, float]
    end: tuple[float, float]
    side: str
    """`strikes`, `does not clean up` or `not looked further`."""
    against: str
    """`metal`, `jaws`, `chuck`, `stop`, `diameter`, `face`, `out of reach`; empty where not looked
    further."""
    setup: str
    line: int
    """Of the block first met there, counted from 1; 0 where none is."""


@dataclass(frozen=True)
class Window:
    """Blanks that are clear and clean up. Sizes are as stated, with the job's tolerances on top."""

    setup: str
    """Empty for the whole job."""
    across: Across
    stated: tuple[float, float]
    """(across, size) of the blank in hand."""
    region: BaseGeometry
    """(across, size); empty where no blank is."""
    edges: tuple[Edge, ...]
    looked: Box
    notes: tuple[str, ...]
    """Sentences: where the window is drawn narrower than it may be, or leaves something out."""

    def holds(self, across: float, size: float) -> bool:
        """Whether a blank lies in the window or on its edge."""
        return bool(self.region.distance(shapely.Point(across, size)) <= NEAR_MM)


@dataclass(frozen=True)
class _Source:
    """Something that blocks a region of the window's plane."""

    region: BaseGeometry
    side: str
    against: str
    setup: int
    layer: Layer | None = None
    opened: BaseGeometry = EMPTY
    """Of what the layer meets: cut away before."""


def stock_windows(
    held: Held, job: Job, proof: JobProof, *, largest: float = 0.0, longest: float = 0.0
) -> tuple[Window, ...]:
    """The window of each set-up (face allowance, size), then that of the whole job (length, size).

    `held` and `job` are what `proof` was judged from; `largest` and `longest` are a size and a
    length that the windows must reach, mm. A set-up that is not the first on its end has none.
    """
    faced = _raw_faced(proof)
    found = []
    for k in faced:
        varied = Varied(job, Across.FACE, k)
        found.append(_window(held, proof, varied, (k,), largest, 0.0))
    everything = tuple(range(len(job.setup)))
    varied = Varied(job, Across.LENGTH, 0)
    return (*found, _window(held, proof, varied, everything, largest, longest))


def _raw_faced(proof: JobProof) -> tuple[int, ...]:
    """Numbers of the set-ups before which an end is still raw."""
    frames = proof.setups
    if len(frames) > 1 and _fallen_z(proof, 0) is None:
        return (0, 1)
    return (0,)


def _window(
    held: Held, proof: JobProof, varied: Varied, setups: tuple[int, ...], largest: float,
    longest: float,
) -> Window:  # fmt: skip
    job, x, size = varied.job, varied.stated, varied.job.blank.size
    frames, slides = frames_of(varied, proof, SLIDES_MM)
    wide = SLIDES_MM if slides else LOOK_MM
    low = 0.0 if varied.across is Across.FACE else varied.job.part.length
    box = (
        max(low, x - wide),
        max(size - LOOK_MM, 0.1),
        max(x + wide, 0.0 if slides else longest),
        max(size + LOOK_MM, largest),
    )
    notes = []
    if slides:
        notes.append(
            "what one end has cut moves in the other set-up with this quantity: the window counts "
            f"only what is cut wherever it moves, and looks {SLIDES_MM:g} mm either way"
        )
    sources: list[_Source] = []
    for k in setups:
        frame = frames[k]
        for reading in held.readings[k]:
            seen = _reached(reading, job, frame, box)
            sources += _metal(held, proof, frames, k, seen, box)
            sources += _obstacles(proof, job, frame, k, seen, box)
    unclean, missing = _unclean(held, proof, varied, frames, setups, box)
    sources += unclean
    notes += missing
    region = open_around(union(s.region for s in sources if not s.region.is_empty), box)
    edges = tuple(_edges(region, sources, frames, proof, box))
    name = job.setup[varied.setup].name if varied.across is Across.FACE else ""
    return Window(name, varied.across, (x, size), region, edges, box, tuple(notes))


def _reached(reading: HeldReading, job: Job, frame: Frame, box: Box) -> HeldReading:
    """`reading` with its keep-out known for every blank of `box`."""
    grown = max(reading.wear, default=0.0) + 1.0
    faces = [frame.face.value(box[0]), frame.face.value(box[2])]
    return reaching(
        reading,
        job,
        (frame.back - grown, 0.0, max(faces) + grown, frame.radius.value(box[3]) + grown),
    )


def _metal(
    held: Held, proof: JobProof, frames: tuple[Frame, ...], k: int, seen: HeldReading, box: Box
) -> Iterator[_Source]:
    frame = frames[k]
    opened = union(
        carried_cut(_cut_by_all(held, j), frames, j, k) for j in range(k) if held.readings[j]
    )
    inner = _bore(proof, k)
    behind = rectangle(frame.back, 1e6, inner, 1e6)
    faces = sorted((frame.face.value(box[0]), frame.face.value(box[2])))
    plane = (faces[0] - 1.0, 0.0, faces[1] + 1.0, frame.radius.value(box[3]) + 1.0)
    for layer in seen.keep.layers:
        area = _after_falls(layer, proof, k)
        met = common(less(grow(area, layer.grow, layer.grow), opened), behind)
        blocked = drawn(blocked_blanks(met, plane), frame.face, frame.radius, box)
        yield _Source(blocked, "strikes", "metal", k, layer, opened)


def _cut_by_all(held: Held, setup: int) -> BaseGeometry:
    """What every reading of a set-up surely cuts."""
    readings = held.readings[setup]
    area = readings[0].keep.surely_cut
    for reading in readings[1:]:
        area = common(area, reading.keep.surely_cut)
    return area


def _bore(proof: JobProof, k: int) -> float:
    """Least radius at which the raw blank has metal."""
    return float(proof.setups[k].raw.bounds[1])


def _falls(proof: JobProof, k: int) -> list[tuple[int, float]]:
    """Motion after which metal falls by the job's word, and the Z in front of which it does."""
    name, found = proof.setups[k].name, []
    for f in proof.findings:
        sizes = {m.name: m.value for m in f.measures}
        if f.code == "loose-metal" and f.setup == name and not f.unproven and "limit" not in sizes:
            found.append((f.motion, float(sizes["z_from"])))
    return sorted(found)


def _fallen_z(proof: JobProof, k: int) -> float | None:
    return min((z for _, z in _falls(proof, k)), default=None)


def _after_falls(layer: Layer, proof: JobProof, k: int) -> BaseGeometry:
    """The keep-out of a layer; motions after metal has fallen meet none where it was."""
    falls = _falls(proof, k)
    if not falls or not layer.tree:
        return layer.area
    kept = []
    for group, own in enumerate(layer.owned(layer.area)):
        members = layer.pieces[layer.group == group]
        first = int(layer.sweeps.strike_motion[members].min(initial=10**9))
        gone = [z for motion, z in falls if motion <= first]
        kept.append(less(own, rectangle(min(gone), 1e6, 0.0, 1e6)) if gone else own)
    return union(kept)


def _obstacles(
    proof: JobProof, job: Job, frame: Frame, k: int, seen: HeldReading, box: Box
) -> Iterator[_Source]:
    """Jaws, chuck and stop against all that the tools sweep near them."""
    standing = proof.setups[k].obstacles
    gripped = _grips_bar(proof, k)
    most = max(box[2] - box[0], frame.radius.rate * (box[3] - box[1])) + 1.0
    wear = max(seen.wear, default=0.0)
    for name, area in standing.items():
        if area.is_empty:
            continue
        area = common(area, rectangle(area.bounds[2] - 60.0, 1e6, 0.0, 1e6))
        area = grow(area, wear, wear)
        z_min, _, z_max, r_max = area.bounds
        near = (z_min - most, 0.0, z_max + most, r_max + most)
        motions = seen.trace.motions
        whole = replace(motions, spindle=np.full_like(motions.spindle, Spindle.STOPPED))
        swept = sweep(
            whole, seen.tools, contact_limit(job), near, rapid_corner=seen.corner
        )  # fmt: skip
        slides = blocked_slides(area, union(swept.strike), most)
        moved = replace(frame.radius, at=0.0)
        still = replace(frame.radius, at=0.0, rate=0.0)
        ways = [still] if name != "jaws" or not gripped else [moved]
        if name == "jaws" and gripped and job.setup[k].grip_diameter is not None:
            ways.append(still)
        for up in ways:
            yield _Source(drawn(slides, frame.jaws, up, box), "strikes", name, k)


def _grips_bar(proof: JobProof, k: int) -> bool:
    """Whether the jaws close on the bar's own surface, so that they move with its diameter."""
    setup = proof.setups[k]
    jaws = setup.obstacles.get("jaws")
    if jaws is None or jaws.is_empty:
        return False
    between = common(setup.metal_before, rectangle(jaws.bounds[0], jaws.bounds[2], 0.0, 1e6))
    if between.is_empty:
        return False
    return bool(between.bounds[3] > setup.raw.bounds[3] - LEAST_SKIN_MM)


def _unclean(
    held: Held, proof: JobProof, varied: Varied, frames: tuple[Frame, ...],
    setups: tuple[int, ...], box: Box,
) -> tuple[list[_Source], list[str]]:  # fmt: skip
    """What does not clean up, by face and diameter; sentences on what is left out."""
    found: list[_Source] = []
    notes: list[str] = []
    job = varied.job
    raw_faced = _raw_faced(proof)
    for k in setups:
        if k not in raw_faced:
            continue
        frame = frames[k]
        body, outside = _uncut(held, proof, job, frames, k, box)
        if body is None:
            if not notes:
                notes.append(
                    "clean-up is left out: some raw surface is cut by no set-up, whatever the blank"
                )
            continue
        z_top, r_top = body.bounds[2] + LEAST_SKIN_MM, body.bounds[3] + LEAST_SKIN_MM
        face = drawn(
            shapely.box(-1e5, -1e5, z_top, 1e5), frame.clean_face, frame.clean_radius, box
        )  # fmt: skip
        found.append(_Source(face, "does not clean up", "face", k))
        if not job.blank.flats_stay:
            side = drawn(
                shapely.box(-1e5, -1e5, 1e5, r_top), frame.clean_face, frame.clean_radius, box
            )  # fmt: skip
            found.append(_Source(side, "does not clean up", "diameter", k))
        faces = sorted((frame.face.value(box[0]), frame.face.value(box[2])))
        plane = (faces[0] - 1.0, 0.0, faces[1] + 1.0, frame.radius.value(box[3]) + 1.0)
        beyond = drawn(blocked_blanks(outside, plane), frame.face, frame.radius, box)
        found.append(_Source(beyond, "does not clean up", "out of reach", k))
    return found, notes


def _uncut(
    held: Held, proof: JobProof, job: Job, frames: tuple[Frame, ...], k: int, box: Box
) -> tuple[BaseGeometry | None, BaseGeometry]:
    """In the frame of set-up `k`, what no set-up cuts: the body that is left of the blank, None
    where it reaches the bar's surface, and what lies outside the reach of the cuts."""
    frame, setup = frames[k], proof.setups[k]
    face = max(frame.face.value(box[0]), frame.face.value(box[2]))
    radius = frame.radius.value(box[3])
    fallen = _fallen_z(proof, k)
    other_end = fallen is None and len(frames) > 1
    back = fallen if fallen is not None else frame.back
    if other_end:
        back = min(frame.back, setup.raw.bounds[0]) - 0.5
    cut = union(
        carried_cut(_reached_cut(held, j, job, frames[j], box), frames, j, k)
        for j in range(len(frames))
    )
    whole = rectangle(back, face, float(setup.raw.bounds[1]), radius)
    left = less(whole, cut)
    clean = frame.clean_radius.at
    if setup.finished is not None:
        outer = rectangle(-1e6, 1e6, clean + (job.blank.skin or 0.0) - LEAST_SKIN_MM, 1e6)
        for part in shapely.get_parts(common(setup.finished, outer)):
            if not part.is_empty:
                z0, _, z1, _ = part.bounds
                left = less(left, rectangle(z0, z1, clean - LEAST_SKIN_MM, 1e6))
    inside: list[BaseGeometry] = []
    outside: list[BaseGeometry] = []
    for part in shapely.get_parts(left):
        if part.is_empty or thickness(part) < SLIVER_MM:
            continue
        z0, _, z1, r1 = part.bounds
        beyond = r1 > radius - NEAR_MM or z1 > face - NEAR_MM
        beyond = beyond or (other_end and z0 < back + NEAR_MM)
        (outside if beyond else inside).append(part)
    if not inside:
        return None, EMPTY
    return union(inside), union(outside)


def _reached_cut(held: Held, j: int, job: Job, frame: Frame, box: Box) -> BaseGeometry:
    """What every reading of a set-up surely cuts, as far as the window looks."""
    areas = [_reached(r, job, frame, box).keep.surely_cut for r in held.readings[j]]
    area = areas[0]
    for other in areas[1:]:
        area = common(area, other)
    return area


def _edges(
    region: BaseGeometry, sources: list[_Source], frames: tuple[Frame, ...], proof: JobProof,
    box: Box,
) -> Iterator[Edge]:  # fmt: skip
    for part in shapely.get_parts(region):
        if part.is_empty:
            continue
        for ring in (part.exterior, *part.interiors):
            points = [(float(x), float(y)) for x, y in ring.coords]
            for start, end in pairwise(points):
                yield _edge(start, end, sources, frames, proof)


def _edge(
    start: tuple[float, float], end: tuple[float, float], sources: list[_Source],
    frames: tuple[Frame, ...], proof: JobProof,
) -> Edge:  # fmt: skip
    middle = shapely.Point((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    near = [s for s in sources if not s.region.is_empty and s.region.distance(middle) < NEAR_MM]
    if not near:
        return Edge(start, end, "not looked further", "", "", 0)
    source = near[0]
    line = 0
    if source.layer is not None:
        line = _first_met(source, frames[source.setup], proof, middle.x, middle.y)
    return Edge(start, end, source.side, source.against, proof.setups[source.setup].name, line)


def _first_met(source: _Source, frame: Frame, proof: JobProof, x: float, size: float) -> int:
    """Line of the first block that a blank just beyond the edge is struck by."""
    assert source.layer is not None
    by = PROBE_MM + source.layer.grow
    inner = _bore(proof, source.setup)
    blank = rectangle(
        frame.back, frame.face.value(x) + by, inner, frame.radius.value(size) + by
    )  # fmt: skip
    met = source.layer.first_strikes(less(blank, source.opened))
    if not met:
        return 0
    setup = proof.setups[source.setup]
    block = int(setup.trace.motions.block[met[0]])
    return setup.program.blocks[block].line if block >= 0 else 0
