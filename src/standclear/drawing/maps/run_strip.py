"""The run along its time: a strip by tool, hatched where it cuts, and the power above it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from standclear.drawing.hatching import hatched
from standclear.drawing.inks import Ink, Tone
from standclear.drawing.labels import Board
from standclear.drawing.lettering import width_of
from standclear.drawing.maps.axes import LEFT_OF_FRAME, Axes, draw_axes
from standclear.drawing.shapes import Box, Drawing, Fill, Group, Line, Point, Text, rectangle
from standclear.estimate.along import Along, Doing, Run, merged

LEFT = 16.0
"""From the edge to the frame, mm."""
LEGEND = 8.0
LABEL = 2.5
FINEST = 0.25
"""Shorter spans than this on paper, mm, are joined to those beside them."""
METAL_HATCH = 1.4
TOP = 1.15
"""Of the greatest power or limit that is shown above it."""
UP = "power, kW"
IN_LINE = 12.0
"""Height of a heading, mm, that has no room for a line of its own."""
NOTHING_KW = 1.0
"""Shown where no power is known."""


@dataclass(frozen=True)
class Paper:
    """Width, edge, and the heights of a row: heading, power, paper between, strip, and what stands
    under it. mm."""

    width: float = 240.0
    edge: float = 4.0
    head: float = 15.0
    curve: float = 30.0
    gap: float = 6.5
    strip: float = 9.0
    below: float = 10.0

    @property
    def row(self) -> float:
        """Height of a set-up's row."""
        return self.head + self.curve + self.gap + self.strip + self.below


ALONE = Paper()
ON_SHEET = Paper(186.0, 1.0, 7.0, 12.0, 5.6, 5.5, 6.5)
"""Beside other things, the heading in line with what is read upwards."""


def run_strip(
    runs: Sequence[Run], title: str, spindle_power: float | None, paper: Paper = ALONE
) -> Drawing:
    """The runs of all set-ups, one under the other, on one scale of time.

    spindle_power: kW; None where the machine does not state it.
    """
    board = Board()
    height = paper.edge + LEGEND + paper.row * len(runs) + paper.edge
    longest = max((float(r.along.end[-1]) for r in runs if len(r.along.end)), default=1.0)
    most = max(
        [NOTHING_KW if spindle_power is None else spindle_power]
        + [float(np.nanmax(r.along.power[1], initial=0.0)) for r in runs]
    )
    for number, run in enumerate(runs):
        top = height - paper.edge - paper.row * number
        area = (0.0, top - paper.row, paper.width, top)
        _run(board, run, area, longest, TOP * most, spindle_power, paper)
    _legend(board, (paper.edge, paper.edge + 2.0))
    words = "; ".join(_described(run) for run in runs)
    return Drawing(paper.width, height, f"{title or 'job'}: the run along its time", words,
                   board.finished())  # fmt: skip


def _described(run: Run) -> str:
    along = run.along
    if not len(along.end):
        return f"{run.name}: nothing timed"
    metal = float(np.sum((along.end - along.begin)[along.doing == Doing.METAL]))
    return f"{run.name}: {along.end[-1]:.1f} s, of which {metal:.1f} s in metal"


def _run(
    board: Board,
    run: Run,
    area: Box,
    longest: float,
    most: float,
    limit: float | None,
    paper: Paper,
) -> None:
    x0, y0, x1, y1 = area
    left, right = x0 + paper.edge + LEFT, x1 - paper.edge
    curve = (left, y1 - paper.head - paper.curve, right, y1 - paper.head)
    name, at = f"Set-up {run.name}", (x0 + paper.edge, y1 - 6.5)
    if paper.head < IN_LINE:
        at = left - LEFT_OF_FRAME + width_of(UP, LABEL) + 6.0, curve[3] + 2.6
    board.write(Text(name, at, 3.5))
    board.write(Text("(time in s)", (at[0] + width_of(name, 3.5) + 4.0, at[1]), LABEL))
    axes = Axes((0.0, 0.0, longest, most), curve)
    along = merged(run.along, FINEST * longest / (right - left))
    _power(board, axes, along, limit)
    bottom = y0 + paper.below
    _spans(board, axes, along, (bottom, bottom + paper.strip))
    _tools(board, axes, run, along, bottom)


def _power(board: Board, axes: Axes, along: Along, limit: float | None) -> None:
    draw_axes(board, axes, "mm", "", UP)
    known = np.isfinite(along.power[1])
    with board.part("power"):
        for ink, values in ((Ink.LEAST, along.power[0]), (Ink.OUTLINE, along.power[1])):
            for points in _steps(axes, along, np.where(known, values, np.nan)):
                board.add([Line(points, ink)])
        if limit is not None:
            left, right = axes.at(0.0, limit), axes.at(axes.values[2], limit)
            board.add([Line((left, right), Ink.STRIKES_EDGE)])
            said = f"the spindle gives {limit:g} kW"
            at = (right[0] - width_of(said, LABEL) - 2.0, right[1] + 0.9)
            board.write(Text(said, at, LABEL), on_white=True)


def _steps(axes: Axes, along: Along, values: np.ndarray) -> list[tuple[Point, ...]]:
    """The values as steps over time, a line for each stretch in which they are known."""
    lines: list[tuple[Point, ...]] = []
    points: list[Point] = []
    for begin, end, value in zip(along.begin, along.end, values, strict=True):
        if np.isfinite(value):
            points += [axes.at(float(begin), float(value)), axes.at(float(end), float(value))]
        elif points:
            lines.append(tuple(points))
            points = []
    return [*lines, tuple(points)] if points else lines


def _spans(board: Board, axes: Axes, along: Along, span: tuple[float, float]) -> None:
    bottom, top = span
    middle = (bottom + top) / 2
    with board.part("run"):
        for begin, end, doing in zip(along.begin, along.end, along.doing, strict=True):
            left, right = axes.at(float(begin), 0.0)[0], axes.at(float(end), 0.0)[0]
            if doing == Doing.METAL:
                patch = shapely.box(left, bottom, right, top)
                board.add([Fill((rectangle((left, bottom, right, top)),), Tone.METAL)])
                board.add(hatched(patch, Ink.HATCH, METAL_HATCH))
            elif doing == Doing.RAPID:
                board.add([Line(((left, middle), (right, middle)), Ink.RAPID_WAY)])
            name = Doing(int(doing)).name.lower()
            outline = Line(rectangle((left, bottom, right, top)), Ink.TABLE, closed=True)
            board.add([Group("span", (outline,), (("doing", name),))])


def _tools(board: Board, axes: Axes, run: Run, along: Along, bottom: float) -> None:
    """Under the strip where each tool begins, and what it takes; a tool whose words have no room
    is told of in the answer in words."""
    begins = np.flatnonzero(np.append([True], along.tool[1:] != along.tool[:-1]))
    ends = np.append(begins[1:], len(along.end))
    free = axes.paper[0]
    with board.part("tools"):
        for first, last in zip(begins.tolist(), ends.tolist(), strict=True):
            if last <= first or not len(along.end):
                continue
            at = axes.at(float(along.begin[first]), 0.0)[0]
            board.add([Line(((at, bottom), (at, bottom - 2.0)), Ink.DIMENSION)])
            took = float(along.end[last - 1] - along.begin[first])
            said = f"T{run.stations[int(along.tool[first])]:02d} {took:.1f} s"
            if at >= free and at + width_of(said, LABEL) <= axes.paper[2]:
                board.write(Text(said, (at, bottom - 5.5), LABEL))
                free = at + width_of(said, LABEL) + 2.0


def _legend(board: Board, at: Point) -> None:
    x, y = at
    with board.part("legend"):
        for name, words in (("metal", "in metal"), ("air", "feed in air"), ("rapid", "rapid")):
            area = (x, y, x + 8.0, y + 4.0)
            if name == "metal":
                board.add([Fill((rectangle(area),), Tone.METAL)])
                board.add(hatched(shapely.box(*area), Ink.HATCH, METAL_HATCH))
            if name == "rapid":
                board.add([Line(((x, y + 2.0), (x + 8.0, y + 2.0)), Ink.RAPID_WAY)])
            board.add([Line(rectangle(area), Ink.TABLE, closed=True)])
            board.write(Text(words, (x + 10.0, y + 0.8), LABEL))
            x += 14.0 + width_of(words, LABEL)
        for ink, words in ((Ink.OUTLINE, "most power"), (Ink.LEAST, "least power")):
            board.add([Line(((x, y + 2.0), (x + 8.0, y + 2.0)), ink)])
            board.write(Text(words, (x + 10.0, y + 0.8), LABEL))
            x += 14.0 + width_of(words, LABEL)
