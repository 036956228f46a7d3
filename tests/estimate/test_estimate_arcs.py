"""Times of arcs at constant surface speed, clamped: the true arc integrated, not its chords."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, hypot, pi, sin, tau

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from tests.estimate.rows import rows

from standclear.estimate.feeding import feed_seconds
from standclear.motions.table import FeedMode
from standclear.motions.way.arcs import chords

Point = tuple[float, float]


def timed(start: Point, end: Point, centre: Point, clockwise: bool, **said: float) -> float:
    """Seconds of an arc by the chords that the program's motions have; points are (z, r)."""
    arc = chords(start, end, centre, clockwise)
    assert arc is not None
    points = [start, *arc.points]
    ways = [((a[0], 2 * a[1]), (b[0], 2 * b[1])) for a, b in pairwise(points)]
    return float(np.sum(feed_seconds(rows(*ways, sagitta=arc.sagitta, **said))))


def integrated(
    start: Point, end: Point, centre: Point, clockwise: bool, speed: float, clamp: float
) -> float:
    """The same along the true arc at feed 0.2."""
    radius = hypot(start[0] - centre[0], start[1] - centre[1])
    begin = atan2(start[1] - centre[1], start[0] - centre[0])
    turn = (atan2(end[1] - centre[1], end[0] - centre[0]) - begin) % tau
    turn = turn - tau if clockwise else turn

    def seconds_per_radian(share: float) -> float:
        r = abs(centre[1] + radius * sin(begin + share * turn))
        return 60.0 / (0.2 * min(clamp, 1000.0 * speed / (tau * r) if r else clamp))

    bends = np.linspace(0.0, 1.0, 41)[1:-1].tolist()
    whole, _ = quad(seconds_per_radian, 0.0, 1.0, points=bends, epsrel=1e-11, limit=500)
    return abs(turn) * radius * whole


@settings(max_examples=60)
@given(
    radius=st.floats(0.5, 40),
    centre=st.floats(12, 60),
    begin=st.floats(0, tau),
    turn=st.floats(0.3, 3.0),
    clockwise=st.booleans(),
    speed=st.floats(60, 400),
    clamp=st.floats(500, 4000),
)
def test_an_arc_takes_what_its_true_way_takes(
    radius: float,
    centre: float,
    begin: float,
    turn: float,
    clockwise: bool,
    speed: float,
    clamp: float,
) -> None:
    """To 1e-6: fillets and rounds, either way round, with the clamp reached or not. Where the clamp
    sets in within a chord of a few hundredths, the mean of the chord still holds it."""
    radius = min(radius, centre - 1.0)
    at = (-20.0, centre)
    start = at[0] + radius * cos(begin), at[1] + radius * sin(begin)
    last = begin + (-turn if clockwise else turn)
    end = at[0] + radius * cos(last), at[1] + radius * sin(last)
    expected = integrated(start, end, at, clockwise, speed, clamp)
    found = timed(start, end, at, clockwise, speed=speed, clamp=clamp)
    assert found == pytest.approx(expected, rel=1e-6)


def test_a_quarter_round_by_the_closed_form() -> None:
    """R5 from diameter 30 at Z0 to diameter 40 at Z-5 about X30 Z-5: the mean radius of a quarter
    arc lies 2 R / pi beyond its centre, so that t = (pi R / 2) 2 pi (15 + 10 / pi) / (1000 v f)
    minutes; per minute, pi R / 2 over the feed."""
    start, end, centre = (0.0, 15.0), (-5.0, 20.0), (-5.0, 15.0)
    arc = pi * 5 / 2
    found = timed(start, end, centre, clockwise=False, speed=200.0)
    expected = arc * 2 * pi * (15 + 10 / pi) / (1000 * 200 * 0.2) * 60
    assert found == pytest.approx(expected, rel=1e-7)
    minutes = timed(start, end, centre, False, feed=100.0, feed_mode=FeedMode.PER_MIN)
    assert minutes == pytest.approx(arc / 100.0 * 60, rel=1e-7)
