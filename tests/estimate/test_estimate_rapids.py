"""Times of rapids by hand and by stepping."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.estimate.rows import rows

from standclear.estimate.rapids import Axes, axes_of, ramp_seconds, rapid_seconds
from standclear.job.models import Machine
from standclear.motions.table import FAR, Kind

QUICK = Axes(speed=(200.0, 100.0), acceleration=(2000.0, 1000.0))
"""(z, r): 12 and 6 m/min, 2 and 1 m/s2."""


def test_a_long_way_reaches_its_speed_and_a_short_one_does_not() -> None:
    """By hand: 200 mm/s at 2000 mm/s2 is reached after 10 mm, so 100 mm take 100/200 + 200/2000 =
    0.6 s; 5 mm take 2 sqrt(5/2000) = 0.1 s."""
    found = ramp_seconds(np.array([100.0, 5.0, 0.0]), np.array(200.0), np.array(2000.0))
    assert found.tolist() == pytest.approx([0.6, 0.1, 0.0])


@given(st.floats(0.001, 500), st.floats(1, 500), st.floats(10, 5000))
def test_a_ramp_agrees_with_stepping(way: float, speed: float, up: float) -> None:
    """The greatest speed at each place is what can be reached from either end, and the limit."""
    edges = np.linspace(0.0, way, 20001)
    middle = (edges[1:] + edges[:-1]) / 2
    least = np.minimum(middle, way - middle)
    at = np.minimum(speed, np.sqrt(2 * up * least))
    stepped = float(np.sum(np.diff(edges) / at))
    assert ramp_seconds(np.array([way]), np.array(speed), np.array(up))[0] == pytest.approx(
        stepped, rel=0.01
    )


def test_bent_the_slower_axis_counts_and_straight_both_wait_for_it() -> None:
    """By hand, without acceleration: 100 mm along Z at 200 mm/s take 0.5 s, 80 mm across at 100
    mm/s take 0.8 s; straight, the slower axis sets the same 0.8 s."""
    axes = Axes((200.0, 100.0), (np.inf, np.inf))
    table = rows(((100, 200), (0, 40)), kind=Kind.RAPID)
    bent, straight = rapid_seconds(table, axes)
    assert (bent[0], straight[0]) == pytest.approx((0.8, 0.8))


def test_a_straight_way_takes_no_less_than_a_bent_one() -> None:
    table = rows(((3, 50), (0, 40)), ((100, 200), (0, 40)), ((0, 60), (0, 40)), kind=Kind.RAPID)
    bent, straight = rapid_seconds(table, QUICK)
    assert (straight >= bent - 1e-12).all()
    assert straight[2] == pytest.approx(bent[2])


def test_a_feed_is_no_rapid_and_a_way_home_is_not_known() -> None:
    table = rows(((0, 20), (-5, 20)), ((0, 20), (FAR, 20)), kind=[Kind.FEED, Kind.RAPID])
    for found in rapid_seconds(table, QUICK):
        assert found[0] == 0.0
        assert np.isnan(found[1])


def test_a_machine_states_its_rates_a_minute_and_its_acceleration_in_metres() -> None:
    machine = Machine.model_validate(
        {"rapid_rates": {"x": 6000.0, "z": 12000.0}, "rapid_acceleration": {"x": 1.0, "z": 2.0}}
    )
    assert axes_of(machine) == QUICK
    assert axes_of(Machine()) is None
