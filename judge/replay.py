"""Plays a job on the pixel section and gives the judge's verdict."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

import numpy as np

from judge.clamp import Placed, corners
from judge.jobfile import Clamping, JobFile, read_job_text
from judge.motion import FAR, Move, Undecided
from judge.raster import (
    HELD_GROWN,
    HELD_MAYBE,
    HELD_SHRUNK,
    HELD_STRIKE,
    MAYBE,
    METAL,
    METAL_BITS,
    METAL_GROWN,
    METAL_SHRUNK,
    SHIFT,
    STRIKE,
    Floats,
    Grid,
    advance,
    cover,
    paint,
)
from judge.run import play_programs
from judge.shapes import Samples, Shape, sample, tool_shape, upper_half

DOUBT = 1.5
"""Pixels by which blank and jaws are shrunk and grown."""
AIR_MM = 60.0
"""Room kept in the section at both ends of the blank for jaws."""


@dataclass(frozen=True)
class Hit:
    """The first move that strikes, or that may."""

    setup: str
    line: int
    rapid: bool
    against: str


@dataclass(frozen=True)
class Verdict:
    """What the judge says: `contact`, `clear`, `doubtful` or `undecided`."""

    word: str
    hit: Hit | None = None
    reason: str = ""
    used: Counter[str] | None = None


@dataclass(frozen=True)
class _Tool:
    shape: Shape
    points: Samples
    half: tuple[Shape, Samples] | None


@dataclass
class _Section:
    grid: Grid
    z0: float
    p: float

    def box(self) -> Floats:
        """(least z, greatest z, greatest r) of all that is in the section."""
        rows = np.flatnonzero(self.grid.any(axis=1))
        columns = np.flatnonzero(self.grid.any(axis=0))
        if not len(rows):
            return np.array([0.0, 0.0, 0.0])
        return np.array([
            self.z0 + rows[0] * self.p, self.z0 + (rows[-1] + 1) * self.p,
            (columns[-1] + 1 - SHIFT) * self.p,
        ])  # fmt: skip


def _fresh(job: JobFile, placed: Placed, p: float) -> _Section:
    """The raw blank in its first clamping."""
    reach = job.blank.outer + 5 * p
    for clamping in job.setups:
        if clamping.jaws is not None:
            tall = max(h for _, h in clamping.jaws.profile)
            reach = max(reach, job.blank.outer + tall + 5 * p)
    z0 = placed.back - AIR_MM - 0.37 * p
    count = math.ceil((placed.front + AIR_MM - z0) / p)
    grid = np.zeros((count, math.ceil(reach / p) + 2), dtype=np.uint8)
    section = _Section(grid, z0, p)
    # A solid bar is drawn across the axis, so that its shrunk reading keeps the axis.
    inner = job.blank.bore if job.blank.bore > 0 else -job.blank.outer
    back, front, outer = placed.back, placed.front, job.blank.outer
    rectangle = np.array([(back, inner), (front, inner), (front, outer), (back, outer)])
    paint(grid, z0, p, rectangle, METAL_SHRUNK, METAL, METAL_GROWN, DOUBT * p)
    return section


def _turn(section: _Section, mirror: float) -> _Section:
    """What is left of the metal, turned round."""
    grid = (section.grid[::-1] & np.uint8(METAL_BITS)).copy()
    end = section.z0 + section.grid.shape[0] * section.p
    return _Section(grid, mirror - end, section.p)


def _hold(section: _Section, clamping: Clamping, placed: Placed) -> None:
    """Paints jaws, chuck and stop where they stand in this clamping."""
    jaws = clamping.jaws
    if jaws is None:
        return
    plane = placed.stop_plane
    grip = placed.grip
    if math.isnan(grip):
        low = min(z for z, _ in jaws.profile) + plane
        first = max(0, int((low - section.z0) / section.p))
        last = max(0, int((jaws.front + plane - section.z0) / section.p))
        held = np.flatnonzero((section.grid[first:last] & METAL).any(axis=0))
        grip = (held[-1] + 1 - SHIFT) * section.p if len(held) else 0.0
    shapes = [[(z + plane, h + grip) for z, h in jaws.profile]]
    behind = section.z0
    if jaws.chuck is not None:
        face, radius = jaws.chuck[0] + plane, jaws.chuck[1]
        shapes.append([(behind, 0.0), (face, 0.0), (face, radius), (behind, radius)])
    if jaws.stop is not None:
        shapes.append([(behind, 0.0), (plane, 0.0), (plane, jaws.stop), (behind, jaws.stop)])
    for shape in shapes:
        paint(section.grid, section.z0, section.p, np.array(shape), HELD_SHRUNK, 0, HELD_GROWN,
              DOUBT * section.p)  # fmt: skip


def _tools(job: JobFile, pixel: float) -> dict[int, _Tool]:
    found = {}
    for table in job.tools:
        shape = tool_shape(table, job.unit)
        half = None
        if shape.drill:
            upper = upper_half(shape)
            half = (upper, sample(upper, pixel))
        found[int(table["station"])] = _Tool(shape, sample(shape, pixel), half)
    return found


def _near(value: float, limit: float) -> float:
    """Home, as near as the section makes it matter."""
    return min(value, limit)


def _play(section: _Section, move: Move, tool: _Tool, box: Floats) -> int:
    shape, points = tool.shape, tool.points
    on_axis = move.start[1] == 0 and move.end[1] == 0
    if tool.half is not None and on_axis:
        shape, points = tool.half
    active = not move.rapid and move.spindle == shape.turns and (on_axis or not shape.drill)
    limit_z = float(box[1] - shape.points[:, 0].min()) + 5.0
    limit_r = float(box[2] - shape.points[:, 1].min()) + 5.0
    az, ar = _near(move.start[0], limit_z), _near(move.start[1], limit_r)
    bz, br = _near(move.end[0], limit_z), _near(move.end[1], limit_r)
    if FAR not in (*move.start, *move.end):
        (az, ar), (bz, br) = move.start, move.end
    if move.anywhere:
        return int(cover(section.grid, section.z0, section.p, az, ar, bz, br, shape.points))
    return int(
        advance(
            section.grid, section.z0, section.p, az, ar, bz, br, points.z, points.r, points.nz,
            points.nr, points.cut, points.inner_z, points.inner_r, points.inner_ok, active, box,
        )
    )  # fmt: skip


def _corner(job: JobFile, placed: tuple[Placed, ...], moves: tuple[tuple[Move, ...], ...],
            tools: dict[int, _Tool], pixel: float) -> Verdict:  # fmt: skip
    maybe: Hit | None = None
    section = _fresh(job, placed[0], pixel)
    for clamping, place, part in zip(job.setups, placed, moves, strict=True):
        if place.mirror is not None:
            section = _turn(section, place.mirror)
        _hold(section, clamping, place)
        box = section.box()
        for move in part:
            if move.station == -1:
                continue
            if move.station not in tools:
                raise Undecided(f"no tool at station {move.station}")
            answer = _play(section, move, tools[move.station], box)
            held = answer & (HELD_STRIKE | HELD_MAYBE) and not answer & STRIKE
            hit = Hit(clamping.name, move.line, move.rapid, "jaws" if held else "metal")
            if answer & (STRIKE | HELD_STRIKE):
                return Verdict("contact", hit)
            if answer & (MAYBE | HELD_MAYBE) and maybe is None:
                maybe = hit
    return Verdict("clear") if maybe is None else Verdict("doubtful", maybe)


def judge(files: dict[str, str], pixel: float = 0.1) -> Verdict:
    """The judge's verdict on a job given as file name -> text, by pixels of `pixel` mm."""
    try:
        job = read_job_text(files["job.toml"])
        played = play_programs(job, files)
        tools = _tools(job, pixel)
        doubt: Verdict | None = None
        for placed in corners(job):
            verdict = _corner(job, placed, played.moves, tools, pixel)
            if verdict.word == "contact":
                return Verdict("contact", verdict.hit, used=played.used)
            if verdict.word == "doubtful":
                doubt = doubt or verdict
        if doubt is not None:
            return Verdict("doubtful", doubt.hit, used=played.used)
        return Verdict("clear", used=played.used)
    except Undecided as reason:
        return Verdict("undecided", reason=str(reason))
