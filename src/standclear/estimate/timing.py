"""How long a set-up takes, tool by tool: in metal, in air, in rapid and waiting.

A feed counts as in metal along the part of its way over which it takes something off the blank in
hand, and as in air along the rest. Times are a range where the way of rapids or a number can be
read in two ways.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.air import AirOfCall, air_of_calls
from standclear.estimate.clock import Clock
from standclear.estimate.feeding import feed_seconds, revolutions_per_minute
from standclear.estimate.rapids import Axes, rapid_seconds
from standclear.estimate.taken import Taken
from standclear.interval import Interval
from standclear.motions.table import Kind, Motions, Spindle, Trace

Floats = NDArray[np.float64]

NOTHING = Interval(0.0, 0.0)


@dataclass(frozen=True)
class ToolTime:
    """Seconds of one tool in one set-up."""

    station: int
    offset: int
    name: str
    metal: Interval
    air: Interval
    """Feeds that take nothing off."""
    rapid: Interval
    waits: Interval
    run_up: Interval
    """The spindle on its way to another speed: none of it where it goes on beside a rapid, all of
    it where the control waits."""

    @property
    def total(self) -> Interval:
        """All of them."""
        return self.metal + self.air + self.rapid + self.waits + self.run_up


@dataclass(frozen=True)
class SetupTime:
    """Seconds of one set-up's program."""

    name: str
    tools: tuple[ToolTime, ...]
    """In the order of their first feeds."""
    changes: int
    """Tool changes, the first tool's included."""
    unknown_feeds: tuple[int, ...]
    """Lines of the program with a feed of which speed or feed is not known: not counted."""
    unknown_rapids: int
    """Rapids from or to a place known only to lie beyond the work: not counted, nor in the time of
    a tool change."""
    air: tuple[AirOfCall, ...]
    """Of each cycle, in the first of its readings."""
    rapids_known: bool = True
    """False where the machine file gives no rapid rates: rapids are then not counted."""

    @property
    def total(self) -> Interval:
        """All tools, without changes."""
        return _sum([tool.total for tool in self.tools])


def setup_time(name: str, taken: Sequence[Taken], clock: Clock) -> SetupTime:
    """The time of a set-up over every way through its program."""
    found = [_one_way(name, one, clock) for one in taken]
    return found[0] if len(found) == 1 else _spanned(found)


def _one_way(name: str, taken: Taken, clock: Clock) -> SetupTime:
    held, motions, way, lines = taken.reading, taken.motions, taken.way, taken.lines
    feeding = np.where(way, feed_seconds(motions), 0.0)
    least, most = _rapids(motions, clock.axes)
    in_metal = taken.in_metal
    changing = _in_changes(held.trace, way) if clock.chip_to_chip else np.zeros(len(way), bool)
    least, most = np.where(changing, 0.0, least), np.where(changing, 0.0, most)
    unknown = np.isnan(feeding)
    feeding = np.where(unknown, 0.0, feeding)
    run_up = np.where(changing, 0.0, _run_up(motions, way, clock))
    tools = []
    feeds = way & (motions.kind == Kind.FEED)
    for index in dict.fromkeys([*motions.tool[feeds].tolist(), *motions.tool[way].tolist()]):
        own = way & (motions.tool == index)
        use = held.trace.tools[index]
        tools.append(
            ToolTime(
                use.station,
                use.offset,
                held.names[index],
                _exactly(np.sum((feeding * in_metal)[own])),
                _exactly(np.sum((feeding * (1.0 - in_metal))[own])),
                _between(float(np.nansum(least[own])), float(np.nansum(most[own]))),
                _waits(held.trace, index),
                Interval(0.0, float(np.sum(run_up[own]))),
            )
        )
    return SetupTime(
        name,
        _joined(tools),
        len(held.trace.changes),
        tuple(sorted({lines[b] for b in motions.block[unknown].tolist() if b >= 0})),
        int(np.sum(np.isnan(most) & way)),
        tuple(
            air_of_calls(
                motions,
                held.trace.calls,
                tuple(use.station for use in held.trace.tools),
                feeding,
                in_metal,
                way,
                lines,
            )
        ),
        clock.axes is not None,
    )


def _in_changes(trace: Trace, way: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Rapids between two cuts that a tool change lies between, and the feed that ends each such
    stretch. What comes after the last cut belongs to the first change, of which the way in alone
    comes before a cut."""
    feeds = way & (trace.motions.kind == Kind.FEED)
    before = np.cumsum(feeds) - feeds
    cuts_before = np.append(before, np.sum(feeds))
    stretches = {int(cuts_before[min(c.row, len(way))]) for c in trace.changes}
    if 0 in stretches:
        stretches.add(int(np.sum(feeds)))
    found: NDArray[np.bool_] = np.isin(before, sorted(stretches))
    return found


def _rapids(motions: Motions, axes: Axes | None) -> tuple[Floats, Floats]:
    if axes is None:
        none = np.zeros(len(motions))
        return none, none
    return rapid_seconds(motions, axes)


def _waits(trace: Trace, tool: int) -> Interval:
    """The waits that begin with the tool in hand."""
    rows = trace.motions.tool
    waits = NOTHING
    for dwell in trace.dwells:
        before = max(dwell.row - 1, 0)
        if before < len(rows) and rows[before] == tool:
            waits = waits + Interval(*dwell.seconds)
    return waits


def _run_up(motions: Motions, way: NDArray[np.bool_], clock: Clock) -> Floats:
    """Seconds of speeding up or slowing down before each feed whose speed is another than that of
    the feed before it, at its share of the run-up from rest to the limit."""
    seconds = np.zeros(len(motions))
    if clock.run_up == 0.0 or not np.isfinite(clock.spindle_limit):
        return seconds
    rows = np.flatnonzero(way & (motions.kind == Kind.FEED) & (motions.spindle != Spindle.STOPPED))
    if len(rows) == 0:
        return seconds
    at_start = revolutions_per_minute(motions, motions.start[:, 1]) * motions.spindle
    at_end = revolutions_per_minute(motions, motions.end[:, 1]) * motions.spindle
    before = np.concatenate([[0.0], at_end[rows[:-1]]])
    change = np.abs(np.nan_to_num(at_start[rows]) - np.nan_to_num(before))
    seconds[rows] = clock.run_up * change / clock.spindle_limit
    return seconds


def _between(least: float, most: float) -> Interval:
    """From one sum to another; sums of the same times may differ in their last bit."""
    return Interval(min(least, most), max(least, most))


def _exactly(seconds: float) -> Interval:
    return Interval(float(seconds), float(seconds))


def _sum(parts: Sequence[Interval]) -> Interval:
    return sum(parts, start=NOTHING)


def _joined(tools: Sequence[ToolTime]) -> tuple[ToolTime, ...]:
    """A tool that is called again is one line."""
    by_tool: dict[tuple[int, int], ToolTime] = {}
    for tool in tools:
        key = (tool.station, tool.offset)
        known = by_tool.get(key)
        by_tool[key] = (
            tool
            if known is None
            else replace(
                known,
                metal=known.metal + tool.metal,
                air=known.air + tool.air,
                rapid=known.rapid + tool.rapid,
                waits=known.waits + tool.waits,
                run_up=known.run_up + tool.run_up,
            )
        )
    return tuple(by_tool.values())


def _spanned(found: Sequence[SetupTime]) -> SetupTime:
    """The least and the most of several readings."""
    by_tool: dict[tuple[int, int], list[ToolTime]] = {}
    for one in found:
        for tool in one.tools:
            by_tool.setdefault((tool.station, tool.offset), []).append(tool)
    tools = []
    for same in by_tool.values():
        absent = len(same) < len(found)
        tools.append(
            ToolTime(
                same[0].station,
                same[0].offset,
                same[0].name,
                _hull([t.metal for t in same], with_nothing=absent),
                _hull([t.air for t in same], with_nothing=absent),
                _hull([t.rapid for t in same], with_nothing=absent),
                _hull([t.waits for t in same], with_nothing=absent),
                _hull([t.run_up for t in same], with_nothing=absent),
            )
        )
    return SetupTime(
        found[0].name,
        tuple(tools),
        max(one.changes for one in found),
        tuple(sorted({line for one in found for line in one.unknown_feeds})),
        max(one.unknown_rapids for one in found),
        found[0].air,
        all(one.rapids_known for one in found),
    )


def _hull(parts: Sequence[Interval], *, with_nothing: bool) -> Interval:
    low = 0.0 if with_nothing else min(p.lo for p in parts)
    return Interval(low, max(p.hi for p in parts))
