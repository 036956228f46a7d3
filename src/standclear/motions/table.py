"""The table of motions: what the program makes the tool do, one row a motion, in order.

Frame: the section of one set-up, Z0 at its part zero, millimetres; r is half of programmed X and
keeps its sign. Every row moves the tool's controlled point from `start` to `end`.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from standclear.findings.finding import Finding

FAR = 10_000.0
"""Millimetres. Stands for 'beyond everything' in a coordinate of a place known only to lie beyond
the work in +X or +Z, such as home. Ten metres is beyond any lathe that takes a hand-loaded bar."""


class Kind(IntEnum):
    """What a row is."""

    RAPID = 0
    """Nothing of the tool may meet metal."""
    FEED = 1
    """Cutting edges may meet metal, the rest may not."""
    APPEAR = 2
    """The tool stands here from now on (first place, tool change); start equals end."""


class Path(IntEnum):
    """What is known of the way from start to end."""

    STRAIGHT = 0
    ANYWHERE = 1
    """Only that it stays in the rectangle spanned by start and end."""


class Spindle(IntEnum):
    """Which way the spindle turns in a row."""

    REVERSE = -1
    """M04."""
    STOPPED = 0
    FORWARD = 1
    """M03."""


class FeedMode(IntEnum):
    """Unit of the feed."""

    PER_REV = 0
    PER_MIN = 1


class SpeedMode(IntEnum):
    """Unit of the speed."""

    RPM = 0
    SURFACE = 1
    """Constant surface speed, m/min."""


@dataclass(frozen=True)
class Motions:
    """Arrays of equal length n; see the module for the frame."""

    kind: NDArray[np.int8]
    path: NDArray[np.int8]
    start: NDArray[np.float64]
    """(n, 2): z, r."""
    end: NDArray[np.float64]
    """(n, 2): z, r."""
    sagitta: NDArray[np.float64]
    """How far the true path may leave the line from start to end (chords of arcs), mm."""
    tool: NDArray[np.int16]
    """Index into `Trace.tools`."""
    block: NDArray[np.int32]
    """Index of the block that makes the motion (a cycle's own motions: the call)."""
    profile: NDArray[np.int32]
    """Index of the profile block a cycle follows here; -1 elsewhere."""
    call: NDArray[np.int32]
    """Number of the cycle call the row belongs to; -1 outside cycles."""
    variant: NDArray[np.int16]
    """Which reading of its call the row belongs to; 0 where the call has one reading. All rows
    of a call stand together, reading after reading; each reading starts and ends where the call
    does."""
    credited: NDArray[np.bool_]
    """False where a feed may or may not be made: it is tested, and cuts nothing."""
    crest: NDArray[np.float64]
    """In a thread pass how far from the tip, across the pass, metal of the thread may reach, mm:
    within it the insert may meet metal, which stays. 0 in every other motion."""
    compensated: NDArray[np.bool_]
    """The way is the one that nose compensation makes of the programmed one."""
    spindle: NDArray[np.int8]
    feed: NDArray[np.float64]
    """mm per revolution or per minute as `feed_mode` says; 0 in rapids."""
    feed_mode: NDArray[np.int8]
    speed: NDArray[np.float64]
    """Revolutions per minute or m/min as `speed_mode` says; 0 where none was given."""
    speed_mode: NDArray[np.int8]
    clamp: NDArray[np.float64]
    """Greatest spindle speed in force, rpm; infinity where none."""
    coolant: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.kind)

    def take(self, rows: NDArray[np.int64]) -> Motions:
        """The table of the given rows only, in that order."""
        return Motions(**{f.name: getattr(self, f.name)[rows] for f in fields(self)})


@dataclass(frozen=True, slots=True)
class ToolUse:
    """A tool as it was called: `tool` is its index in the job's list, -1 if the job lacks it."""

    tool: int
    station: int
    offset: int


@dataclass(frozen=True, slots=True)
class ToolChange:
    """A tool called between the set-up's marks, and what is in force in the block that calls it."""

    row: int
    """Number of the first motion from this block on."""
    block: int
    tool: int
    """Index into `Trace.tools`."""
    stops: int
    """Stops executed before it, from where the run began."""
    in_main: bool
    """The block stands in the main program, so a search can stop at it."""
    offset: str
    inch: bool
    incremental: bool
    compensated: bool
    motion: str
    """`rapid`, `line`, or the name of another motion that a block without a motion word makes."""
    feed: float
    """mm per revolution or per minute."""
    feed_mode: FeedMode
    speed: float
    """Revolutions per minute or m/min."""
    speed_mode: SpeedMode
    clamp: float
    """rpm; infinity where none."""
    spindle: Spindle
    coolant: bool
    variables: tuple[tuple[int, float | None], ...]
    """Number and value of every variable that the run has set; None is the empty value."""


@dataclass(frozen=True, slots=True)
class Call:
    """One cycle call. `point` is where the tool stood, (z, r): the clearance point."""

    number: int
    block: int
    cycle: str
    """`G71`, `G72`, ... as in the cycles-g90 family of words."""
    point: tuple[float, float]
    tool: int
    """Index into `Trace.tools`."""
    readings: tuple[tuple[str, ...], ...]
    """For each variant the open control values it stands for, as `row=value`."""


@dataclass(frozen=True, slots=True)
class Dwell:
    """A wait that the program asks for between two motions, or once inside a cycle."""

    row: int
    """Number of the first motion after it; inside a cycle, of the first motion of the call or of
    the first after it."""
    block: int
    seconds: tuple[float, float]
    """Least and most: they differ where a number without a point may be read in two ways, and where
    controls differ in whether a roughing cycle waits at all."""


@dataclass(frozen=True)
class Trace:
    """What one set-up's program does."""

    motions: Motions
    tools: tuple[ToolUse, ...]
    calls: tuple[Call, ...]
    findings: tuple[Finding, ...]
    """Faults of the text and of the execution; `Finding.unproven` with its `motion` says from
    which motion on the rest could not be followed."""
    trusted: tuple[str, ...]
    """Sentences: what was taken on trust."""
    reading: tuple[str, ...] = ()
    """The whole-program values this trace stands for, `row=value`; empty if nothing was open."""
    changes: tuple[ToolChange, ...] = ()
    """Every tool called, in the order of the run."""
    dwells: tuple[Dwell, ...] = ()
    """Every wait that a block asks for, in the order of the run: G04 between two motions and in the
    profile of a cycle, P of drilling calls."""
