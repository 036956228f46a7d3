"""What air costs: how long each cycle and each block feeds through nothing, and what a millimetre
more of clearance would add."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.feeding import revolutions_per_minute
from standclear.motions.table import Call, FeedMode, Kind, Motions

Floats = NDArray[np.float64]

SAME_MM = 1e-6
"""Two coordinates of one point that a cycle works out lie no further apart."""

ALLOWANCE_MM = 2.0
"""A roughing cycle moves its start by the finishing allowance: by no more than this, common
practice, no source."""


@dataclass(frozen=True)
class AirOfCall:
    """The air in one cycle, or in the feeds of one block outside cycles."""

    line: int
    """Of the call or block in its program, from 1."""
    cycle: str
    """Empty for a block outside cycles."""
    station: int
    seconds: float
    """Of its feeds that take nothing off."""
    along: float
    """Seconds that one more millimetre of clearance in Z costs: of the feeds that begin there in
    air and run along Z."""
    across: float
    """The same in X, a millimetre on diameter."""


def air_of_calls(
    motions: Motions,
    calls: tuple[Call, ...],
    stations: tuple[int, ...],
    feeding: Floats,
    in_metal: Floats,
    way: NDArray[np.bool_],
    lines: Sequence[int],
) -> Iterator[AirOfCall]:
    """Each call in turn, then each block that feeds by itself; `feeding` and `in_metal` are seconds
    and parts by row, `way` the rows that count, `stations` the tools of the trace by station,
    `lines` the line of each block."""
    feeds = way & (motions.kind == Kind.FEED)
    per_mm = _seconds_per_mm(motions)
    travel = np.abs(motions.end - motions.start)
    for call in calls:
        own = feeds & (motions.call == call.number)
        if not own.any():
            continue
        z, r = call.point
        begins_z = _from_the_point(motions.start[:, 0], z, own & (travel[:, 1] < SAME_MM))
        begins_r = _from_the_point(motions.start[:, 1], r, own & (travel[:, 0] < SAME_MM))
        yield AirOfCall(
            lines[call.block],
            call.cycle,
            stations[call.tool],
            float(np.nansum((feeding * (1.0 - in_metal))[own])),
            float(np.nansum(per_mm[begins_z])),
            float(np.nansum(per_mm[begins_r])) / 2.0,
        )
    alone = feeds & (motions.call < 0) & (motions.crest == 0.0)
    # What begins in air and ends in metal has a way in; what is in air throughout leads elsewhere.
    enters = alone & (in_metal > 0.0) & (in_metal < 1.0)
    air = np.nan_to_num(feeding * (1.0 - in_metal))
    for block in np.unique(motions.block[alone & (air > 0.0)]).tolist():
        own = alone & (motions.block == block)
        begins = per_mm * (own & enters)
        yield AirOfCall(
            lines[block],
            "",
            stations[int(motions.tool[own][0])],
            float(np.sum(air[own])),
            float(np.nansum(begins[travel[:, 1] < SAME_MM])),
            float(np.nansum(begins[travel[:, 0] < SAME_MM])) / 2.0,
        )


def _from_the_point(starts: Floats, point: float, own: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Those of `own` that begin at the clearance point, moved by the cycle's allowance or not."""
    away = np.where(own, np.abs(starts - point), np.inf)
    nearest = away.min(initial=np.inf)
    found: NDArray[np.bool_] = own & (away < nearest + SAME_MM) & (away <= ALLOWANCE_MM)
    return found


def _seconds_per_mm(motions: Motions) -> Floats:
    """What a millimetre of feed takes where each row begins."""
    feed = np.where(motions.feed > 0, motions.feed, np.nan)
    turning = 60.0 / (feed * revolutions_per_minute(motions, motions.start[:, 1]))
    return np.where(motions.feed_mode == FeedMode.PER_MIN, 60.0 / feed, turning)
