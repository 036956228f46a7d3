"""One stage: no motion meets metal with what does not cut, nor an obstacle with anything."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from standclear.audit.exact import (
    Convex,
    Point,
    common,
    grown,
    hull,
    length_at_least,
    meets_outline,
    mirrored,
    moved,
    swept,
    value,
    without,
)
from standclear.audit.read import ANYWHERE, FEED, RAPID, STRAIGHT, Refused, Row, Stage
from standclear.audit.tool import Shape

ON_AXIS = 1
"""Nanometre within which a drill counts as on the axis."""

Block = list[list[tuple[int, list[Convex]]]]
"""Of readings of one call, of which one is made, the areas that each cuts, and how far they may lie
off from what they are held against."""


class StageCheck:
    """A stage held against the metal it begins with, convex parts of it."""

    def __init__(
        self, stage: Stage, shapes: Sequence[Shape], metal: Sequence[Convex], contact_limit: int
    ) -> None:
        self.stage, self.shapes, self.metal = stage, shapes, metal
        self.limit = contact_limit
        self.worst_wear = max((shape.tool.wear for shape in shapes), default=0)
        self.held_against: dict[int, list[Convex]] = {}
        self._cut: dict[int, list[Convex]] = {}
        self._check_form()

    def _check_form(self) -> None:
        """Readings of a call stand together, one after the other."""
        seen: set[tuple[int, int]] = set()
        last = (-1, 0)
        for number, row in enumerate(self.stage.motions):
            if row.tool >= len(self.shapes):
                raise Refused(f"{self.where(number)}: there is no tool {row.tool}")
            here = (row.choice, row.reading)
            if here != last and row.choice >= 0:
                known = any(choice == row.choice for choice, _ in seen)
                if here in seen or (known and last[0] != row.choice):
                    raise Refused(f"{self.where(number)}: readings of a call stand apart")
                seen.add(here)
            last = here

    def where(self, number: int) -> str:
        """A motion in words."""
        line = self.stage.motions[number].line
        program = f", line {line}" if line else ""
        return f"set-up {self.stage.setup}{program} (motion {number})"

    def check(self) -> int:
        """Raises `Refused` where a motion may strike; else how many areas met the metal's place
        and were found cut."""
        met = 0
        for number in range(len(self.stage.motions)):
            self._check_obstacles(number)
            for left in self.left_by_itself(number):
                self._check_cut(number, left)
                met += 1
        return met

    def left_by_itself(self, number: int) -> Iterator[list[Convex]]:
        """What the parts of a tool come upon in a motion that must not cut: where metal stood when
        the stage began and the motion's own edges have not passed before."""
        there = self.metal_for(self.shapes[self.stage.motions[number].tool].tool.wear)
        for area, own in self._ways(number):
            left = [c for part in there if (c := common(area, part)) is not None]
            if left:
                left = without(left, own)
                yield without(left, self.where_it_stood(number)) if own else left

    def _ways(self, number: int) -> Iterator[tuple[Convex, list[Convex]]]:
        """What each part of a tool covers in a motion, on this side of the axis and turned over
        from the other, with what the motion's own edges have cut before the part comes there."""
        row = self.stage.motions[number]
        shape, way = self.shapes[row.tool], _way(row)
        cutting = self._cuts(row)
        if cutting and row.crest > 0 and way != (0, 0):
            crest = row.crest + self.limit
            crest += self.worst_wear + shape.tool.wear if self.worst_wear else 0
            for left in shape.in_thread(way, crest, self.limit):
                area = swept(moved(left, row.start), way)
                yield area, []
                if area.box[1] < 0:
                    yield mirrored(area), []
            return
        for ring in shape.tool.body:
            for area in self._in_corner(number, ring):
                yield area, []
                if area.box[1] < 0:
                    yield mirrored(area), []
        for part, ring in enumerate(shape.tool.body):
            area = _way_of(ring, row)
            for over in (None, row.start[1]) if area.box[1] < 0 else (None,):
                # An arc along the axis may bring the image nearer than its chord says.
                known = cutting and not (over is not None and row.sagitta and way[1] == 0)
                edges = shape.clears(part, way, over) if known else frozenset()
                own = shape.cut(edges, row.start, way, row.sagitta)
                yield area if over is None else mirrored(area), own

    def _cuts(self, row: Row) -> bool:
        """Whether the tool's edges cut in a motion; else all of it must find the way empty."""
        tool = self.shapes[row.tool].tool
        off = max(abs(row.start[1]), abs(row.end[1]))
        return (
            row.kind == FEED
            and row.path == STRAIGHT
            and row.spindle == tool.spindle
            and (not tool.on_axis or off <= ON_AXIS)
        )

    def _check_obstacles(self, number: int) -> None:
        row = self.stage.motions[number]
        tool = self.shapes[row.tool].tool
        ways = (
            a for ring in tool.body for a in (_way_of(ring, row), *self._in_corner(number, ring))
        )
        for way in ways:
            area = grown(way, tool.wear)
            for there in (area, mirrored(area)) if area.box[1] < 0 else (area,):
                for name, outline in self.stage.obstacles:
                    if meets_outline(there, outline):
                        raise Refused(f"{self.where(number)}: the tool strikes the {name}")

    def _in_corner(self, number: int, part: Sequence[Point]) -> list[Convex]:
        """What a part of the tool may cover where the control rounds the corner into a motion, both
        ways in rapid: between the places so far before and behind it, or, where a way is shorter or
        not known, anywhere so near it."""
        within, row, before = self.stage.corner, self.stage.motions[number], self._before(number)
        if not within or row.kind != RAPID or (before is not None and before.kind != RAPID):
            return []
        z, r = row.start
        places = [(z + a, r + b) for a in (-within, within) for b in (-within, within)]
        if before is not None and STRAIGHT == before.path == row.path:
            ways = [_way(row), (before.start[0] - z, before.start[1] - r)]
            if all(length_at_least(way) >= within for way in ways):
                # Of places between whole numbers, all four around.
                places = [row.start] + [
                    (z + way[0] * within // long + a, r + way[1] * within // long + b)
                    for way, long in ((way, length_at_least(way)) for way in ways)
                    for a in (0, 1)
                    for b in (0, 1)
                ]
        return [_around(part, places)]

    def metal_for(self, wear: int) -> list[Convex]:
        """The metal as a tool meets it that may lie off by `wear`."""
        if wear not in self.held_against:
            self.held_against[wear] = [grown(part, wear) for part in self.metal]
        return self.held_against[wear]

    def _check_cut(self, number: int, left: list[Convex]) -> None:
        left = left_by(left, self.blocks(self.stage.earlier.get(number, ()), number))
        left = without(left, self.where_it_stood(number)) if left else left
        if left:
            z, r, w = left[0].corners[0]
            raise Refused(
                f"{self.where(number)}: what does not cut passes through metal that the file does "
                f"not show to be cut before, near X{2 * r / w / 1e6:.3f} Z{z / w / 1e6:.3f} mm"
            )

    def blocks(self, numbers: Iterable[int], until: int | None) -> list[Block]:
        """What earlier motions have cut, as a motion numbered `until` finds it, or as lasts."""
        motions = self.stage.motions
        mine = None if until is None else motions[until]
        wear = 0 if mine is None else self.shapes[mine.tool].tool.wear
        plain: dict[int, tuple[int, list[Convex]]] = {}
        choices: dict[int, dict[int, list[tuple[int, list[Convex]]]]] = {}
        for number in numbers:
            row = motions[number]
            if until is not None and number >= until:
                raise Refused(f"{self.where(until)}: motion {number} is not earlier")
            same_tool = mine is not None and row.tool == mine.tool
            off = 0 if same_tool else wear + self.shapes[row.tool].tool.wear
            same_call = mine is not None and row.choice == mine.choice
            if row.choice < 0 or same_call:
                if same_call and mine is not None and row.reading != mine.reading:
                    raise Refused(f"{self.where(number)}: another reading of the same call")
                # What one tool has cut moves together; two tools lie off each its own way.
                plain.setdefault(row.tool, (off, []))[1].extend(self.cut(number))
            else:
                readings = choices.setdefault(row.choice, self._readings(row.choice))
                readings[row.reading].append((off, self.cut(number)))
        found: list[Block] = [[[cut_by_tool]] for cut_by_tool in plain.values()]
        return found + [list(readings.values()) for readings in choices.values()]

    def _readings(self, choice: int) -> dict[int, list[tuple[int, list[Convex]]]]:
        return {row.reading: [] for row in self.stage.motions if row.choice == choice}

    def cut(self, number: int) -> list[Convex]:
        """What a motion cuts for good.

        The end of a chord lies on its arc: what the tool holds there close behind its cutting edges
        has come in over them, though beside the chord the arc may leave it standing.
        """
        if number not in self._cut:
            row = self.stage.motions[number]
            shape, way = self.shapes[row.tool], _way(row)
            found: list[Convex] = []
            if self._cuts(row) and row.counted and shape.tool.opens:
                found = shape.cut(shape.leads(way), row.start, way, row.sagitta)
                if row.sagitta:
                    found += shape.inside_edges(row.end, 2 * row.sagitta)
            self._cut[number] = found
        return self._cut[number]

    def _before(self, number: int) -> Row | None:
        """The motion that brought the tool to where a motion begins; None where none did."""
        motions = self.stage.motions
        row, k = motions[number], number - 1
        while k >= 0 and motions[k].choice == row.choice >= 0 and motions[k].reading != row.reading:
            k -= 1
        if k < 0 or motions[k].choice not in (-1, row.choice):
            return None
        before = motions[k]
        return before if before.tool == row.tool and before.end == row.start else None

    def where_it_stood(self, number: int) -> list[Convex]:
        """The body where it stands when a motion begins, if the motion before brought it there:
        then it was looked at with that one."""
        row = self.stage.motions[number]
        if self._before(number) is None:
            return []
        body = [moved(part, row.start) for part in self.shapes[row.tool].body]
        return body + [mirrored(part) for part in body if part.box[1] < 0]

    def check_left(self) -> None:
        """What the stage leaves lies in what it says stays and falls, and these hang on nothing in
        common."""
        stays, falls = parts_of(self.stage.stays), parts_of(self.stage.falls)
        left = left_by(
            without(self.metal, (*stays, *falls)), self.blocks(self.stage.taken_by, None)
        )
        if left:
            raise Refused(f"set-up {self.stage.setup}: more metal is left than the file says")
        for one in stays:
            if any(not _apart(one, other) for other in falls):
                raise Refused(f"set-up {self.stage.setup}: what falls still hangs on what stays")


def left_by(areas: list[Convex], blocks: Iterable[Block]) -> list[Convex]:
    """What of `areas` may still be there after what the blocks cut for certain."""
    for block in blocks:
        left: list[Convex] = []
        for reading in block:
            rest = areas
            for off, covers in reading:
                rest = _without_off(rest, covers, off)
            left += rest
        areas = left
    return areas


def _without_off(areas: list[Convex], covers: list[Convex], off: int) -> list[Convex]:
    """What of `areas` the covers may leave where all of them together may lie off by `off`."""
    if off == 0:
        return without(areas, covers)
    left = []
    for area in areas:
        for gap in without([grown(area, off)], covers):
            may = common(area, grown(gap, off))
            left += [may] if may is not None else []
    return left


def parts_of(rings: Iterable[Iterable[Point]]) -> list[Convex]:
    """Convex parts of metal; those without area hold none."""
    return [part for ring in rings if (part := hull(ring)) is not None]


def _apart(one: Convex, other: Convex) -> bool:
    return any(
        all(value(line, corner) < 0 for corner in b.corners)
        for a, b in ((one, other), (other, one))
        for line in a.edges
    )


def _way(row: Row) -> Point:
    return row.end[0] - row.start[0], row.end[1] - row.start[1]


def _way_of(part: Sequence[Point], row: Row) -> Convex:
    """What a part of the tool covers in a motion."""
    places = [row.start, row.end]
    if row.path == ANYWHERE:
        places += [(row.start[0], row.end[1]), (row.end[0], row.start[1])]
    return _around(part, places)


def _around(part: Sequence[Point], places: Iterable[Point]) -> Convex:
    """What a part of the tool covers with the controlled point between places."""
    area = hull((z + dz, r + dr) for z, r in part for dz, dr in places)
    assert area is not None
    return area
