"""The way through a program as data: the block in hand, the calls it is inside of, the bounds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from standclear.motions.flow.numbers import Value

MOST_BLOCKS = 500_000
"""Executed blocks of one run. The longest programs of the trade have some hundred thousand (common
practice, no source); what runs longer is taken for an endless loop."""
KEPT_ROWS = 4_000
"""Motions that are proved of a run that goes beyond its bounds: what strikes early is still told,
and no more time goes into a run that has no end."""
MOST_ROWS = 200_000
"""Motions of one run: a proof of more takes hours."""
MOST_CALLS = 10
"""Calls inside one another. Controls go from four to ten (common practice, no source)."""
MOST_MACRO_LEVELS = 4
"""Macros inside one another, each with locals of its own (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class MacroCall:
    """A G65 or G66 block read: where the macro begins, how often it runs, its arguments."""

    block: int
    start: int
    count: int
    arguments: Mapping[int, Value]


Stamp = tuple[int, int, MacroCall | None, tuple[tuple[int, int], ...]]
"""Changes of variables and stops so far, what G66 calls, and for each call its block and how often
it still runs: where a jump leads back to a block that was passed with the same stamp, nothing on
the way can ever turn out differently."""


@dataclass(slots=True)
class Frame:
    """One call that the block in hand is inside of."""

    call: int
    """Index of the block that called."""
    back: int
    """Index of the block to go on with afterwards."""
    start: int
    """Index of the block that each repeat begins with."""
    left: int
    """How often it still runs, this time included."""
    macro: MacroCall | None = None
    """Of a call with arguments: its locals are its own."""
    after_motion: bool = False
    """Called by G66 after a motion."""


@dataclass
class Walk:
    """Where a run stands in its program."""

    index: int = 0
    frames: list[Frame] = field(default_factory=list)
    after_motions: MacroCall | None = None
    """What G66 calls after each block that moves."""
    executed: int = 0
    stops: int = 0
    passed: dict[int, Stamp] = field(default_factory=dict)
    """Blocks that a jump may lead to, with the stamp of when they were last run."""
    ties: dict[tuple[int, float, float], int] = field(default_factory=dict)
    """Comparisons that rounding decides, numbered: same block and values, same answer."""
    drift: dict[str, float] = field(default_factory=dict)
    """By axis, mm: how much the control's rounding of computed increments may have added up to."""
