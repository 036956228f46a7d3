"""Steps and profiles: what a cycle is given and what it yields.

A cycle is a plain function from a call, its profile and the control's behaviour to steps. It knows
nothing of program text or of the table; the interpreter turns steps into rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from standclear.findings.finding import Measure
from standclear.motions.table import FeedMode, Kind, Path

Position = tuple[float, float]
"""(z, r) in millimetres; r is half of programmed X and keeps its sign."""


@dataclass(frozen=True, slots=True)
class Step:
    """One straight motion from wherever the step before ended."""

    kind: Kind
    end: Position
    path: Path = Path.STRAIGHT
    profile: int = -1
    """Block of the profile that is followed, -1 where none."""
    credited: bool = True
    """False: tested, but cuts nothing."""
    crest: float = 0.0
    """As in `Motions`; 0 outside thread passes."""
    sagitta: float = 0.0
    feed: float | None = None
    """Own feed (finishing follows the profile's F words); None: the call's."""
    feed_mode: FeedMode | None = None
    speed: float | None = None
    compensated: bool = False
    """As in `Motions`."""
    straight: bool = False
    """True: a straight line even where the machine's rapids bend (a cycle's withdrawal)."""


@dataclass(frozen=True, slots=True)
class ProfileMove:
    """One block of a profile: its chords as end points, from where the block before ended.

    A line has one point. An arc has as many as keep every chord within `sagitta` of it.
    """

    kind: Kind
    points: tuple[Position, ...]
    block: int
    has_x: bool
    """X or U was written in the block."""
    has_z: bool
    sagitta: float = 0.0
    feed: float | None = None
    feed_mode: FeedMode | None = None
    speed: float | None = None
    centre: Position | None = None
    """Of an arc."""
    clockwise: bool = False
    slack: float = 0.0
    """The part of an arc's sagitta that comes from radii that disagree."""
    side: Literal[-1, 0, 1] = 0
    """Where nose compensation leaves the nose: left of the travel 1, right -1, on the profile 0."""
    compensated: bool = False
    """The points are where the tip is driven, not where the block sends it."""

    @property
    def end(self) -> Position:
        """Where the block ends."""
        return self.points[-1]


@dataclass(frozen=True, slots=True)
class Profile:
    """The blocks P to Q as written, run from the point of call S."""

    start: Position
    """S: where the tool stands when the cycle is called."""
    moves: tuple[ProfileMove, ...]
    side_after: Literal[-1, 0, 1] = 0
    """The side that nose compensation is left on by its last block."""

    @property
    def entry(self) -> Position:
        """End of the first block."""
        return self.moves[0].end

    @property
    def exit(self) -> Position:
        """End of the last block."""
        return self.moves[-1].end


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a call: the open control values it stands for and its steps in order.

    Every reading starts at S; all of a call end at the same place.
    """

    values: tuple[str, ...]
    """`row=value` of the open control rows, empty where nothing was open."""
    steps: Sequence[Step]


@dataclass(frozen=True, slots=True)
class CycleFault:
    """What a cycle found wrong with its call, as data for a finding."""

    code: str
    message: str
    cure: str = ""
    block: int = -1
    """A profile block it belongs to; -1: the call."""
    unproven: bool = False
    stop: bool = False
    """True for severity `stop`, else `mend`."""
    measures: tuple[Measure, ...] = ()
    """Lengths, mm, that the message gives by their names in braces."""
