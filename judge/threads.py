"""The judge's own expansion of thread passes and threading cycles into legs.

Radii are those of the insert's tip. A thread cuts no metal away: what the insert may stand in is
said with each leg.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from judge.cycles import sign
from judge.motion import Leg, Point, Thread, Undecided


def thread_pass(s: Point, end: Point, taper: float) -> list[Leg]:
    """One pass of G92: rapid in, thread, withdraw, rapid back. `taper` is R, start minus end."""
    own = Thread()
    return [
        Leg(True, (s[0], end[1] + taper)), Leg(False, end, thread=own),
        Leg(True, (end[0], s[1]), thread=own), Leg(True, s),
    ]  # fmt: skip


@dataclass(frozen=True)
class Threading:
    """What G76 goes by, mm and degrees."""

    finish_passes: int
    angle: float
    least: float
    allowance: float
    """Left for the finish passes, radial."""


def depths(height: float, first: float, by: Threading) -> list[float]:
    """Depth of each pass under the crest, radial: by the constant area of a chip, no less than the
    least step, down to the finish allowance; then the whole height by the finish passes."""
    if height <= 0 or first <= 0:
        raise Undecided("a thread without height or first depth")
    found: list[float] = []
    last = height - by.allowance
    while not found or found[-1] < last - 1e-9:
        n = len(found) + 1
        before = found[-1] if found else 0.0
        found.append(min(last, max(first * math.sqrt(n), before + by.least)))
        if n > 10000:
            raise Undecided("a thread of endless passes")
    return found + [height] * by.finish_passes


def threading(s: Point, end: Point, taper: float, height: float, first: float, by: Threading
              ) -> list[Leg]:  # fmt: skip
    """G76. `end` is (Z, root radius) at the end of the thread; `taper` is R, start minus end,
    radial; `height` P and `first` Q are radial.

    The infeed along the flank moves a pass along Z, to a side that is not told: each pass is gone
    through moved by the whole of it either way.
    """
    outward = sign(s[1] - end[1])
    z, root = end
    if outward == 0 or (s[1] - root - outward * height) * outward < -1e-9:
        raise Undecided("the threading cycle begins inside the crest")
    run = z - s[0]
    if run == 0:
        raise Undecided("a thread without length")
    own = Thread(outward, z, root + outward * height, -taper / run)
    aside = height * math.tan(math.radians(by.angle / 2))
    legs: list[Leg] = []
    for depth in depths(height, first, by):
        tip = root + outward * (height - depth)
        for shift in sorted({-aside, aside}):
            legs += [
                Leg(True, (s[0] + shift, s[1])),
                Leg(True, (s[0] + shift, tip + taper)),
                Leg(False, (z + shift, tip), thread=own),
                Leg(True, (z + shift, s[1]), thread=own),
                Leg(True, s),
            ]
    return legs
