"""Where a roughing level runs free between the walls of a profile with pockets.

Frame: (x, y), x growing along the feed of the levels, y growing into the metal. The profile never
runs back: x never falls along it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf

from standclear.motions.cycles.outline import Outline, Piece, crossings, deepens
from standclear.motions.cycles.path import TOUCH
from standclear.motions.step import Position


@dataclass(frozen=True, slots=True)
class Stretch:
    """A level between two walls, or from the way in to the first wall."""

    depth: float
    """y of the level."""
    begin: float
    """x, likewise `end`."""
    end: float
    front: bool
    """It begins at the way in, not at a wall of a pocket."""
    wall: int
    """Index of the piece it begins at; -1 for the way in."""
    met: int
    """Index of the piece it ends at; -1 for the profile's exit."""


@dataclass(frozen=True, slots=True)
class _Wall:
    """What stands in the way of a level: from x `low` to `high`, pieces `first` to `last`."""

    low: float
    high: float
    first: int
    last: int


def stretches(outline: Outline, depth: float, begin: float) -> tuple[Stretch, ...]:
    """The stretches of the level at `depth`, in the order of the feed.

    `begin` is where a level in front of the entry begins. Walls are met exactly on lines. An arc
    may lie up to its sagitta to either side of its chord: a stretch ends at the earliest and begins
    at the latest that any such arc allows, so that no level is credited with more than it cuts.

    A line of the profile along the level is free where it is the bottom of a pocket or begins the
    profile, else the level ends before it and begins again after it.
    """
    found: list[Stretch] = []
    here, front, wall = begin, True, -1
    for each in _merged(_walls(outline, depth)):
        if each.high < here - TOUCH:
            continue
        if each.low - here > TOUCH:
            found.append(Stretch(depth, here, each.low, front, wall, each.first))
        here, front, wall = max(here, each.high), False, each.last
    if outline.exit[0] - here > TOUCH:
        found.append(Stretch(depth, here, outline.exit[0], front, wall, -1))
    return tuple(found)


def _walls(outline: Outline, depth: float) -> Iterator[_Wall]:
    entry = outline.entry
    if depth > entry[1] + TOUCH:
        yield _Wall(-inf, entry[0], -1, -1)
    for index, piece in enumerate(outline.pieces):
        if _lies_along(piece, depth):
            if not _is_bottom(outline.pieces, index, depth):
                yield _Wall(piece.start[0], piece.end[0], index, index)
        elif outline.lowest[index] < depth:
            reached = _reach_above(piece, depth)
            if reached is not None:
                yield _Wall(*reached, index, index)


def _merged(walls: Iterator[_Wall]) -> list[_Wall]:
    """Walls that touch or overlap as one, in the order of x."""
    found: list[_Wall] = []
    for each in sorted(walls, key=lambda w: (w.low, w.first)):
        if found and each.low <= found[-1].high + TOUCH:
            last = found[-1]
            further = each.high >= last.high
            found[-1] = _Wall(
                last.low,
                max(last.high, each.high),
                last.first,
                each.last if further else last.last,
            )
        else:
            found.append(each)
    return found


def _reach_above(piece: Piece, depth: float) -> tuple[float, float] | None:
    """The x between which the piece lies nearer to the surface than `depth`; None: nowhere."""
    above = [point[0] for point in piece.outer() if point[1] < depth - TOUCH]
    if not above:
        return None
    places = [*above, *crossings(piece, depth)]
    return min(places), max(places)


def _lies_along(piece: Piece, depth: float) -> bool:
    """True for a line along the level at `depth`."""
    return piece.sagitta == 0 and all(
        abs(point[1] - depth) <= TOUCH for point in (piece.start, piece.end)
    )


def _is_bottom(pieces: Sequence[Piece], index: int, depth: float) -> bool:
    """True where the profile comes down to the line `index` along the level, or begins with it, and
    does not go deeper after it unless it begins with it."""
    before = index
    while before >= 0 and _lies_along(pieces[before], depth):
        before -= 1
    if before < 0:
        return True
    after = index
    while after < len(pieces) and _lies_along(pieces[after], depth):
        after += 1
    comes_down = pieces[before].start[1] < pieces[before].end[1]
    goes_up = after == len(pieces) or pieces[after].end[1] < pieces[after].start[1]
    return comes_down and goes_up


def way_down(outline: Outline, stretch: Stretch, top: float) -> list[tuple[Position, int]]:
    """The wall from the depth `top` to where the stretch begins: points, each with the piece that
    leads to it, -1 for none.

    The first point lies at `top`: on the wall, or straight above the ridge that the wall begins at.
    """
    first = stretch.wall
    if not _goes_down(outline, first):
        return [((stretch.begin, top), -1), ((stretch.begin, stretch.depth), -1)]
    while outline.pieces[first].start[1] > top + TOUCH and _goes_down(outline, first - 1):
        first -= 1
    piece = outline.pieces[first]
    ridge = piece.start[0]
    if piece.start[1] > top + TOUCH:
        points = [((ridge, top), -1), (piece.start, -1)]
    else:
        x = max(crossings(piece, top), default=ridge)
        points = [((min(x, stretch.begin), top), -1)]
    points += [(outline.pieces[i].end, i) for i in range(first, stretch.wall)]
    return [*points, ((stretch.begin, stretch.depth), stretch.wall)]


def _goes_down(outline: Outline, index: int) -> bool:
    return index >= 0 and deepens(outline, outline.pieces[index])
