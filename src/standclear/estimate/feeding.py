"""How long feeds take: feed per revolution or per minute, constant surface speed with its clamp.

Everything is an array over the rows of a `Motions` table. The control goes by the radius of the
controlled point, whose sign tells only on which side of the axis the tool stands.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.arcs import lengthened
from standclear.motions.table import FeedMode, Kind, Motions, SpeedMode, Spindle

Floats = NDArray[np.float64]

LEVEL_MM = 1e-7
"""A feed whose radius changes by less runs at the speed of its middle: the two closed forms agree
there to more digits than a float holds."""


def revolutions_per_minute(motions: Motions, radius: Floats) -> Floats:
    """Spindle speed with the controlled point at `radius`, rpm; nan where none was given.

    n = 1000 v / (2 pi r) at a surface speed of v m/min and r in mm, and no more than the clamp.
    """
    given = np.where(motions.speed > 0, motions.speed, np.nan)
    with np.errstate(divide="ignore"):
        by_surface = np.minimum(1000.0 * given / (2.0 * np.pi * np.abs(radius)), motions.clamp)
    return np.where(
        motions.speed_mode == SpeedMode.SURFACE, by_surface, np.minimum(given, motions.clamp)
    )


def feed_seconds(motions: Motions) -> Floats:
    """Seconds of every feed; 0 for other rows, nan where feed or speed is not known, or where a
    surface speed without a clamp asks on the axis for a speed beyond all bounds.

    Per revolution, t = integral of ds / (f n). At constant surface speed 1 / n is the larger of
    2 pi r / (1000 v) and 1 / clamp, and r changes evenly along the way, so that

        t = s / (r2 - r1) * (G(r2) - G(r1)) / f,    G(r) = integral of 1 / n from 0 to r.
    """
    seconds = np.zeros(len(motions))
    feeds = motions.kind == Kind.FEED
    factor, outward = lengthened(motions)
    way = factor * np.hypot(*(motions.end - motions.start).T)
    per_minute = feeds & (motions.feed_mode == FeedMode.PER_MIN)
    per_turn = feeds & ~per_minute
    feed = np.where(motions.feed > 0, motions.feed, np.nan)
    minutes = np.where(way > 0, way / feed, 0.0)
    seconds[per_minute] = 60.0 * minutes[per_minute]
    turning = np.where(
        motions.spindle == Spindle.STOPPED, np.nan, _minutes_per_turn(motions, outward)
    )
    by_turns = 60.0 * np.where(way > 0, minutes * turning, 0.0)
    seconds[per_turn] = by_turns[per_turn]
    return seconds


def _minutes_per_turn(motions: Motions, outward: Floats) -> Floats:
    """1 / n, averaged along the way of each row, which lies `outward` mm beyond its chord."""
    at_rpm = 1.0 / revolutions_per_minute(motions, np.ones(len(motions)))
    start, end = motions.start[:, 1] + outward, motions.end[:, 1] + outward
    change = end - start
    level = np.abs(change) < LEVEL_MM
    sloping = (_turns_over(motions, end) - _turns_over(motions, start)) / np.where(
        level, 1.0, change
    )
    with np.errstate(divide="ignore"):
        even_speed = revolutions_per_minute(motions, (start + end) / 2)
    even = np.where(np.isfinite(even_speed), 1.0 / even_speed, np.nan)
    average = np.where(level, even, sloping)
    return np.where(motions.speed_mode == SpeedMode.SURFACE, average, at_rpm)


def _turns_over(motions: Motions, radius: Floats) -> Floats:
    """G: the integral of 1 / n over the radius, from the axis out; odd in the radius."""
    out = np.abs(radius)
    speed = np.where(motions.speed > 0, motions.speed, np.nan)
    clamped_to = 1000.0 * speed / (2.0 * np.pi * motions.clamp)
    inner = np.minimum(out, clamped_to)
    outer = np.maximum(out, clamped_to)
    total = inner / motions.clamp + np.pi * (outer**2 - clamped_to**2) / (1000.0 * speed)
    return np.sign(radius) * total
