"""Steps of a part, diameter by length with corners, into the outline of the job file and back.

Steps run from the front face, z = 0, towards the back. A corner stands at an end of a step's
surface, where a face or a shoulder meets it: an outside corner is broken or rounded, an inside
corner filled. Lengths are in the unit of the file; an outline is (z, diameter).
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from standclear.page.entry.numbers import NotRead, number_of, number_text

Point = tuple[float, float]

SAGITTA_MM = 0.001
"""How far the chords of a rounded corner may leave its arc."""
DECIMALS = 6
"""Of a coordinate that is worked out."""
SAME = 1e-6
"""Coordinates closer than this are the same."""
_CORNER = re.compile(
    r"(?P<kind>[rR])?\s*(?P<size>[^xX*°]+?)\s*(?:[xX*]\s*(?P<angle>\d+(?:[.,]\d+)?)\s*°?)?"
)
_ACCEPTED = "give 1 for a chamfer of 1 by 45 degrees, 1x30 for another angle, R0.5 for a radius"


class CornerMisfit(ValueError):
    """A corner, or a step, that cannot be: `row` counts from 0, `end` is `front`, `back` or a key
    of the step."""

    def __init__(self, row: int, end: str, found: str, accepted: str) -> None:
        super().__init__(f"step {row + 1}, {end}: {found}: {accepted}")
        self.row, self.end, self.found, self.accepted = row, end, found, accepted


@dataclass(frozen=True, slots=True)
class Corner:
    """`size` is the length of a chamfer along the axis, or a radius; both 0 for a sharp corner."""

    size: float = 0.0
    angle: float = 45.0
    """Of a chamfer, degrees from the axis."""
    round: bool = False

    @property
    def words(self) -> str:
        """As it is typed; empty for a sharp corner."""
        if not self.size:
            return ""
        if self.round:
            return f"R{number_text(self.size)}"
        size = number_text(self.size)
        return size if self.angle == 45.0 else f"{size}x{number_text(self.angle)}"


SHARP = Corner()


@dataclass(frozen=True, slots=True)
class Step:
    """One stretch of the part's outside."""

    diameter: float
    length: float
    to: float | None = None
    """Diameter at the far end of a taper; None where it is straight."""
    front: Corner = SHARP
    back: Corner = SHARP

    @property
    def end(self) -> float:
        """Diameter at the end towards the back."""
        return self.diameter if self.to is None else self.to


def corner_of(text: str) -> Corner:
    """A corner as it is typed. Raises NotRead."""
    text = text.strip()
    if not text:
        return SHARP
    match = _CORNER.fullmatch(text)
    if match is None or (match["kind"] and match["angle"]):
        raise NotRead(_ACCEPTED)
    try:
        size = number_of(match["size"])
        angle = number_of(match["angle"]) if match["angle"] else 45.0
    except NotRead:
        raise NotRead(_ACCEPTED) from None
    if size < 0 or not 0 < angle < 90:
        raise NotRead(_ACCEPTED)
    return Corner(size, angle, bool(match["kind"])) if size else SHARP


def outline_of(steps: Sequence[Step], sagitta: float) -> tuple[list[Point], list[int]]:
    """The outline of `steps`, and for each of its points the step that it belongs to.

    Raises CornerMisfit where a corner has no room or no shoulder to stand at.
    """
    outline: list[Point] = []
    owners: list[int] = []
    z = 0.0
    for index, step in enumerate(steps):
        if step.length <= 0:
            raise CornerMisfit(index, "length", number_text(step.length), "give more than 0")
        for end, diameter in (("diameter", step.diameter), ("to", step.end)):
            if diameter < 0:
                found = number_text(diameter)
                raise CornerMisfit(index, end, found, "give a diameter, 0 or more")
        before = steps[index - 1].end if index else 0.0
        after = steps[index + 1].diameter if index + 1 < len(steps) else 0.0
        _check_room(steps, index)
        start, stop = (z, step.diameter / 2), (z - step.length, step.end / 2)
        front = _corner_points(index, "front", step, start, stop, before / 2, sagitta)
        back = _corner_points(index, "back", step, stop, start, after / 2, sagitta)
        for point in (*reversed(front), *back):
            # `+ 0.0` turns the -0.0 of rounding into 0.0.
            made = (round(point[0], DECIMALS) + 0.0, round(2 * point[1], DECIMALS) + 0.0)
            if not outline or math.dist(outline[-1], made) > SAME:
                outline.append(made)
                owners.append(index)
        z -= step.length
    return outline, owners


def length_of(steps: Sequence[Step]) -> float:
    """Of the whole part."""
    return round(sum(step.length for step in steps), DECIMALS)


def _corner_points(
    index: int, end: str, step: Step, vertex: Point, far: Point, neighbour: float, sagitta: float
) -> list[Point]:
    """Points of the corner at `vertex`, from the surface of the step to its face or shoulder.

    `far` is the other end of the surface, `neighbour` the radius that the face runs to.
    """
    corner = step.front if end == "front" else step.back
    if corner is SHARP or not corner.size:
        return [vertex]
    height = neighbour - vertex[1]
    if abs(height) < SAME:
        accepted = "leave it empty, there is no shoulder at this end"
        raise CornerMisfit(index, end, f'"{corner.words}"', accepted)
    length = math.dist(vertex, far)
    along = ((far[0] - vertex[0]) / length, (far[1] - vertex[1]) / length)
    up = (0.0, math.copysign(1.0, height))
    if not corner.round:
        run = corner.size / abs(along[0])
        rise = corner.size * math.tan(math.radians(corner.angle))
        return [_moved(vertex, along, run), _moved(vertex, up, rise)]
    opening = math.acos(max(-1.0, min(1.0, along[1] * up[1])))
    tangent = corner.size / math.tan(opening / 2)
    first, last = _moved(vertex, along, tangent), _moved(vertex, up, tangent)
    middle = (along[0] + up[0], along[1] + up[1])
    away = corner.size / math.sin(opening / 2) / math.hypot(*middle)
    centre = _moved(vertex, middle, away)
    return _arc(centre, first, last, corner.size, sagitta)


def _legs(step: Step, corner: Corner, height: float, end: str) -> tuple[float, float]:
    """How much of the surface, along the axis, and of the shoulder a corner takes."""
    if not corner.size:
        return 0.0, 0.0
    if not corner.round:
        return corner.size, corner.size * math.tan(math.radians(corner.angle))
    run, rise = step.length, (step.end - step.diameter) / 2
    lean = (rise if end == "front" else -rise) / math.hypot(run, rise) * math.copysign(1.0, height)
    tangent = corner.size / math.tan(math.acos(max(-1.0, min(1.0, lean))) / 2)
    return tangent * run / math.hypot(run, rise), tangent


def _check_room(steps: Sequence[Step], index: int) -> None:
    """Raises CornerMisfit where two corners want more of a surface or a shoulder than there is."""
    step = steps[index]
    before = steps[index - 1] if index else None
    up = (before.end if before else 0.0) / 2 - step.diameter / 2
    down = (steps[index + 1].diameter if index + 1 < len(steps) else 0.0) / 2 - step.end / 2
    front, front_rise = _legs(step, step.front, up, "front")
    back, _ = _legs(step, step.back, down, "back")
    if front + back > step.length + SAME:
        end = "front" if step.front.size else "back"
        words = (step.front if end == "front" else step.back).words
        accepted = f"give less, the step is {number_text(step.length)} long"
        raise CornerMisfit(index, end, f'"{words}"', accepted)
    others = 0.0
    if before is not None:
        _, others = _legs(before, before.back, -up, "back")
    if front_rise + others > abs(up) + SAME and (front_rise or others):
        end, row = ("front", index) if front_rise else ("back", index - 1)
        words = (step.front if front_rise else steps[row].back).words
        accepted = f"give less, the shoulder is {number_text(round(abs(up), 4))} high"
        raise CornerMisfit(row, end, f'"{words}"', accepted)
    if index + 1 == len(steps):
        _, rise = _legs(step, step.back, down, "back")
        if rise > abs(down) + SAME:
            accepted = f"give less, the face is {number_text(round(abs(down), 4))} high"
            raise CornerMisfit(index, "back", f'"{step.back.words}"', accepted)


def _moved(point: Point, way: Point, by: float) -> Point:
    return (point[0] + way[0] * by, point[1] + way[1] * by)


def _arc(centre: Point, first: Point, last: Point, radius: float, sagitta: float) -> list[Point]:
    """Points on the short arc from `first` to `last`, both included."""
    begin = math.atan2(first[1] - centre[1], first[0] - centre[0])
    turn = math.atan2(last[1] - centre[1], last[0] - centre[0]) - begin
    turn = math.remainder(turn, 2 * math.pi)
    half = math.acos(max(1 - sagitta / radius, 0.0))
    pieces = max(math.ceil(abs(turn) / (2 * half)), 1)
    angles = (begin + turn * i / pieces for i in range(1, pieces))
    inner = [
        (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))
        for angle in angles
    ]
    return [first, *inner, last]
