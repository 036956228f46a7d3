"""Plays a job on the pixel section and gives the judge's verdict."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from judge.clamp import Placed, first_places, turned_places
from judge.jobfile import Clamping, JobFile, read_job_text
from judge.motion import FAR, Move, Undecided
from judge.play import play_programs
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
    thread,
)
from judge.rows import OPEN_VALUES, OpenRow
from judge.shapes import Samples, Shape, sample, tool_shape, upper_half

DOUBT = 1.5
"""Pixels by which blank and jaws are shrunk and grown."""
AIR_MM = 60.0
"""Room kept in the section at both ends of the blank for jaws."""
BURR_MM = (0.05, 0.2)
"""Where a part is seated or measured, a burr thinner than the first gives way, one thicker than the
second holds. Where it matters which one in between does, nothing is decided."""


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
    """Of what stands round the axis: the half above it."""
    core: tuple[Shape, Samples] | None
    """Of a tap: the half above the axis, less its crests."""


Tools = dict[int, _Tool]
_Moves = tuple[tuple[Move, ...], ...]


@dataclass
class Section:
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

    def face(self, least: float) -> float:
        """z of the front face as a stop or a measurement finds it, to half a pixel.

        What stands out in front of it and is thinner than `least` mm in z and r gives way. A cell
        that is left is wholly left, so the face lies up to one pixel in front of the last of them.
        """
        metal = (self.grid & METAL) > 0
        n = max(1, round(least / self.p))
        if metal.shape[0] < n or metal.shape[1] < n:
            raise Undecided("nothing is left of the blank")
        # What is left of it holds at least n cells each way.
        window = np.lib.stride_tricks.sliding_window_view
        long = np.asarray(window(metal, n, axis=0).all(axis=-1))
        held = np.asarray(window(long, n, axis=1).all(axis=-1))
        rows = np.flatnonzero(held.any(axis=1))
        if not len(rows):
            raise Undecided("nothing is left of the blank")
        return float(self.z0 + (rows[-1] + n + 0.5) * self.p)


def fresh(job: JobFile, placed: Placed, p: float, doubt: float = DOUBT) -> Section:
    """The raw blank in its first clamping, shrunk and grown by `doubt` pixels."""
    reach = job.blank.outer + 5 * p
    for clamping in job.setups:
        if clamping.jaws is not None:
            tall = max(h for _, h in clamping.jaws.profile)
            reach = max(reach, job.blank.outer + tall + 5 * p)
    z0 = placed.back - AIR_MM - 0.37 * p
    count = math.ceil((placed.front + AIR_MM - z0) / p)
    grid = np.zeros((count, math.ceil(reach / p) + 2), dtype=np.uint8)
    section = Section(grid, z0, p)
    # A solid bar is drawn across the axis, so that its shrunk reading keeps the axis.
    inner = job.blank.bore if job.blank.bore > 0 else -job.blank.outer
    back, front, outer = placed.back, placed.front, job.blank.outer
    rectangle = np.array([(back, inner), (front, inner), (front, outer), (back, outer)])
    paint(grid, z0, p, rectangle, METAL_SHRUNK, METAL, METAL_GROWN, doubt * p)
    return section


def turn(section: Section, mirror: float) -> Section:
    """What is left of the metal, turned round."""
    grid = (section.grid[::-1] & np.uint8(METAL_BITS)).copy()
    end = section.z0 + section.grid.shape[0] * section.p
    return Section(grid, mirror - end, section.p)


def hold(section: Section, clamping: Clamping, placed: Placed, doubt: float = DOUBT) -> None:
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
              doubt * section.p)  # fmt: skip


def tools_of(job: JobFile, pixel: float) -> Iterator[Tools]:
    """The tools at every corner of their bounds of wear; those without one stand where they do."""
    shapes = {int(t["station"]): tool_shape(t, job.unit) for t in job.tools}
    ways = []
    for table in job.tools:
        wear = (table.get("wear") or 0.0) * job.unit
        if wear > 0 and shapes[int(table["station"])].drill:
            raise Undecided("a drill with a bound of wear")
        ways.append(list(product((-wear, wear), repeat=2)) if wear > 0 else [(0.0, 0.0)])
    for worn in product(*ways):
        found = {}
        for (station, shape), by in zip(shapes.items(), worn, strict=True):
            moved = replace(shape, points=shape.points + np.array(by))
            halves = [
                None if whole is None or not whole.drill else _above(whole, pixel)
                for whole in (shape, shape.core)
            ]
            found[station] = _Tool(moved, sample(moved, pixel), *halves)
        yield found


def _above(shape: Shape, pixel: float) -> tuple[Shape, Samples]:
    upper = upper_half(shape)
    return upper, sample(upper, pixel)


def _near(value: float, limit: float) -> float:
    """Home, as near as the section makes it matter."""
    return min(value, limit)


def play_move(section: Section, move: Move, tool: _Tool, box: Floats) -> int:
    shape, points = tool.shape, tool.points
    on_axis = move.start[1] == 0 and move.end[1] == 0
    if tool.half is not None and on_axis:
        shape, points = tool.half
        if tool.core is not None and move.tapping and move.spindle == shape.turns:
            shape, points = tool.core
    active = not move.rapid and move.spindle == shape.turns and (on_axis or not shape.drill)
    limit_z = float(box[1] - shape.points[:, 0].min()) + 5.0
    limit_r = float(box[2] - shape.points[:, 1].min()) + 5.0
    az, ar = _near(move.start[0], limit_z), _near(move.start[1], limit_r)
    bz, br = _near(move.end[0], limit_z), _near(move.end[1], limit_r)
    if FAR not in (*move.start, *move.end):
        (az, ar), (bz, br) = move.start, move.end
    if move.anywhere:
        return int(cover(section.grid, section.z0, section.p, az, ar, bz, br, shape.points))
    own = move.thread
    if own is not None and move.spindle == shape.turns and not shape.drill:
        return int(
            thread(
                section.grid, section.z0, section.p, az, ar, bz, br, points.z, points.r, points.cut,
                points.inner_z, points.inner_r, points.inner_ok, own.outward, own.z, own.r,
                own.slope,
            )
        )  # fmt: skip
    return int(
        advance(
            section.grid, section.z0, section.p, az, ar, bz, br, points.z, points.r, points.nz,
            points.nr, points.cut, points.inner_z, points.inner_r, points.inner_ok, active, box,
        )
    )  # fmt: skip


def _worse(a: Verdict, b: Verdict) -> Verdict:
    """Of two corners of the tolerances: the first that strikes, else the first that may."""
    ranks = {"clear": 0, "doubtful": 1, "contact": 2}
    return b if ranks[b.word] > ranks[a.word] else a


@dataclass
class _Bench:
    """What is played at every corner of the tolerances."""

    job: JobFile
    moves: _Moves
    tools: Tools
    pixel: float

    def worst(self) -> Verdict:
        """The worst verdict of all corners."""
        answer = Verdict("clear")
        for placed in first_places(self.job.setups[0], self.job.blank):
            section = fresh(self.job, placed, self.pixel)
            answer = _worse(answer, self.play(0, section, placed))
            if answer.word == "contact":
                break
        return answer

    def play(self, index: int, section: Section, placed: Placed) -> Verdict:
        """One set-up at one corner, and every corner of those after it."""
        clamping = self.job.setups[index]
        hold(section, clamping, placed)
        answer = self.moved(clamping, section, self.moves[index])
        if answer.word == "contact" or index + 1 == len(self.moves):
            return answer
        after = self.job.setups[index + 1]
        if not after.turned or index > 0:
            raise Undecided("a further set-up that is not the turned part's first")
        readings = [
            self.turned(index + 1, section, placed, face)
            for face in sorted({section.face(burr) for burr in BURR_MM})
        ]
        if len({reading.word for reading in readings}) > 1:
            hits = [reading.hit for reading in readings if reading.hit is not None]
            return _worse(answer, Verdict("doubtful", hits[0]))
        return _worse(answer, readings[0])

    def turned(self, index: int, section: Section, placed: Placed, face: float) -> Verdict:
        """The worst corner of the second set-up, the part seated on a face at z = `face`."""
        answer = Verdict("clear")
        for place in turned_places(
            self.job.setups[index], self.job.blank, self.job.part_length, placed, face
        ):  # fmt: skip
            assert place.mirror is not None
            answer = _worse(answer, self.play(index, turn(section, place.mirror), place))
            if answer.word == "contact":
                break
        return answer

    def moved(self, clamping: Clamping, section: Section, moves: tuple[Move, ...]) -> Verdict:
        """The moves of one set-up up to the first sure strike."""
        answer = Verdict("clear")
        box = section.box()
        for move in moves:
            if move.station == -1:
                continue
            if move.station not in self.tools:
                raise Undecided(f"no tool at station {move.station}")
            met = play_move(section, move, self.tools[move.station], box)
            held = met & (HELD_STRIKE | HELD_MAYBE) and not met & STRIKE
            hit = Hit(clamping.name, move.line, move.rapid, "jaws" if held else "metal")
            if met & (STRIKE | HELD_STRIKE):
                return Verdict("contact", hit)
            if met & (MAYBE | HELD_MAYBE):
                answer = _worse(answer, Verdict("doubtful", hit))
        return answer


def _reading(job: JobFile, moves: _Moves, pixel: float) -> Verdict:
    """The worst corner of one way of moving."""
    answer = Verdict("clear")
    for tools in tools_of(job, pixel):
        answer = _worse(answer, _Bench(job, moves, tools, pixel).worst())
        if answer.word == "contact":
            break
    return answer


def judge(files: dict[str, str], pixel: float = 0.1) -> Verdict:
    """The judge's verdict on a job given as file name -> text, by pixels of `pixel` mm.

    Every corner of the tolerances and every value of an open row of the control is played; the
    worst of them is the verdict. What strikes before the job can be followed no further decides it.
    """
    try:
        left = [read_job_text(files["job.toml"])]
        answer = Verdict("clear")
        used: Counter[str] = Counter()
        seen: set[_Moves] = set()
        while left and answer.word != "contact":
            job = left.pop()
            try:
                played = play_programs(job, files)
            except OpenRow as met:
                if met.row not in OPEN_VALUES:
                    raise
                for value in reversed(OPEN_VALUES[met.row]):
                    left.append(replace(job, control={**job.control, met.row: value}))
                continue
            used |= played.used
            if played.moves not in seen:
                seen.add(played.moves)
                answer = _worse(answer, _reading(job, played.moves, pixel))
            if played.unfollowed and answer.word != "contact":
                raise Undecided(played.unfollowed)
        return replace(answer, used=used)
    except Undecided as reason:
        return Verdict("undecided", reason=str(reason))
