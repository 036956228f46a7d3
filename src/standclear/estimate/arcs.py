"""How an arc differs from the chords that stand for it: longer, and bulging to one side.

Chords leave their arc by half a micrometre at most, which is a few parts in 100,000 of the time of
a small arc. The circle comes from each chord and the next one of its arc.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from standclear.motions.table import Kind, Motions

Floats = NDArray[np.float64]
SAME = 1e-9
"""mm, and as a share of the sagitta: the chords of one arc share it but for the last digits."""


def lengthened(motions: Motions) -> tuple[Floats, Floats]:
    """For each row the length of its true way over that of its chord, and how far outward along r
    the middle of the way lies beyond the chord's on average, mm; 1 and 0 where it is straight.

    With the radius R and the chord c: 2 R asin(c / 2R) / c; of the sagitta s two thirds (closed
    form of the parabola, which at these sagittas is the circle to 1e-9).
    """
    factor, shift = np.ones(len(motions)), np.zeros(len(motions))
    bend = _curvature(motions)
    k = np.flatnonzero(bend)
    travel = motions.end[k] - motions.start[k]
    chord = np.hypot(travel[:, 0], travel[:, 1])
    radius = 1.0 / np.abs(bend[k])
    half = np.minimum(chord / 2.0 / radius, 1.0)
    factor[k] = 2.0 * radius * np.arcsin(half) / chord
    sagitta = radius * (1.0 - np.sqrt(1.0 - half**2))
    # An arc that turns to the left bulges to the right of its chords.
    shift[k] = -np.sign(bend[k]) * travel[:, 0] / chord * (2.0 / 3.0) * sagitta
    return factor, shift


def _curvature(motions: Motions) -> Floats:
    """1 / mm, above 0 where the way turns to the left; 0 where it is straight, or an arc has one
    chord alone and the circle is not told by it."""
    bend = np.zeros(len(motions))
    if len(motions) < 2:
        return bend
    curved = (motions.kind == Kind.FEED) & (motions.sagitta > 0)
    alike = np.abs(np.diff(motions.sagitta)) <= SAME * motions.sagitta[1:]
    joins = np.abs(motions.start[1:] - motions.end[:-1]).max(axis=1) <= SAME
    same = curved[1:] & curved[:-1] & alike & joins
    for column in (motions.block, motions.profile, motions.call, motions.variant):
        same &= column[1:] == column[:-1]
    first = np.flatnonzero(same)
    one, other = _way(motions, first), _way(motions, first + 1)
    whole = one + other
    cross = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
    found = 2.0 * cross / (_long(one) * _long(other) * _long(whole))
    bend[first + 1] = found
    bend[first] = found
    return bend


def _way(motions: Motions, rows: NDArray[np.int64]) -> Floats:
    way: Floats = motions.end[rows] - motions.start[rows]
    return way


def _long(ways: Floats) -> Floats:
    length: Floats = np.hypot(ways[:, 0], ways[:, 1])
    return length
