"""The search for the last good step."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from standclear.plan.leaning.farthest import farthest, run, run_together

STEPS = st.integers(0, 60)
FIRST = st.lists(st.integers(-5, 70), max_size=4)


@given(most=STEPS, last=STEPS, first=FIRST)
def test_it_finds_the_last_good_step_whatever_is_tried_first(
    most: int, last: int, first: list[int]
) -> None:
    tried: list[int] = []

    def good(at: int) -> bool:
        tried.append(at)
        return at <= last

    found, bad = run(farthest(most, first), good)
    assert found == min(most, last)
    assert bad == (last + 1 if last < most else None)
    assert len(tried) == len(set(tried))
    assert all(1 <= at <= most for at in tried)
    assert set(tried) >= {at for at in (found, bad) if at}


@given(data=st.lists(st.tuples(STEPS, STEPS, FIRST), min_size=1, max_size=4))
def test_searches_served_together_find_what_each_finds_alone(
    data: list[tuple[int, int, list[int]]],
) -> None:
    def good(at: Sequence[int]) -> list[bool]:
        return [step <= last for step, (_, last, _) in zip(at, data, strict=True)]

    together = run_together([farthest(most, first) for most, _, first in data], good)
    assert together == [
        (min(most, last), last + 1 if last < most else None) for most, last, _ in data
    ]


def test_a_good_guess_takes_two_trials() -> None:
    tried: list[int] = []

    def good(at: int) -> bool:
        tried.append(at)
        return at <= 280

    assert run(farthest(500, (280, 281)), good) == (280, 281)
    assert tried == [280, 281]
