"""Intervals hold every result of their members."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.interval import Interval

numbers = st.integers(-1000, 1000)


@st.composite
def intervals_with_member(draw: st.DrawFn) -> tuple[Interval, int]:
    low, member, high = sorted(draw(st.tuples(numbers, numbers, numbers)))
    return Interval(low, high), member


@given(intervals_with_member(), intervals_with_member(), numbers)
def test_every_result_of_members_is_inside(
    one: tuple[Interval, int], two: tuple[Interval, int], factor: int
) -> None:
    (x, a), (y, b) = one, two
    assert a + b in x + y
    assert a - b in x - y
    assert -a in -x
    assert a * factor in x * factor and a * factor in factor * x
    assert a + factor in x + factor and factor - a in factor - x
    assert a / 4 in x / 4 and a / -4 in x / -4


def test_sums_are_tight() -> None:
    x, y = Interval(1, 2), Interval(-3, 5)
    assert x + y == Interval(-2, 7)
    assert x - y == Interval(-4, 5)
    assert 10 - x == Interval(8, 9)
    assert x * -2 == Interval(-4, -2)
    assert Interval.about(5, 0.5) == Interval(4.5, 5.5)
    assert Interval.toleranced(40, (-0.5, 0.25)) == Interval(39.5, 40.25)
    assert (y.middle, y.width) == (1, 8)


def test_nothing_lies_between_crossed_bounds() -> None:
    with pytest.raises(ValueError, match="from 2 to 1 holds nothing"):
        Interval(2, 1)
    with pytest.raises(ValueError, match="nan"):
        Interval(float("nan"), 1)
