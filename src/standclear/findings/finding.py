"""A finding: one fact about a job, with its place, its size and its cure.

Every stage may make findings; none but the report turns them into words on a screen.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum, StrEnum


class Severity(IntEnum):
    """How much a finding weighs; the order is the order of weight."""

    NOTE = 1
    """Worth knowing; nothing need be done."""
    MEND = 2
    """Margin, clean-up, band, depth, clamp or sizes are off; a job may allow it with a reason."""
    STOP = 3
    """A strike, good metal cut, a wrong offset: do not press cycle start."""


class Verdict(StrEnum):
    """The answer for a set-up or a job. A job takes the worst of its set-ups."""

    CLEAR = "clear"
    UNPROVEN = "unproven"
    CONTACT = "contact"

    @property
    def rank(self) -> int:
        """0 clear, 1 unproven, 2 contact."""
        return list(Verdict).index(self)


@dataclass(frozen=True, slots=True)
class Place:
    """Where in a program: `line` and `column` count from 1; `words` is the block as written."""

    program: str
    block: int
    """Index of the block in its program, from 0."""
    line: int
    column: int
    words: str
    elsewhere: bool = False
    """True in a file that the set-up's program calls: line numbers of that program do not count."""

    @property
    def in_words(self) -> str:
        """`line 14`, or `sub.nc line 14` where it stands in another file than the set-up's own."""
        return f"{self.program} line {self.line}" if self.elsewhere else f"line {self.line}"


class Quantity(StrEnum):
    """What a measured value is, so that the report can give it in the job's unit."""

    LENGTH = "length"
    """Millimetres, a plain distance."""
    DIAMETER = "diameter"
    """Millimetres on diameter."""
    POSITION_X = "x"
    """Programmed X: millimetres on diameter, signed."""
    POSITION_Z = "z"
    """Programmed Z: millimetres from the part zero, signed."""
    ANGLE = "angle"
    """Degrees."""
    COUNT = "count"
    """A pure number."""
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Measure:
    """One value of a finding, by name: always millimetres or degrees inside."""

    name: str
    value: float | str
    quantity: Quantity = Quantity.LENGTH


@dataclass(frozen=True, slots=True)
class Finding:
    """One fact. `message` reads aloud like a colleague's sentence and carries the size.

    `message` and `cure` may hold `{name}` for any measure; the report fills it in the job's unit.
    """

    code: str
    """Names the flaw in words joined by hyphens; each has a page that `explain` prints."""
    severity: Severity
    message: str
    cure: str = ""
    setup: str = ""
    place: Place | None = None
    related: tuple[Place, ...] = ()
    measures: tuple[Measure, ...] = ()
    unproven: bool = False
    """True when the motions after this place could not be followed or judged."""
    motion: int = -1
    """Number of the motion in its set-up, -1 where none belongs."""
    allowed_because: str = ""
    """The reason the job gives for letting a `mend` stand; printed on every report."""
    tags: tuple[str, ...] = field(default=())
    """Names of the open control values that made the finding, `row=value`."""
