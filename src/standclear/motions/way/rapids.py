"""The way of a rapid between two points, as far as the machine file tells it."""

from __future__ import annotations

from standclear.job.models import Machine
from standclear.motions.step import Position
from standclear.motions.table import FAR, Path


def rapid_legs(
    start: Position, end: Position, machine: Machine
) -> tuple[tuple[Position, Path], ...]:
    """Legs from `start` to `end`, each (where it ends, what is known of its way); none if no way.

    One axis alone: a straight line on every control. Both: `straight`; `bent`, each axis at its own
    rate until the nearer is done (needs both rates); else only the rectangle is known. A place
    known only to lie beyond the work has no line to it either.
    """
    dz, dr = end[0] - start[0], end[1] - start[1]
    if dz == 0 and dr == 0:
        return ()
    if dz == 0 or dr == 0:
        return ((end, Path.STRAIGHT),)
    if FAR in start or FAR in end:
        return ((end, Path.ANYWHERE),)
    if machine.rapid_path == "straight":
        return ((end, Path.STRAIGHT),)
    if machine.rapid_path == "bent" and machine.rapid_rates is not None:
        time_z = abs(dz) / machine.rapid_rates.z
        time_r = abs(dr) / machine.rapid_rates.x
        if time_z < time_r:
            bend = (end[0], start[1] + dr * time_z / time_r)
        elif time_r < time_z:
            bend = (start[0] + dz * time_r / time_z, end[1])
        else:
            return ((end, Path.STRAIGHT),)
        return ((bend, Path.STRAIGHT), (end, Path.STRAIGHT))
    return ((end, Path.ANYWHERE),)
