"""Set-up arithmetic: where blank and jaws lie at each corner of the tolerance box.

Frame of each set-up: z from its part zero, + away from the spindle, millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from judge.jobfile import BlankRange, Clamping, JobFile
from judge.motion import Undecided


@dataclass(frozen=True, slots=True)
class Placed:
    """One set-up at one corner."""

    stop_plane: float
    """z of the jaws' own zero."""
    front: float
    """z of the raw face of the blank; of a turned blank: of its raw back, now in front."""
    back: float
    """z of the other end."""
    mirror: float | None
    """z here = mirror - z of the set-up before; None in the first set-up."""
    grip: float
    """Radius at which the jaws' h = 0 lies; NaN: taken from the metal."""


def _stop_plane(clamping: Clamping, inner: float, outer: float, sign: float) -> float:
    if clamping.jaws is None:
        return inner
    if clamping.seat_on == "stop":
        return inner
    if clamping.seat_on == "step":
        return inner - clamping.jaws.steps[clamping.seat_step]
    return outer - clamping.stick_out - clamping.jaws.front + sign * clamping.seat_error


def _first(c: Clamping, length: float, sign: float, seat_sign: float, grip: float) -> Placed:
    if c.way == "stop":
        if c.from_stop is None:
            raise Undecided("way 'stop' without from_stop")
        back = -c.from_stop + sign * c.error
        return Placed(_stop_plane(c, back, back + length, seat_sign), back + length, back, None,
                      grip)  # fmt: skip
    if c.way == "touch":
        front = c.allowance + c.lean + sign * c.error
        back = front - length
        return Placed(_stop_plane(c, back, front, seat_sign), front, back, None, grip)
    if c.way == "rule":
        front = c.allowance + sign * c.error + seat_sign * c.seat_error
        back = front - length
        if c.seat_on == "stick-out":  # the jaws stay where the zero was set from
            plane = _stop_plane(c, back, c.allowance, 0.0)
        else:
            plane = _stop_plane(c, back, front, 0.0)
        return Placed(plane, front, back, None, grip)
    raise Undecided(f"way {c.way!r} at the first end")


def _turned(c: Clamping, part: float, before: Placed, sign: float, seat_sign: float) -> Placed:
    """The part turned round: its finished face (z = 0 before) is now the inner end."""
    if c.way in ("finished-on-stop", "stop"):
        mirror = -(part if c.from_stop is None else c.from_stop) + sign * c.error
    elif c.way == "measured":
        mirror = -part + sign * c.error
    elif c.way in ("nominal", "touch"):
        mirror = c.allowance + c.lean + sign * c.error + before.back
    else:
        raise Undecided(f"way {c.way!r} at the second end")
    outer = mirror - before.back
    grip = float("nan") if c.grip is None else c.grip
    plane = _stop_plane(c, mirror, outer, seat_sign)
    return Placed(plane, outer, mirror, mirror, grip)


def corners(job: JobFile) -> list[tuple[Placed, ...]]:
    """Every corner of the tolerance box once: for each the placing of every set-up."""
    blank: BlankRange = job.blank
    signs = [
        (-1.0, 1.0) if c.error > 0 or c.seat_error > 0 else (0.0,) for c in job.setups
    ]  # fmt: skip
    seat_signs = [(-1.0, 1.0) if c.seat_error > 0 else (0.0,) for c in job.setups]
    found: dict[tuple[Placed, ...], None] = {}
    first = job.setups[0]
    grips = {blank.radius_low, blank.radius_high} if first.grip is None else {first.grip}
    for length, grip, zero, seat in product(
        sorted(set(blank.lengths)), sorted(grips), product(*signs), product(*seat_signs)
    ):
        placed = [_first(first, length, zero[0], seat[0], grip)]
        for i, clamping in enumerate(job.setups[1:], start=1):
            if not clamping.turned:
                raise Undecided("a further set-up without turning the part")
            placed.append(_turned(clamping, job.part_length, placed[-1], zero[i], seat[i]))
        found[tuple(placed)] = None
    return list(found)
