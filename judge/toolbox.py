"""The tools of a job with the points of their outlines, at every corner of their wear."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from judge.jobfile import JobFile
from judge.motion import Move, Undecided
from judge.shapes import Samples, Shape, sample, tool_shape, upper_half


@dataclass(frozen=True)
class Tool:
    """A tool with the points of its outline."""

    shape: Shape
    points: Samples
    half: tuple[Shape, Samples] | None
    """Of what stands round the axis: the half above it."""
    core: tuple[Shape, Samples] | None
    """Of a tap: the half above the axis, less its crests."""

    def shown(self, move: Move) -> tuple[Shape, Samples]:
        """What of it a move takes along."""
        if self.half is None or not move.on_axis:
            return self.shape, self.points
        if self.core is not None and move.tapping and move.spindle == self.shape.turns:
            return self.core
        return self.half


Tools = Mapping[int, Tool]


class Toolbox:
    """The tools of one job, each drawn when a move first asks for it. Raises `Undecided`."""

    def __init__(self, job: JobFile, pixel: float) -> None:
        self.pixel = pixel
        self.shapes = {int(t["station"]): tool_shape(t, job.unit) for t in job.tools}
        self.wear = {int(t["station"]): (t.get("wear") or 0.0) * job.unit for t in job.tools}
        self.drawn: dict[tuple[int, float, float], Tool] = {}
        if any(self.wear[station] > 0 and shape.drill for station, shape in self.shapes.items()):
            raise Undecided("a drill with a bound of wear")

    def corners(self, moves: Iterable[tuple[Move, ...]]) -> Iterator[Tools]:
        """The tools that moves call for, at every corner of their bounds of wear; those without one
        stand where they do."""
        called = {move.station for part in moves for move in part}
        stations = [station for station in self.shapes if station in called]
        ways = []
        for station in stations:
            wear = self.wear[station]
            ways.append(list(product((-wear, wear), repeat=2)) if wear > 0 else [(0.0, 0.0)])
        for worn in product(*ways):
            yield {
                station: self._tool(station, *by)
                for station, by in zip(stations, worn, strict=True)
            }

    def _tool(self, station: int, by_z: float, by_r: float) -> Tool:
        key = (station, by_z, by_r)
        if key not in self.drawn:
            shape = self.shapes[station]
            moved = replace(shape, points=shape.points + np.array((by_z, by_r)))
            halves = [
                None if whole is None or not whole.drill else self._above(whole)
                for whole in (shape, shape.core)
            ]
            self.drawn[key] = Tool(moved, sample(moved, self.pixel), *halves)
        return self.drawn[key]

    def _above(self, shape: Shape) -> tuple[Shape, Samples]:
        upper = upper_half(shape)
        return upper, sample(upper, self.pixel)
