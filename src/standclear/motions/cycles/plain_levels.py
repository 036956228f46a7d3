"""The levels of plain roughing: each from S' to the first meeting with the moved profile.

In the (along, across) frame of `path`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from standclear.motions.cycles.levels import Levels
from standclear.motions.cycles.outline import (
    Meeting,
    Outline,
    first_meeting,
    point_before,
    turns_back,
)
from standclear.motions.cycles.path import (
    Home,
    follow,
    only_moving,
    rapid,
    sign,
    way_home,
)
from standclear.motions.step import Position, ProfileMove, Step
from standclear.motions.table import Kind, Path

LevelEnd = Literal["45-degrees", "along-profile"]
LEVEL_ENDS: tuple[LevelEnd, ...] = ("45-degrees", "along-profile")


@dataclass(frozen=True, slots=True)
class Call:
    """A call that can be followed; positions in the (along, across) frame."""

    start: Position
    """S."""
    moved_start: Position
    """S'."""
    outline: Outline
    moves: tuple[ProfileMove, ...]
    allowance: Position
    withdrawal: float
    home: Home | None

    @property
    def infeed(self) -> Kind:
        """The manner of the profile's first block."""
        return self.moves[0].kind

    def outward(self, point: Position) -> Position:
        """The point withdrawn at 45 degrees."""
        return (
            point[0] - self.outline.along_sign * self.withdrawal,
            point[1] - self.outline.across_sign * self.withdrawal,
        )


def plain_steps(call: Call, levels: Levels, level_end: LevelEnd) -> tuple[Step, ...]:
    """All steps of one reading, from S back to S."""
    outline = call.outline
    steps = [rapid(call.moved_start)]
    above = call.moved_start[1] + outline.across_sign * levels.base
    for depth in levels.depths:
        across = call.moved_start[1] + outline.across_sign * depth
        if sign(across - outline.entry[1]) == 0:
            across = outline.entry[1]
        steps += _level(call, across, above, level_end)
        above = across
    first = call.moves[0]
    steps.append(Step(first.kind, outline.entry, profile=first.block))
    steps += follow(call.moves[1:], call.allowance)
    steps += way_home(outline.exit, call.start, call.home)
    return only_moving(call.start, steps)


def _level(call: Call, across: float, above: float, level_end: LevelEnd) -> list[Step]:
    """Infeed, feed, withdrawal and return of the level at `across`; `above` is the one before."""
    outline, begin = call.outline, call.moved_start[0]
    meeting = first_meeting(outline, begin, across)
    infeed = Step(call.infeed, (begin, across))
    if meeting is None:
        end = (outline.exit[0], across)
        return [infeed, Step(Kind.FEED, end), *withdraw(call, end)]
    met = outline.pieces[meeting.index]
    end = (meeting.along, across)
    steps = [infeed, Step(Kind.FEED, end, profile=met.block, sagitta=met.sagitta)]
    if level_end == "45-degrees":
        return steps + withdraw(call, end)
    climb = _climb(outline, meeting, above, begin)
    if not climb:
        return steps + withdraw(call, end)
    top = climb[-1].end
    # Whether such a control also withdraws before it returns is not known: both ways lie in the
    # rectangle between the withdrawn point and the return at the height reached.
    return [
        *steps,
        *climb,
        Step(Kind.RAPID, call.outward(top), straight=True),
        Step(Kind.RAPID, (begin, top[1]), path=Path.ANYWHERE),
    ]


def withdraw(call: Call, end: Position) -> list[Step]:
    """Away at 45 degrees and back to where levels begin."""
    away = call.outward(end)
    return [
        Step(Kind.RAPID, away, straight=True),
        rapid((call.moved_start[0], away[1])),
    ]


def _climb(outline: Outline, meeting: Meeting, above: float, begin: float) -> list[Step]:
    """Feed along the profile from where a level met it to the level above.

    Ends before that where the profile ends or a pocket begins: a pocket is left to the pass along
    the profile.
    """
    goal = first_meeting(outline, begin, above)
    steps: list[Step] = []
    for index in range(meeting.index, len(outline.pieces)):
        piece = outline.pieces[index]
        if turns_back(outline, piece):
            break
        last = goal is not None and goal.index == index
        end = point_before(outline, goal, above) if goal is not None and last else piece.end
        steps.append(Step(Kind.FEED, end, profile=piece.block, sagitta=piece.sagitta))
        if last:
            break
    return steps
