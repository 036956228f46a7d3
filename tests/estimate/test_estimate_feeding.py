"""Times of feeds against worked values and against integration step by step."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from tests.estimate.rows import rows

from standclear.estimate.feeding import feed_seconds, revolutions_per_minute
from standclear.motions.table import FeedMode, SpeedMode, Spindle

INCH = 25.4
FT_PER_MIN = 0.3048
"""m/min in a ft/min, exact: international foot."""


@pytest.mark.parametrize(
    ("speed", "diameter", "expected"),
    [
        (200.0, 50.0, 1273.24),
        (180.0, 32.0, 1790.49),
        (600 * FT_PER_MIN, 2 * INCH, 1145.92),
        (400 * FT_PER_MIN, 0.75 * INCH, 2037.18),
    ],
)
def test_spindle_speed_is_the_surface_speed_over_the_circumference(
    speed: float, diameter: float, expected: float
) -> None:
    """Closed form n = 1000 v / (pi D), values worked apart from this code."""
    table = rows(((0, diameter), (-1, diameter)), speed=speed)
    assert revolutions_per_minute(table, table.start[:, 1])[0] == pytest.approx(expected, abs=0.005)


WORKED: list[tuple[str, tuple[Any, Any], dict[str, Any], float, float]] = [
    # What, way in (z, diameter), columns, seconds, half a unit of the last digit.
    ("turning 80 at D50", ((80, 50), (0, 50)), {"feed": 0.25}, 15.080, 5e-4),
    (
        "turning 4 in at D2",
        ((4 * INCH, 2 * INCH), (0, 2 * INCH)),
        {"feed": 0.010 * INCH, "speed": 600 * FT_PER_MIN},
        20.944,
        5e-4,
    ),
    ("facing 80 to 20", ((0, 80), (0, 20)), {}, 7.0686, 5e-5),
    ("facing to the centre, no clamp", ((0, 80), (0, 0)), {}, 7.5398, 5e-5),
    ("facing to the centre, clamp 3000", ((0, 80), (0, 0)), {"clamp": 3000.0}, 8.0703, 5e-5),
    ("facing 80 to 20, clamp 3000", ((0, 80), (0, 20)), {"clamp": 3000.0}, 7.0703, 5e-5),
    ("clamp slower than the rim asks", ((0, 80), (0, 0)), {"clamp": 700.0}, 17.143, 5e-4),
    (
        "the face at the fixed speed of its rim",
        ((0, 80), (0, 0)),
        {"speed": 795.7747, "speed_mode": SpeedMode.RPM},
        15.080,
        5e-4,
    ),
    (
        "inch facing with clamp 2000",
        ((0, 4 * INCH), (0, 0)),
        {"feed": 0.010 * INCH, "speed": 500 * FT_PER_MIN, "clamp": 2000.0},
        13.2826,
        5e-5,
    ),
    ("taper 40 to 60 over 50", ((0, 40), (-50, 60)), {}, 12.014, 5e-4),
]


@pytest.mark.parametrize(
    ("way", "said", "expected", "within"),
    [pytest.param(*case[1:], id=case[0]) for case in WORKED],
)
def test_feeds_take_what_they_take_by_hand(
    way: tuple[Any, Any], said: dict[str, Any], expected: float, within: float
) -> None:
    """Closed forms, worked apart from this code."""
    assert feed_seconds(rows(way, **said))[0] == pytest.approx(expected, abs=within)


RADII = st.floats(-60, 60).map(lambda r: round(r, 3))


@given(
    start=st.tuples(st.floats(-50, 50), RADII),
    end=st.tuples(st.floats(-50, 50), RADII),
    clamp=st.floats(200, 5000),
    speed=st.floats(20, 400),
)
def test_constant_surface_speed_agrees_with_stepping_along_the_way(
    start: tuple[float, float], end: tuple[float, float], clamp: float, speed: float
) -> None:
    """Also across the centre line, where the far side counts as the near one."""
    table = rows(
        ((start[0], 2 * start[1]), (end[0], 2 * end[1])), clamp=clamp, speed=speed, feed=0.2
    )
    way = float(np.hypot(*(table.end - table.start)[0]))
    turning = 1000 * speed / (2 * np.pi * clamp)

    def seconds_per_mm(share: float) -> float:
        radius = abs(start[1] + share * (end[1] - start[1]))
        rpm = clamp if radius <= turning else 1000 * speed / (2 * np.pi * radius)
        return 60 / (0.2 * rpm)

    bends = [
        (r - start[1]) / (end[1] - start[1])
        for r in (0.0, turning, -turning)
        if end[1] != start[1] and 0 < (r - start[1]) / (end[1] - start[1]) < 1
    ]
    stepped, _ = quad(seconds_per_mm, 0, 1, points=sorted(bends) or None, epsrel=1e-10, limit=200)
    assert feed_seconds(table)[0] == pytest.approx(way * stepped, rel=1e-6, abs=1e-9)


def test_feed_per_minute_needs_no_spindle() -> None:
    table = rows(
        ((0, 20), (-30, 20)), feed=120.0, feed_mode=FeedMode.PER_MIN, spindle=Spindle.STOPPED
    )
    assert feed_seconds(table)[0] == pytest.approx(15.0)


@pytest.mark.parametrize(
    "said", [{"feed": 0.0}, {"speed": 0.0}, {"spindle": Spindle.STOPPED}], ids=str
)
def test_a_feed_of_which_something_is_missing_takes_a_time_that_is_not_known(
    said: dict[str, Any],
) -> None:
    assert np.isnan(feed_seconds(rows(((0, 20), (-30, 20)), **said))[0])


def test_a_feed_along_the_axis_without_a_clamp_is_not_known() -> None:
    assert np.isnan(feed_seconds(rows(((0, 0), (-30, 0))))[0])


def test_a_feed_of_no_length_takes_no_time() -> None:
    assert feed_seconds(rows(((0, 20), (0, 20)), feed=0.0))[0] == 0.0
