"""The levels of roughing with pockets: every stretch between walls, its way in and the way over.

Common practice across makes of lathe, where they agree; where they differ `Manner` names each known
way. Worked in the frame (x, y) of `stretches`: the (along, across) frame of `path` with both axes
turned so that x grows along the feed and y into the metal.

- A stretch in front of the entry begins at S' or on the line from S' to the entry; its infeed is
  made in the manner of the profile's first block.
- Into a pocket: rapid down to the level above, which is cut, then by feed, straight down to where
  the stretch begins or along the wall. No control can go down there by rapid: the metal stands.
- To a pocket: straight up until it clears what is cut between here and there, anywhere between that
  height and S', and straight down. Every height that clears the ridge between two pockets lies in
  it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple, TypeVar

from standclear.job.models import Control
from standclear.motions.cycles.levels import Levels
from standclear.motions.cycles.outline import (
    Meeting,
    Outline,
    crossings,
    deepens,
    outline_of,
    point_before,
)
from standclear.motions.cycles.path import follow, only_moving, rapid, way_home
from standclear.motions.cycles.plain_levels import LEVEL_ENDS, Call, LevelEnd
from standclear.motions.cycles.stretches import Stretch, stretches, way_down
from standclear.motions.step import Position, Reading, Step
from standclear.motions.table import Kind, Path

Order = Literal["by-level", "by-pocket"]
WayIn = Literal["moved-start", "entry-line"]
Infeed = Literal["straight", "along-profile"]
ORDERS: tuple[Order, ...] = ("by-level", "by-pocket")
WAYS_IN: tuple[WayIn, ...] = ("moved-start", "entry-line")
INFEEDS: tuple[Infeed, ...] = ("straight", "along-profile")
Value = TypeVar("Value")


class Manner(NamedTuple):
    """One way of roughing pockets: a value for each row of the control."""

    pocket_order: Order
    """All pockets on one level before the next, or each pocket to its bottom."""
    pocket_levels_begin: WayIn
    """Levels in front of the entry begin at S', or on the line from S' to the entry."""
    pocket_infeed: Infeed
    level_end: LevelEnd


def manners(control: Control) -> list[Manner]:
    """Every combination of the values that the control's rows allow."""
    return [
        Manner(order, way_in, infeed, end)
        for order in _open(control.pocket_order, ORDERS)
        for way_in in _open(control.pocket_levels_begin, WAYS_IN)
        for infeed in _open(control.pocket_infeed, INFEEDS)
        for end in _open(control.level_end, LEVEL_ENDS)
    ]


def _open(stated: Value | None, known: tuple[Value, ...]) -> tuple[Value, ...]:
    return known if stated is None else (stated,)


def pocket_readings(
    call: Call, levels: Sequence[Levels], control: Control
) -> tuple[tuple[Reading, ...], int]:
    """Each different list of steps, and the most stretches of a list that end outside the profile.

    A row whose values make no difference in this call is not named.
    """
    section = _section(call)
    outside = 0
    found: dict[tuple[Step, ...], tuple[Levels, Manner]] = {}
    for each in levels:
        ways_in = _open(control.pocket_levels_begin, WAYS_IN)
        trees = {way_in: _tree(section, each, way_in) for way_in in ways_in}
        for manner in manners(control):
            tree = trees[manner.pocket_levels_begin]
            steps, ended_outside = _steps(section, each, tree, manner)
            outside = max(outside, ended_outside)
            found.setdefault(steps, (each, manner))
    rows = [
        name
        for position, name in enumerate(Manner._fields)
        if len({manner[position] for _, manner in found.values()}) > 1
    ]
    return tuple(
        Reading(
            (*each.values, *(f"{row}={getattr(manner, row)}" for row in rows)),
            tuple(replace(step, end=section.turned(step.end)) for step in steps),
        )
        for steps, (each, manner) in found.items()
    ), outside


@dataclass(frozen=True)
class _Section:
    """A call in the frame (x, y)."""

    call: Call
    signs: tuple[int, int]
    start: Position
    """S'."""
    outline: Outline

    def turned(self, point: Position) -> Position:
        """From one frame to the other."""
        return (self.signs[0] * point[0], self.signs[1] * point[1])

    def begin(self, y: float, way_in: WayIn) -> float:
        """x where a level at `y` in front of the entry begins."""
        entry = self.outline.entry
        if way_in == "moved-start" or y <= self.start[1]:
            return self.start[0]
        share = min((y - self.start[1]) / (entry[1] - self.start[1]), 1.0)
        return self.start[0] + share * (entry[0] - self.start[0])

    def withdrawn(self, point: Position) -> Position:
        """The point withdrawn at 45 degrees."""
        return (point[0] - self.call.withdrawal, point[1] - self.call.withdrawal)


def _section(call: Call) -> _Section:
    signs = (call.outline.along_sign, call.outline.across_sign)

    def turned(point: Position) -> Position:
        return (signs[0] * point[0], signs[1] * point[1])

    moves = [replace(m, points=tuple(turned(p) for p in m.points)) for m in call.moves]
    outline = outline_of(moves, turned(call.allowance), 1, 1)
    return _Section(call, signs, turned(call.moved_start), outline)


@dataclass(eq=False)
class _Node:
    """A stretch in the tree of those that lie under one another."""

    stretch: Stretch
    above: _Node | None
    under: list[_Node] = field(default_factory=list)

    def over(self) -> Iterator[_Node]:
        """This stretch and all above it, upwards."""
        node: _Node | None = self
        while node is not None:
            yield node
            node = node.above


def _tree(section: _Section, levels: Levels, way_in: WayIn) -> list[list[_Node]]:
    """The stretches of each level, each knowing the one above it."""
    rows: list[list[_Node]] = []
    for depth in levels.depths:
        y = section.start[1] + depth
        row: list[_Node] = []
        above = rows[-1] if rows else []
        for stretch in stretches(section.outline, y, section.begin(y, way_in)):
            middle = (stretch.begin + stretch.end) / 2
            over = next((n for n in above if n.stretch.begin <= middle <= n.stretch.end), None)
            node = _Node(stretch, over)
            if over is not None:
                over.under.append(node)
            row.append(node)
        rows.append(row)
    return rows


def _in_order(rows: Sequence[Sequence[_Node]], order: Order) -> Iterator[_Node]:
    if order == "by-level":
        for row in rows:
            yield from row
        return
    waiting = [node for row in reversed(rows) for node in reversed(row) if node.above is None]
    while waiting:
        node = waiting.pop()
        yield node
        waiting.extend(reversed(node.under))


def _steps(
    section: _Section, levels: Levels, tree: Sequence[Sequence[_Node]], manner: Manner
) -> tuple[tuple[Step, ...], int]:
    """All steps of one reading, from S back to S, and how many stretches end at the exit."""
    base = section.start[1] + levels.base
    steps = [rapid(section.start)]
    last: _Node | None = None
    outside = 0
    for node in _in_order(tree, manner.pocket_order):
        steps += _to_stretch(section, steps[-1].end, last, node, base, manner)
        steps += _cut(section, node, base, manner.level_end)
        outside += node.stretch.met < 0
        last = node
    if last is not None:
        steps += _to_way_in(section, steps[-1].end, last, None, manner)
    first = section.call.moves[0]
    steps.append(Step(first.kind, section.outline.entry, profile=first.block))
    steps += [
        replace(step, end=section.turned(step.end))
        for step in follow(section.call.moves[1:], section.call.allowance)
    ]
    start = section.turned(section.call.start)
    steps += way_home(steps[-1].end, start, section.call.home)
    return only_moving(start, steps), outside


def _to_stretch(
    section: _Section,
    here: Position,
    last: _Node | None,
    node: _Node,
    base: float,
    manner: Manner,
) -> list[Step]:
    """From where the stretch before left the tool to the beginning of the next."""
    stretch = node.stretch
    begin = (stretch.begin, stretch.depth)
    if stretch.front:
        back = [] if last is None else _to_way_in(section, here, last, node, manner)
        return [*back, Step(section.call.moves[0].kind, begin)]
    top = base if node.above is None else node.above.stretch.depth
    if manner.pocket_infeed == "straight":
        down = [((stretch.begin, top), -1), (begin, stretch.wall)]
    else:
        down = way_down(section.outline, stretch, top)
    x = down[0][0][0]
    over = _over(section, here, last, node, x)
    pieces = section.outline.pieces
    fed = [
        Step(
            Kind.FEED,
            point,
            profile=pieces[index].block if index >= 0 else -1,
            sagitta=pieces[index].sagitta if index >= 0 else 0.0,
        )
        for point, index in down[1:]
    ]
    return [*over, rapid(down[0][0]), *fed]


def _to_way_in(
    section: _Section, here: Position, last: _Node, node: _Node | None, manner: Manner
) -> list[Step]:
    """Back to where the infeed in front of the entry begins; `node` None: for the profile pass."""
    under = last.stretch.front if node is None else node.above is last
    if not under:
        front = next((n for n in last.over() if n.stretch.front), None)
        return _across(section, here, front, section.start[0])
    x = section.begin(here[1], manner.pocket_levels_begin)
    return [_back((x, here[1]), manner.level_end)]


def _over(
    section: _Section, here: Position, last: _Node | None, node: _Node, x: float
) -> list[Step]:
    """To a place above where the tool goes down into a pocket at `x`."""
    if last is None:
        return [rapid((x, here[1]))]
    mine = set(node.over())
    return _across(section, here, next((n for n in last.over() if n in mine), None), x)


def _back(end: Position, level_end: LevelEnd) -> Step:
    """Back over the level just cut. Whether a control that follows the profile upwards also
    withdraws before is not known: both ways lie in the rectangle."""
    straight = level_end == "45-degrees"
    return Step(Kind.RAPID, end, path=Path.STRAIGHT if straight else Path.ANYWHERE)


def _across(section: _Section, here: Position, shared: _Node | None, x: float) -> list[Step]:
    """Over to `x`: `shared` is the lowest level that runs over both sides of the ridge between, or
    the one just cut where there is none; None: no level does."""
    top = section.start[1]
    height = top if shared is None else shared.stretch.depth - section.call.withdrawal
    up = (here[0], min(here[1], height))
    return [rapid(up), Step(Kind.RAPID, (x, min(up[1], top)), path=Path.ANYWHERE)]


def _cut(section: _Section, node: _Node, base: float, level_end: LevelEnd) -> list[Step]:
    """The feed along the stretch, and away from its end."""
    stretch, pieces = node.stretch, section.outline.pieces
    end = (stretch.end, stretch.depth)
    met = pieces[stretch.met] if stretch.met >= 0 else None
    steps = [
        Step(Kind.FEED, end)
        if met is None
        else Step(Kind.FEED, end, profile=met.block, sagitta=met.sagitta)
    ]
    if level_end == "along-profile" and met is not None:
        top = base if node.above is None else node.above.stretch.depth
        steps += _climb(section.outline, stretch.met, top)
    return [*steps, Step(Kind.RAPID, section.withdrawn(steps[-1].end), straight=True)]


def _climb(outline: Outline, first: int, top: float) -> list[Step]:
    """Feed along the profile from piece `first` up to `top`; ends before that where the profile
    ends or goes down again."""
    steps: list[Step] = []
    for index in range(first, len(outline.pieces)):
        piece = outline.pieces[index]
        if deepens(outline, piece):
            break
        reached = crossings(piece, top)
        end = point_before(outline, Meeting(index, min(reached)), top) if reached else piece.end
        steps.append(Step(Kind.FEED, end, profile=piece.block, sagitta=piece.sagitta))
        if reached:
            break
    return steps
