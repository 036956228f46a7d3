"""The edges of a random job's stock windows against a bisection of replays.

Along rays in the plane of a window, the judge's own replays are bisected to where a blank stops
being good; the window's edge must lie there to a pixel and a half. With `judge.compare` the only
module of the judge that calls the tool, by its public functions.
"""

from __future__ import annotations

import math
import shutil
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

from judge.compare import write_job
from judge.generate import BAND_MM, make_job
from judge.motion import Undecided
from judge.other_blanks import OVER_CORNERS, Asked, Ways, by_pixels, is_good, read_ways

if TYPE_CHECKING:
    from standclear.plan.windows.edges import Edge
    from standclear.plan.windows.stock import Window

PIXEL_MM = 0.2
FINER_MM = (0.04, 0.02)
"""A disagreement is judged again with pixels as fine as these before it counts: what is struck, or
stays raw, may be thinner than a pixel however far beyond the edge a blank lies."""
NEAR_PIXELS = 1.5
"""An edge of a window and one of the judge's agree where they lie no further apart."""
RAYS = 4
"""Of each window, from a blank that it holds out to where it looks no further."""
BLIND = 6
"""Blanks asked of the judge where the window holds none."""
MEETS_MM = 1.0
"""By how much the turning of both ends overlaps in every second job, so that the diameter cleans
up; in the others a band is left."""
LOOSE, OUT_OF_REACH = "comes loose", "out of reach"
"""A side of an edge, and what one may stand against, that the judge does not look for: metal that
hangs on nothing, and metal where nothing is known to cut."""
KINDS = ("agree", "agree by finer pixels", "narrower on purpose", "narrower", "wider", "undecided")


@dataclass
class Levels:
    """The ways of a job by pixels of one size, and by finer ones where they are asked for."""

    first: Ways
    drawn: list[Ways] = field(default_factory=list)

    @property
    def finer(self) -> Iterator[Ways]:
        """By finer pixels, one size after the other."""
        for k, pixel in enumerate(FINER_MM):
            if k == len(self.drawn):
                self.drawn.append(by_pixels(self.first, pixel))
            yield self.drawn[k]


@dataclass(frozen=True)
class Ray:
    """What was found along one ray, or of one blank where the window holds none."""

    window: str
    kind: str
    """`agree`, `narrower on purpose`, `narrower`, `wider`, `undecided`."""
    side: str
    """Of the window's edge there."""
    blank: tuple[float, float]
    """(across, size) at the judge's edge."""
    apart: float
    """How far the two edges lie from each other, mm across or on radius."""


@dataclass(frozen=True)
class Outcome:
    """One job."""

    seed: int
    rays: tuple[Ray, ...]
    note: str
    """Why the job is left out; empty where it is not."""
    left_out: tuple[str, ...]
    """What the windows say they leave out."""
    window_seconds: float
    judge_seconds: float


def held_against(seed: int, pixel: float = PIXEL_MM, rays: int = RAYS) -> Outcome:
    """One random job: its windows, and the judge along rays of each."""
    files = make_job(seed, meet=MEETS_MM if seed % 2 else BAND_MM)
    # The jaws close on the bar that is there, whatever its size.
    whole, line = files["job.toml"], "grip_diameter = "
    begin = whole.index(line)
    files["job.toml"] = whole[:begin] + whole[whole.index("\n", begin) + 1 :]
    begun = time.perf_counter()
    try:
        levels = Levels(read_ways(files, pixel))
    except Undecided as reason:
        return Outcome(seed, (), str(reason), (), 0.0, 0.0)
    read = time.perf_counter()
    windows = _windows_of(files)
    drawn = time.perf_counter()
    found = [
        ray
        for window in windows
        for ray in _rays(levels, window, Random(f"{seed} {window.setup}"), rays)
    ]
    judged = time.perf_counter()
    notes = tuple(sorted({note for window in windows for note in window.notes}))
    return Outcome(seed, tuple(found), "", notes, drawn - read, judged - drawn + read - begun)


def _windows_of(files: dict[str, str]) -> tuple[Window, ...]:
    import standclear
    from standclear.plan.windows.stock import stock_windows

    folder = Path(tempfile.mkdtemp(prefix="judge-"))
    try:
        write_job(folder, files)
        held = standclear.hold(standclear.read_job(folder))
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return stock_windows(held, held.files.job, standclear.judge(held, held.files.job))


def _asked(window: Window, names: list[str]) -> Asked:
    """What the window says that it answers."""
    from standclear.plan.windows.clean_up import BAND_STAYS, FACE_STAYS, FLATS_STAY, SEAT_STAYS

    index = names.index(window.setup) if window.setup else 0
    diameter = not {BAND_STAYS, FLATS_STAY} & set(window.notes)
    asked = FACE_STAYS not in window.notes
    across = "face" if window.setup else "length"
    # The second end's window asks for the first end's face too: the part lies on it.
    second = not window.setup or index == 1
    seat = asked and SEAT_STAYS not in window.notes
    return Asked(across, index, diameter, (seat, asked and second))


def _rays(levels: Levels, window: Window, rng: Random, count: int) -> Iterator[Ray]:
    ways = levels.first
    asked = _asked(window, [setup.name for setup in ways.job.setups])
    name = window.setup or "job"
    half = OVER_CORNERS[ways.shape] / 2
    x0, y0, x1, y1 = window.looked
    inner = window.region.buffer(-2 * ways.pixel)
    if inner.is_empty:
        for _ in range(BLIND):
            blank = rng.uniform(x0, x1), rng.uniform(y0, y1)
            yield _blind(levels, asked, window, name, blank, half)
        return
    start = window.stated if _inside(window, window.stated) > ways.pixel else _middle(inner)
    for k in range(count):
        angle = 2 * math.pi * (k + rng.random()) / count
        way = (math.cos(angle), math.sin(angle) / half)
        long = min(
            ((x1 if d > 0 else x0) - at) / d if axis == 0 else ((y1 if d > 0 else y0) - at) / d
            for axis, (at, d) in enumerate(zip(start, way, strict=True))
            if abs(d) > 1e-9
        )
        try:
            yield _along(levels, asked, window, name, start, way, long, half)
        except Undecided:
            yield Ray(name, "undecided", "", start, 0.0)


def _middle(region: object) -> tuple[float, float]:
    point = region.representative_point()  # type: ignore[attr-defined]
    return float(point.x), float(point.y)


def _blind(levels: Levels, asked: Asked, window: Window, name: str,
           blank: tuple[float, float], half: float) -> Ray:  # fmt: skip
    try:
        if not is_good(levels.first, asked, *blank):
            return Ray(name, "agree", "", blank, 0.0)
    except Undecided:
        return Ray(name, "undecided", "", blank, 0.0)
    edge = _nearest(window, blank)
    kind = _narrower(levels, asked, window, edge, blank)
    # Blanks that are as good as none are no way off a window that holds none.
    apart = 0.0 if kind == "agree" else -_inside(window, blank, half)
    return Ray(name, kind, edge.side, blank, apart)


def _not_looked_for(levels: Levels, asked: Asked, edge: Edge) -> bool:
    """Whether the judge does not look for what an edge stands against. Where a window leaves out
    some of a surface, because no set-up cuts it, the judge is asked about none of it."""
    if edge.side == LOOSE or edge.against == OUT_OF_REACH:
        return True
    if edge.against == "diameter":
        return not asked.diameter
    ends = [setup.name for setup in levels.first.job.setups]
    return edge.against == "face" and not asked.face[ends.index(edge.setup)]


def _narrower(levels: Levels, asked: Asked, window: Window, edge: Edge,
              blank: tuple[float, float]) -> str:  # fmt: skip
    """What it amounts to that the judge has a blank good that the window leaves out."""
    if _not_looked_for(levels, asked, edge):
        return "narrower on purpose"
    # Good blanks no further from bad ones on either side than an edge may be off are none.
    near = NEAR_PIXELS * levels.first.pixel
    # Nor are those on the border of what is looked at whose neighbours within it are bad.
    low = window.looked[0] + near
    if blank[0] < low and not is_good(levels.first, asked, low, blank[1]):
        return "agree"
    for across, size in ((near, 0.0), (0.0, near)):
        beside = [
            is_good(levels.first, asked, blank[0] + sign * across, blank[1] + sign * size)
            for sign in (-1.0, 1.0)
        ]
        if not any(beside):
            return "agree"
    good = all(is_good(ways, asked, *blank) for ways in levels.finer)
    return "narrower" if good else "agree by finer pixels"


def _wider(levels: Levels, asked: Asked, blank: tuple[float, float]) -> str:
    """What it amounts to that the judge does not have a blank good that the window holds: a cell
    between two cuts that just meet may be left by coarse pixels."""
    good = any(is_good(ways, asked, *blank) for ways in levels.finer)
    return "agree by finer pixels" if good else "wider"


def _along(levels: Levels, asked: Asked, window: Window, name: str,
           start: tuple[float, float], way: tuple[float, float], long: float, half: float
           ) -> Ray:  # fmt: skip
    """Bisects from a blank of the window outwards, and compares where the judge stops."""

    def at(share: float) -> tuple[float, float]:
        return start[0] + way[0] * share, start[1] + way[1] * share

    ways = levels.first
    near = NEAR_PIXELS * ways.pixel
    good, bad = 0.0, long
    if not is_good(ways, asked, *start):
        apart = _inside(window, start, half)
        return Ray(name, _wider(levels, asked, start), _nearest(window, start).side, start, apart)
    if is_good(ways, asked, *at(long)):
        good = long
    while bad - good > ways.pixel / 4:
        middle = (good + bad) / 2
        if is_good(ways, asked, *at(middle)):
            good = middle
        else:
            bad = middle
    edge = at(good)
    apart = _inside(window, edge, half)
    if good < long and apart > near:
        kind = _wider(levels, asked, at(bad))
        return Ray(name, kind, _nearest(window, edge).side, edge, apart)
    if apart < -near:
        crossed = _crossed(window, start, edge)
        kind = _narrower(levels, asked, window, crossed, edge)
        return Ray(name, kind, crossed.side, edge, -apart)
    if good == long:
        return Ray(name, "agree", "not looked further", edge, 0.0)
    return Ray(name, "agree", _nearest(window, edge).side, edge, abs(apart))


def _inside(window: Window, blank: tuple[float, float], half: float = 0.5) -> float:
    """How far a blank lies inside the window, below 0 outside; mm across or on radius."""
    import shapely

    def on_radius(xy: object) -> object:
        return xy * (1.0, half)  # type: ignore[operator]

    region = shapely.transform(window.region, on_radius)
    point = shapely.Point(blank[0], blank[1] * half)
    if region.is_empty:
        return -1e3
    # Where the window looks no further is no edge of it.
    x0, y0, x1, y1 = window.looked
    frame = shapely.box(x0, y0 * half, x1, y1 * half).exterior
    border = region.boundary.difference(frame.buffer(1e-6))
    away = 1e3 if border.is_empty else float(border.distance(point))
    return away if region.covers(point) else -float(region.distance(point))


def _nearest(window: Window, blank: tuple[float, float]) -> Edge:
    """The edge nearest to a blank; one of no side where the window has none."""
    import shapely

    from standclear.plan.windows.edges import Edge

    point = shapely.Point(blank)
    return min(
        window.edges,
        key=lambda edge: shapely.LineString([edge.start, edge.end]).distance(point),
        default=Edge(blank, blank, "", "", "", 0),
    )


def _crossed(window: Window, start: tuple[float, float], end: tuple[float, float]) -> Edge:
    """The first edge that the way from one blank to another crosses."""
    import shapely

    way = shapely.LineString([start, end])
    crossed = [
        (shapely.Point(start).distance(met), number)
        for number, edge in enumerate(window.edges)
        if not (met := way.intersection(shapely.LineString([edge.start, edge.end]))).is_empty
    ]
    return window.edges[min(crossed)[1]] if crossed else _nearest(window, end)
