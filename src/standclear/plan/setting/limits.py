"""What limits the blank's length and the place of part zero, as straight lines.

Everything that depends on length and zero does so at a steady rate (`standclear.job.placing` is all
sums), so each limit is a slack as the job stands and two rates. Ranges are read off them; nothing
is tried.

    x   how much longer the blank is than stated
    s   how far part zero of the first end moves towards the chuck: the front allowance grows by s

A limit holds where slack + per_length * x + per_shift * s is 0 or more. Millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

ANY_SPLIT = "air at any split"


@dataclass(frozen=True)
class Limit:
    """One condition on length and zero."""

    kind: str
    """`clean-up`, `air` in front of the raw face, `depth` of the first facing cut, or `jaws`; or
    `air at any split`: too near metal that is there wherever the face lies, which limits neither
    length nor zero."""
    setup: str
    slack: float
    """To spare as the job stands; what is missing where negative."""
    per_length: float
    per_shift: float
    line: int = 0
    """Of the block that sets it, counted from 1; 0 where none does."""


@dataclass(frozen=True)
class Range:
    """From `lo` to `hi`, with what sets either end; None where nothing does. Nothing lies in it
    where `lo` is above `hi`: then the two bounds disagree by `-width`."""

    lo: float
    hi: float
    lo_limit: Limit | None
    hi_limit: Limit | None

    @property
    def width(self) -> float:
        return self.hi - self.lo

    def __contains__(self, value: float) -> bool:
        return self.lo - SAME_MM <= value <= self.hi + SAME_MM


SAME_MM = 1e-9
"""What sums of stated sizes may differ by."""
RATE = 1e-6
"""A rate below this is the noise of floating sums: true ones are whole numbers."""


def shift_range(limits: Sequence[Limit]) -> Range:
    """Every s at the length as stated."""
    return _range([(each, each.slack, each.per_shift) for each in limits])


def length_range(limits: Sequence[Limit]) -> Range:
    """Every x with part zero set as it is, or as its way sets it on another length."""
    return _range([(each, each.slack, each.per_length) for each in limits])


def length_range_at_best(limits: Sequence[Limit]) -> Range:
    """Every x at which some s satisfies all limits.

    s is eliminated by adding each limit that wants it higher to each that wants it lower, both
    taken per unit of s (Fourier and Motzkin, from memory).
    """
    up = [each for each in limits if each.per_shift > RATE]
    down = [each for each in limits if each.per_shift < -RATE]
    lines = [(e, e.slack, e.per_length) for e in limits if abs(e.per_shift) <= RATE]
    lines += [
        (
            a if abs(a.per_length) > abs(b.per_length) else b,
            a.slack / a.per_shift - b.slack / b.per_shift,
            a.per_length / a.per_shift - b.per_length / b.per_shift,
        )
        for a in up
        for b in down
    ]
    return _range(lines)


def _range(lines: Sequence[tuple[Limit, float, float]]) -> Range:
    """Values v with constant + rate * v at least 0 for every line; a line that v does not change
    leaves nothing where it fails."""
    lo, hi = -inf, inf
    lo_limit: Limit | None = None
    hi_limit: Limit | None = None
    for limit, constant, rate in lines:
        if abs(rate) <= RATE:
            if constant < -SAME_MM:
                return Range(inf, -inf, limit, limit)
            continue
        edge = -constant / rate
        if rate > 0 and edge > lo:
            lo, lo_limit = edge, limit
        if rate < 0 and edge < hi:
            hi, hi_limit = edge, limit
    return Range(lo, hi, lo_limit, hi_limit)
