"""Limits of machine and chuck that a cut reaches, or may reach."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.boring_bars import MOST_SLENDER, boring_bar
from standclear.estimate.cuts import Cuts
from standclear.estimate.holding import grip_left
from standclear.interval import Interval
from standclear.job.models import Clamping, Job, Machine

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Limit:
    """A limit that a motion reaches, or may reach."""

    setup: str
    motion: int
    """Number of the motion in the set-up's table, from 0."""
    line: int
    station: int
    what: str
    found: Interval
    limit: float
    unit: str
    sure: bool
    """Over it by the whole range."""


def limits_reached(
    name: str, cuts: Sequence[Cuts], job: Job, clamping: Clamping | None
) -> Iterator[Limit]:
    """The worst motion of each tool for each limit that it reaches."""
    assert isinstance(job.machine, Machine)
    said: set[tuple[str, int]] = set()
    for one in cuts:
        for index in dict.fromkeys(one.tool.tolist()):
            own = np.flatnonzero(one.tool == index)
            found = [
                *_of_tool(name, one, own, job.machine, clamping),
                *_of_bar(name, one, index, own, job),
            ]
            for limit in found:
                if (limit.what, limit.station) not in said:
                    said.add((limit.what, limit.station))
                    yield limit


def _of_tool(
    name: str,
    one: Cuts,
    own: NDArray[np.int64],
    machine: Machine,
    clamping: Clamping | None,
) -> Iterator[Limit]:
    station = one.reading.trace.tools[int(one.tool[own[0]])].station

    def reached(
        what: str, ranges: tuple[Floats, Floats], limits: Floats, unit: str
    ) -> Iterator[Limit]:
        over = ranges[1][own] - limits[own]
        if not (over > 0).any():
            return
        k = own[int(np.nanargmax(over))]
        low, high, most = float(ranges[0][k]), float(ranges[1][k]), float(limits[k])
        yield Limit(
            name,
            int(one.found.motion[k]),
            int(one.line[k]),
            station,
            what,
            Interval(low, high),
            most,
            unit,
            low > most,
        )

    ones = np.ones(len(one.tool))
    if machine.spindle_power is not None:
        yield from reached("spindle power", one.power, machine.spindle_power * ones, "kW")
    if clamping is not None:
        left = np.array([grip_left(clamping, rpm) for rpm in one.found.rpm.tolist()])
        yield from reached("grip", one.grip, left, "N")
        if clamping.top_speed is not None:
            speeds = (one.found.rpm, one.found.rpm)
            yield from reached("chuck speed", speeds, clamping.top_speed * ones, "rpm")


def _of_bar(name: str, one: Cuts, index: int, own: NDArray[np.int64], job: Job) -> Iterator[Limit]:
    """A boring bar that stands out further over its diameter than its kind is used to."""
    use = one.reading.trace.tools[index]
    assert isinstance(job.tools, list)
    bar = boring_bar(job.tools[use.tool]) if use.tool >= 0 else None
    if bar is None or bar.slenderness <= MOST_SLENDER[bar.carbide]:
        return
    found = Interval(bar.slenderness, bar.slenderness)
    yield Limit(
        name,
        int(one.found.motion[own[0]]),
        int(one.line[own[0]]),
        use.station,
        "bar overhang",
        found,
        MOST_SLENDER[bar.carbide],
        "of its diameter",
        sure=True,
    )
