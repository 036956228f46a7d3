"""The length budget: how the length of a blank is spent, as a dimensioned strip.

Front allowance, finished part, back allowance, the saw cut behind it, and where the jaws hold. The
allowances are drawn larger than the part, which both scales say: the figures count.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from shapely import box

from standclear.drawing.dimension import along
from standclear.drawing.hatching import hatched
from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board, Room
from standclear.drawing.lettering import width_of
from standclear.drawing.shapes import Box, Drawing, Fill, Group, Line, Shape, Text, rectangle
from standclear.drawing.view import SCALES, SCALES_OF_DETAIL, scale_words
from standclear.job.models import Job
from standclear.job.setup_checks import is_turned
from standclear.plan.grip.grip import Grip
from standclear.plan.setting.split import End, Split
from standclear.report.sizes import UNIT_WORD, length, number

WIDTH = 190.0
EDGE = 4.0
LABEL = 2.5
STRIP = 16.0
"""Height of the strip, mm on paper."""
EACH_END, ALL_ENDS = 0.3, 0.5
"""Of the width that an allowance or the saw cut takes at most, and all of them together."""
LEVELS = (7.0, 13.0, 19.0)
"""Of dimension lines above the strip: figures that fit their span, those that do not, the blank."""
ABOVE, BELOW = 33.0, 21.0
"""Paper above the strip for dimensions and the heading, and below it for the needs, mm."""
GRIP_ROW = 9.0
METAL_HATCH, NEED_HATCH, JAWS_HATCH = 3.0, 1.2, 1.4


@dataclass(frozen=True)
class Stations:
    """Where the strip has its borders: lengths from the front's raw face, mm, and on paper."""

    lengths: tuple[float, ...]
    paper: tuple[float, ...]

    def at(self, along_blank: float) -> float:
        """The place on paper of a length from the front's raw face, linear between stations."""
        n = max(1, min(bisect_left(self.lengths, along_blank), len(self.lengths) - 1))
        low, high = self.lengths[n - 1 : n + 1]
        left, right = self.paper[n - 1 : n + 1]
        share = (along_blank - low) / (high - low) if high > low else 0.0
        return left + share * (right - left)


def length_budget(
    job: Job,
    split: Split,
    grips: Sequence[Grip] = (),
    *,
    kerf: float | None = None,
    width: float = WIDTH,
) -> Drawing:
    """The strip of the blank of `job`, whose split and grips these are; `kerf` is the saw cut's
    width, mm, left out where nobody knows it."""
    board = Board()
    height = budget_height(grips)
    draw_budget(board, job, split, grips, kerf, (0.0, 0.0, width, height))
    title = f"{job.title or 'job'}: length of the blank {length(split.blank, job.units)}"
    return Drawing(width, height, title, _described(job, split, grips, kerf), board.finished())


def budget_height(grips: Sequence[Grip]) -> float:
    """Of the paper that a strip with these grips takes, mm."""
    return ABOVE + STRIP + BELOW + GRIP_ROW * len(grips) + EDGE


def draw_budget(
    board: Board,
    job: Job,
    split: Split,
    grips: Sequence[Grip],
    kerf: float | None,
    area: Box,
) -> Stations:
    """Draw the strip into `area`; returns its stations: the place of a length on paper."""
    x0, _, x1, y1 = area
    units = job.units
    top = y1 - ABOVE
    bottom = top - STRIP
    rest = split.blank - split.front.allowance - split.finished
    room = Room(area, (), ())
    stations, scales = _stations(split, rest, kerf, (x0 + EDGE + 2.0, x1 - EDGE - 2.0))
    board.write(Text("Length budget", (x0 + EDGE, y1 - 6.5), 3.5))
    board.write(Text(scales, (x0 + EDGE + width_of("Length budget", 3.5) + 5.0, y1 - 6.5), LABEL))
    _strip(board, stations, split, kerf, (bottom, top))
    with board.part("sizes"):
        _lengths(board, room, stations, split, kerf, top, units)
        _needs(board, room, stations, split, bottom, units)
    _shift_words(board, split, (x0 + EDGE, bottom - 18.0), units)
    with board.part("grips"):
        for n, grip in enumerate(grips):
            _grip(board, room, stations, job, split, grip, bottom - BELOW - GRIP_ROW * (n + 1))
    return stations


def _stations(
    split: Split, rest: float, kerf: float | None, paper: tuple[float, float]
) -> tuple[Stations, str]:
    """Where front, part, rest and saw cut end on paper, and the two scales in words."""
    front = max(split.front.allowance, 0.0)
    cut = kerf or 0.0
    wide = paper[1] - paper[0]
    if split.back is None:
        # The rest of a bar is as long as it likes: it is drawn like the part.
        small, large = front + cut, split.finished + max(rest, 0.0)
    else:
        small, large = front + max(rest, 0.0) + cut, split.finished
    widest = max(front, cut, 0.0 if split.back is None else rest, 1e-3)
    ends = _largest(min(EACH_END * wide / widest, ALL_ENDS * wide / max(small, 1e-3)))
    part = _largest((wide - ends * small) / large)
    behind = part if split.back is None else ends
    steps = (ends * front, part * split.finished, behind * max(rest, 0.0), ends * cut)
    left = paper[0] + (wide - sum(steps)) / 2
    places = [left]
    for step in steps:
        places.append(places[-1] + step)
    sums = [0.0, front, front + split.finished]
    sums += [sums[-1] + max(rest, 0.0), sums[-1] + max(rest, 0.0) + cut]
    words = f"(allowances {scale_words(ends)}, part {scale_words(part)})"
    return Stations(tuple(sums), tuple(places)), words


def _largest(most: float) -> float:
    fits = [s for s in SCALES_OF_DETAIL if s <= most]
    return max(fits, default=min(SCALES))


def _strip(
    board: Board, stations: Stations, split: Split, kerf: float | None, span: tuple[float, float]
) -> None:
    bottom, top = span
    a, b, c, d, e = stations.paper
    with board.part("blank"):
        board.add([Fill((rectangle((a, bottom, d, top)),), Tone.METAL)])
        board.add(hatched(box(b, bottom, c, top), Ink.HATCH, METAL_HATCH))
    for end, face, way in _ends(split, stations):
        outer = stations.at(face + way * max(0.0, min(end.need, end.allowance)))
        inner = stations.at(face)
        with board.part("need"):
            patch = box(min(inner, outer), bottom, max(inner, outer), top)
            board.add(hatched(patch, Ink.HATCH, NEED_HATCH, -45.0))
            if end.need > 0:
                board.add([Line(((outer, bottom), (outer, top)), Ink.LEAST)])
    with board.part("blank"):
        board.add(
            [
                _span("front", (a, bottom, b, top), Ink.RAW),
                _span("finished", (b, bottom, c, top), Ink.OUTLINE),
                _span("back", (c, bottom, d, top), Ink.RAW),
            ]
        )
        if kerf:
            board.add([_span("saw", (d, bottom, e, top), Ink.RAW), *_crossed((d, bottom, e, top))])
        y = (bottom + top) / 2
        board.add([Line(((a - 4.0, y), (e + 4.0, y)), Ink.CENTRE)])


def _span(name: str, area: Box, ink: Ink) -> Group:
    line = Line(rectangle(area), ink, closed=True)
    return Group("span", (line,), (("name", name),))


def _crossed(area: Box) -> list[Shape]:
    """Two diagonals: nothing is here."""
    x0, y0, x1, y1 = area
    return [Line(((x0, y0), (x1, y1)), Ink.DIMENSION), Line(((x0, y1), (x1, y0)), Ink.DIMENSION)]


def _ends(split: Split, stations: Stations) -> list[tuple[End, float, float]]:
    """Each end, the length at which its finished face lies, and which way its allowance goes."""
    found = [(split.front, stations.lengths[1], -1.0)]
    if split.back is not None:
        found.append((split.back, stations.lengths[2], 1.0))
    return found


def _lengths(
    board: Board,
    room: Room,
    stations: Stations,
    split: Split,
    kerf: float | None,
    top: float,
    units: str,
) -> None:
    a, b, c, d, e = ((x, top) for x in stations.paper)
    rest = split.blank - split.front.allowance - split.finished
    behind = "back" if split.back is not None else "rest of the bar"
    spans = [
        (b, c, f"finished {number(split.finished, units)}"),
        (a, b, f"front {number(split.front.allowance, units)}"),
        (c, d, f"{behind} {number(rest, units)}"),
    ]
    if kerf:
        spans.append((d, e, f"saw {number(kerf, units)}"))
    for left, right, figure in spans:
        fits = width_of(figure, LABEL) + 2.5 < right[0] - left[0]
        along(board, room, left, right, top + (LEVELS[0] if fits else LEVELS[1]), figure)
    along(board, room, a, d, top + LEVELS[2], f"blank {number(split.blank, units)}")


def _needs(
    board: Board, room: Room, stations: Stations, split: Split, bottom: float, units: str
) -> None:
    """What each end must have to clean up, below the strip, and what is to spare or missing."""
    for end, face, way in _ends(split, stations):
        inner = (stations.at(face), bottom)
        need = max(0.0, min(end.need, end.allowance))
        outer = (stations.at(face + way * need), bottom)
        raw = (stations.at(face + way * end.allowance), bottom)
        spare = end.allowance - end.need
        if spare < 0:
            along(board, room, outer, inner, bottom - 6.0, f"short by {number(-spare, units)}")
            continue
        # Figures that have no room stand to the right: the longer lines must not run through them.
        first, second = bottom - 6.0, bottom - 12.0
        of_need, of_spare = (first, second) if way < 0 else (second, first)
        along(board, room, raw, outer, of_spare, f"to spare {number(spare, units)}")
        along(board, room, outer, inner, of_need, f"needs {number(end.need, units)}")


def _shift_words(board: Board, split: Split, at: tuple[float, float], units: str) -> None:
    now, shift = split.front.allowance, split.shift
    if shift.lo > shift.hi:
        said = (
            f"No front allowance serves both ends: they disagree by {length(split.short, units)}."
        )
    else:
        low = number(now + shift.lo, units) if isfinite(shift.lo) else ""
        high = number(now + shift.hi, units) if isfinite(shift.hi) else ""
        span = f"from {low} to {high}" if low and high else f"from {low} up" if low else "any"
        span = f"up to {high}" if high and not low else span
        said = f"Front allowance that serves both ends, {UNIT_WORD[units]}: {span}."
    board.write(Text(said, at, LABEL))


def _grip(
    board: Board, room: Room, stations: Stations, job: Job, split: Split, grip: Grip, y: float
) -> None:
    """What the jaws of a set-up hold, as a bar under the strip."""
    low, high = held_along(job, split, grip)
    x0, x1 = stations.at(low), stations.at(high)
    area = (x0, y, x1, y + 4.0)
    outline = Line(rectangle(area), Ink.OBSTACLE, closed=True)
    shapes = (*hatched(box(*area), Ink.HATCH, JAWS_HATCH, -45.0), outline)
    jaws = Group("jaws", shapes, (("setup", grip.setup),))
    board.add([jaws])
    board.arrows.append(area)
    said = f"jaws hold {number(grip.length.lo, job.units)}, {grip.setup}"
    wide = width_of(said, LABEL)
    after, before = (x1 + 2.5, y + 0.8), (x0 - 2.5 - wide, y + 0.8)
    fits = after[0] + wide < room.bounds[2] - EDGE
    board.write(Text(said, after if fits else before, LABEL))


def held_along(job: Job, split: Split, grip: Grip) -> tuple[float, float]:
    """Between which lengths from the front's raw face the jaws hold, at the least they do."""
    number_of = next(k for k, setup in enumerate(job.setup) if setup.name == grip.setup)
    turns = sum(is_turned(k, job.setup[k]) for k in range(1, number_of + 1))
    near, far = grip.front_z.middle, grip.front_z.middle - grip.length.lo
    front = max(split.front.allowance, 0.0)
    if turns % 2:
        return front + split.finished + far, front + split.finished + near
    return front - near, front - far


def _described(job: Job, split: Split, grips: Sequence[Grip], kerf: float | None) -> str:
    units = job.units
    rest = split.blank - split.front.allowance - split.finished
    said = [
        f"Blank {length(split.blank, units)} is front {number(split.front.allowance, units)}, "
        f"finished {number(split.finished, units)} and "
        f"{'back' if split.back is not None else 'rest of the bar'} {number(rest, units)}."
    ]
    if kerf:
        said.append(f"The saw takes {length(kerf, units)} more.")
    said += [f"{g.setup}: the jaws hold {length(g.length.lo, units)}." for g in grips]
    return " ".join(said)
