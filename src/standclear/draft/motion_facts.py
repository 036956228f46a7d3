"""What the motions of one clamping tell: clearance points, cuts of each tool, places of changes.

Millimetres, (z, r) from the part zero of the span.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from standclear.blocks.program import Program
from standclear.findings.finding import Finding
from standclear.motions.step import Position
from standclear.motions.table import FAR, Kind, Spindle, Trace
from standclear.report.words import told

SAME_PLACE_MM = 1e-6
AT_THE_AXIS_MM = 0.01
BELOW_FACE_MM = 0.5
"""A plunge that begins behind the part zero by more is no facing cut."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """A place where a tool stands before it cuts: a cycle's point of call, or the start of the
    first feed after a rapid."""

    point: Position
    line: int
    cycle: str
    """`G71` and so on; empty before a plain feed."""
    tool: tuple[int, int]
    outward: bool
    """What it cuts lies further out than it stands: a bore."""
    towards_axis: bool
    """What it cuts lies further in."""


@dataclass(frozen=True)
class ToolCuts:
    """What one tool does in one clamping."""

    tool: tuple[int, int]
    cycles: frozenset[str]
    on_axis: bool
    """Every feed runs along the axis."""
    along: tuple[tuple[float, float, float], ...]
    """Feeds along the axis, away from it: (r, from z, to z)."""
    turned: tuple[float, ...]
    """r of those that surely leave a surface; most roughing levels may cut air."""
    plunges: tuple[tuple[float, float, float], ...]
    """Feeds straight across the axis behind the face: (z, from r, to r)."""
    feeds: int
    deepest_z: float
    least_r: float
    largest_r: float
    inside: bool
    spindle: Spindle
    first_line: int


@dataclass(frozen=True)
class SpanFacts:
    """What the motions of one clamping tell."""

    clearances: tuple[Clearance, ...]
    tools: tuple[ToolCuts, ...]
    changes: tuple[Position, ...]
    """Known places where tools are changed away from home."""
    second_home: bool
    stopped: str
    """The first thing that could not be followed, as a sentence; empty where all was."""

    @property
    def cuts(self) -> bool:
        """True where something is fed."""
        return any(tool.feeds for tool in self.tools)


def facts_of(trace: Trace, program: Program) -> SpanFacts:
    """The facts of the motions of one clamping."""
    pairs = [(use.station, use.offset) for use in trace.tools]
    clearances = tuple(sorted(_clearances(trace, program, pairs), key=lambda each: each.line))
    tools = []
    for index, pair in enumerate(pairs):
        rows = np.flatnonzero(trace.motions.tool == index)
        if len(rows):
            tools.append(_tool_cuts(trace, program, pair, index, rows))
    return SpanFacts(
        clearances,
        tuple(tools),
        tuple(_changes(trace)),
        any("second reference place" in sentence for sentence in trace.trusted),
        next((_sentence(finding) for finding in trace.findings if finding.unproven), ""),
    )


def _sentence(finding: Finding) -> str:
    where = f"{finding.place.in_words}, " if finding.place is not None else ""
    return where + told(finding, "mm").rstrip(".")


def _clearances(
    trace: Trace, program: Program, pairs: list[tuple[int, int]]
) -> Iterator[Clearance]:
    motions = trace.motions
    feeds = motions.kind == Kind.FEED
    for call in trace.calls:
        rows = np.flatnonzero((motions.call == call.number) & feeds)
        ends = motions.end[rows, 1] if len(rows) else np.array([call.point[1]])
        yield _clearance(call.point, program, call.block, call.cycle, pairs[call.tool], ends)
    for row in range(1, len(motions)):
        starts = feeds[row] and motions.call[row] < 0 and motions.kind[row - 1] == Kind.RAPID
        if starts and motions.tool[row] == motions.tool[row - 1]:
            chain = _chain(motions.kind, motions.call, row)
            point = (float(motions.start[row, 0]), float(motions.start[row, 1]))
            ends = motions.end[row:chain, 1]
            yield _clearance(
                point, program, int(motions.block[row]), "", pairs[motions.tool[row]], ends
            )


def _clearance(
    point: Position,
    program: Program,
    block: int,
    cycle: str,
    tool: tuple[int, int],
    ends: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
) -> Clearance:
    inward = bool((ends < point[1] - SAME_PLACE_MM).any())
    outward = bool((ends > point[1] + SAME_PLACE_MM).any())
    return Clearance(point, program.blocks[block].line, cycle, tool, outward and not inward, inward)


def _chain(
    kind: np.ndarray[tuple[int, ...], np.dtype[np.int8]],
    call: np.ndarray[tuple[int, ...], np.dtype[np.int32]],
    row: int,
) -> int:
    """The row after the feeds that follow each other from `row` on."""
    after = row
    while after < len(kind) and kind[after] == Kind.FEED and call[after] < 0:
        after += 1
    return after


def _tool_cuts(
    trace: Trace,
    program: Program,
    pair: tuple[int, int],
    index: int,
    rows: np.ndarray[tuple[int, ...], np.dtype[np.intp]],
) -> ToolCuts:
    motions = trace.motions
    threads = motions.crest[rows] > 0
    fed = rows[(motions.kind[rows] == Kind.FEED) & (motions.credited[rows] | threads)]
    start, end = motions.start[fed], motions.end[fed]
    dz, dr = end[:, 0] - start[:, 0], end[:, 1] - start[:, 1]
    level = abs(dr) <= SAME_PLACE_MM
    on_axis = (
        bool(len(fed))
        and bool((abs(end[:, 1]) <= AT_THE_AXIS_MM).all())
        and bool((abs(start[:, 1]) <= AT_THE_AXIS_MM).all())
    )
    far_out = end[:, 1] > AT_THE_AXIS_MM
    along = level & (dz < -SAME_PLACE_MM) & far_out
    plunging = (abs(dz) <= SAME_PLACE_MM) & ~level & (end[:, 0] < -BELOW_FACE_MM)
    calls = [call for call in trace.calls if call.tool == index]
    finishing = {call.number for call in calls if call.cycle == "G70"}
    spindles = motions.spindle[fed]
    return ToolCuts(
        tool=pair,
        cycles=frozenset(call.cycle for call in calls),
        on_axis=on_axis,
        along=tuple(
            (float(end[k, 1]), float(start[k, 0]), float(end[k, 0])) for k in np.flatnonzero(along)
        ),
        turned=_turned(trace, fed[along], finishing),
        plunges=tuple(
            (float(end[k, 0]), float(start[k, 1]), float(end[k, 1]))
            for k in np.flatnonzero(plunging)
        ),
        feeds=len(fed),
        deepest_z=float(end[:, 0].min()) if len(fed) else 0.0,
        least_r=float(end[:, 1].min()) if len(fed) else 0.0,
        largest_r=float(end[far_out, 1].max()) if far_out.any() else 0.0,
        inside=_is_inside(trace, rows),
        spindle=Spindle.REVERSE if (spindles == Spindle.REVERSE).any() else Spindle.FORWARD,
        first_line=program.blocks[int(motions.block[rows[0]])].line,
    )


def _turned(
    trace: Trace, rows: np.ndarray[tuple[int, ...], np.dtype[np.intp]], finishing: set[int]
) -> tuple[float, ...]:
    """Radii of the surfaces that feeds along the axis leave: of plain feeds and finishing all, of
    other cycles the innermost."""
    rows = rows[trace.motions.crest[rows] == 0]
    r, call = trace.motions.end[rows, 1], trace.motions.call[rows]
    plain = (call < 0) | np.isin(call, list(finishing))
    surfaces = [float(each) for each in r[plain]]
    in_cycles = r[~plain]
    return tuple(surfaces) + ((float(in_cycles.min()),) if len(in_cycles) else ())


def _is_inside(trace: Trace, rows: np.ndarray[tuple[int, ...], np.dtype[np.intp]]) -> bool:
    """True where the tool leaves most of its cuts along the axis towards the axis, or straight
    out: an outside tool leaves them outwards."""
    motions = trace.motions
    inside = outside = 0
    for row, following in pairwise(rows):
        dz = motions.end[row, 0] - motions.start[row, 0]
        dr = motions.end[row, 1] - motions.start[row, 1]
        passes = motions.credited[row] or motions.crest[row] > 0
        cuts = motions.kind[row] == Kind.FEED and passes and dz < -SAME_PLACE_MM
        if not cuts or abs(dr) > SAME_PLACE_MM or motions.end[row, 1] <= AT_THE_AXIS_MM:
            continue
        away = motions.end[following, 1] - motions.end[row, 1]
        out = motions.end[following, 0] - motions.end[row, 0]
        if away > SAME_PLACE_MM:
            outside += 1
        elif away < -SAME_PLACE_MM or (out > 0 and motions.kind[following] == Kind.RAPID):
            inside += 1
    return inside > outside


def _changes(trace: Trace) -> Iterator[Position]:
    motions = trace.motions
    for row in range(1, len(motions)):
        if motions.kind[row] == Kind.APPEAR and motions.tool[row] != motions.tool[row - 1]:
            z, r = (float(each) for each in motions.end[row - 1])
            if abs(z) < FAR and abs(r) < FAR:
                yield z, r
