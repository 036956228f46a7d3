"""How long rapids take, with the acceleration of each axis where the machine file gives it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from standclear.job.models import Machine
from standclear.motions.table import FAR, Kind, Motions

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Axes:
    """What each axis does in rapid, (z, r): speed in mm/s, acceleration in mm/s2 (infinity where
    it is not given)."""

    speed: tuple[float, float]
    acceleration: tuple[float, float]


def axes_of(machine: Machine) -> Axes | None:
    """The axes of a machine whose lengths are in mm; None where it states no rapid rates."""
    rates, up = machine.rapid_rates, machine.rapid_acceleration
    if rates is None:
        return None
    along, across = (np.inf, np.inf) if up is None else (1000.0 * up.z, 1000.0 * up.x)
    return Axes((rates.z / 60.0, rates.x / 60.0), (along, across))


def ramp_seconds(way: Floats, speed: Floats, acceleration: Floats) -> Floats:
    """From rest to rest over `way` mm: up at an even rate, on at `speed` where the way is long
    enough, down at the same rate.

    t = s / v + v / a where s >= v^2 / a, else 2 sqrt(s / a): even acceleration, closed form.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        reached = way >= speed**2 / acceleration
        seconds = np.where(
            reached, way / speed + speed / acceleration, 2.0 * np.sqrt(way / acceleration)
        )
    return np.where(way > 0, seconds, 0.0)


def rapid_seconds(motions: Motions, axes: Axes) -> tuple[Floats, Floats]:
    """Seconds of every rapid on a bent way and on a straight one; 0 for other rows, nan for a
    rapid from or to a place known only to lie beyond the work.

    Bent, each axis goes by itself and the later one counts. Straight, both go together: the axis
    that the direction asks most of sets the speed, and likewise the acceleration.
    """
    speed, up = np.array(axes.speed), np.array(axes.acceleration)
    ways = np.abs(motions.end - motions.start)
    bent = np.max(ramp_seconds(ways, speed, up), axis=1)
    length = np.hypot(ways[:, 0], ways[:, 1])
    with np.errstate(divide="ignore", invalid="ignore"):
        shares = ways / length[:, None]
        straight = ramp_seconds(length, np.min(speed / shares, axis=1), np.min(up / shares, axis=1))
    rapid = motions.kind == Kind.RAPID
    far = (np.abs(motions.start) >= FAR).any(axis=1) | (np.abs(motions.end) >= FAR).any(axis=1)
    unknown = np.where(far, np.nan, 0.0)
    return np.where(rapid, bent + unknown, 0.0), np.where(rapid, straight + unknown, 0.0)
