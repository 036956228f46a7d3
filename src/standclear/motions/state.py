"""What a control remembers from block to block."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from standclear.job.models import Machine
from standclear.motions.coordinates.places import Standing
from standclear.motions.meaning.words import Act
from standclear.motions.nose.pieces import ON, Side
from standclear.motions.rows import Conditions
from standclear.motions.step import Position
from standclear.motions.table import FeedMode, SpeedMode, Spindle
from standclear.motions.way.drive import Ahead


@dataclass(frozen=True, slots=True)
class Loss:
    """Why the place is not known: the finding to make when a motion needs it."""

    code: str
    message: str
    cure: str


@dataclass(frozen=True, slots=True)
class SinglePass:
    """The last words of a single-pass cycle, kept for its repeats: end (z, r) and taper, mm."""

    z: float
    r: float
    taper: float = 0.0


@dataclass(frozen=True, slots=True)
class Drilling:
    """The levels of a drilling cycle, z in mm, kept for its repeats."""

    initial: float
    """Where the tool stood at the first call."""
    level: float
    """The R level."""
    bottom: float
    peck: float
    """0: in one plunge."""
    wait: tuple[float, float] = (0.0, 0.0)
    """Seconds at the bottom, least and most."""


@dataclass(frozen=True, slots=True)
class ThreadValues:
    """What the first block of the threading cycle sets for all later calls; None: not yet set."""

    finish_passes: int | None = None
    angle: float | None = None
    """Degrees."""
    least_depth: float | None = None
    finish_allowance: float | None = None


@dataclass
class State:
    """Modal state. Lengths in mm, X radial."""

    standing: Standing
    inch: bool
    motion: Act = Act.RAPID
    """A motion before any motion word counts as rapid."""
    motion_doubtful: bool = False
    """A cycle ran a profile since the last motion word: controls keep different words after it."""
    single_pass: SinglePass | None = None
    drilling: Drilling | None = None
    unit_stated: bool = False
    incremental: bool = False
    compensation: Side = ON
    compensation_block: int = -1
    """Index of the block that switched it on or off."""
    compensation_doubtful: bool = False
    """The profile of a cycle has switched it since the last word of the program for it."""
    ahead: Ahead = field(default_factory=Ahead)
    offset: str = "G54"
    local: Position = (0.0, 0.0)
    """(z, r) that G52 adds to programmed coordinates."""
    named: Position = (0.0, 0.0)
    """(z, r) that coordinate settings add to them."""
    set_in_program: bool = False
    """A coordinate setting has said where the tool stands."""
    offset_changes: Mapping[int, Position] = field(default_factory=dict)
    """(z, r) by which the program has moved tool offsets, by offset number."""
    offset_change: Position = (0.0, 0.0)
    """Of the tool in use."""
    feed: float = 0.0
    feed_mode: FeedMode = FeedMode.PER_REV
    speed: float = 0.0
    speed_mode: SpeedMode = SpeedMode.RPM
    clamp: float = math.inf
    spindle: Spindle = Spindle.STOPPED
    coolant: bool = False
    tool: int = -1
    """Index into the run's called tools; -1 before the first call."""
    tool_block: int = -1
    changes: int = 0
    """Tool changes so far."""
    feed_given: int = 0
    """How many changes had been made when the F in force was given."""
    feed_mode_given: int = 0
    moved_since_change: bool = True
    stopped: bool = False
    """The program has stopped since the last cut."""
    offset_cancelled: bool = False
    loss: Loss | None = None
    depth: dict[Act, float] = field(default_factory=dict)
    """Roughing depth of a level by cycle, radial (G71) or axial (G72)."""
    withdrawal: dict[Act, float] = field(default_factory=dict)
    """Withdrawal of roughing, return of pecking, by cycle."""
    threading: ThreadValues = ThreadValues()
    lead: float = 0.0
    """Of the last thread, mm."""
    pattern: dict[str, float] = field(default_factory=dict)
    """`i` and `k`, the shift of a pattern (radial, along Z), and its number of `passes`, as far as
    set."""
    drilling_return: Act | None = None
    """The level that drilling returns to, where a word of the program has said it."""

    @property
    def shift(self) -> Position:
        """(z, r) to add to a programmed coordinate to get the place in the work offset's frame."""
        parts = (self.local, self.named, self.offset_change)
        return sum(p[0] for p in parts), sum(p[1] for p in parts)


def conditions(state: State, machine: Machine) -> Conditions:
    """The columns of the table that the state fills. A spindle told no speed does not turn."""
    return Conditions(
        spindle=state.spindle if state.speed > 0 else Spindle.STOPPED,
        feed=state.feed,
        feed_mode=state.feed_mode,
        speed=state.speed,
        speed_mode=state.speed_mode,
        clamp=min(state.clamp, machine.spindle_limit or math.inf),
        coolant=state.coolant,
    )
