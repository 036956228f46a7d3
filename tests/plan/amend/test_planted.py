"""Thirty jobs with known faults planted in proven ones; `make amend N=1000` plants more.

So few cannot show how large a share is mended: that is for the long run. Here every promise must be
kept, and most of the jobs come out as their faults ask.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import count, islice

import pytest
from planted.run import Outcome, outcomes_of
from planted.tally import Tally

from standclear.plan.amend.amend import amend


def outcomes(first_seed: int) -> Iterator[Outcome]:
    return (each for seed in count(first_seed) for each in outcomes_of(seed))


@pytest.mark.parametrize("chunk", range(10))
def test_amending_keeps_its_promises_and_mends_most(chunk: int) -> None:
    found = list(islice(outcomes(20_000 + 1_000 * chunk), 3))
    assert [each.told() for each in found if each.kept] == []
    assert sum(each.good for each in found) >= 2, [each.told() for each in found]


def outcome(**change: object) -> Outcome:
    good = Outcome("1.0", "demo-pin", "lowered", ("X51. -> X46.",), "", 1, 1, "", "clear", True,
                   (), (), (), 0.1)  # fmt: skip
    return replace(good, **change)


@pytest.mark.parametrize(
    ("change", "good"),
    [
        ({}, True),
        ({"words": 2}, False),
        ({"mended": False}, False),
        ({"kept": "said clear, proved anew contact"}, False),
        ({"bound": "jaws", "mended": False, "named": ("jaws",)}, True),
        ({"bound": "jaws", "mended": False, "named": ("bar",)}, False),
        ({"bound": "jaws", "named": ("jaws",)}, False),
    ],
)
def test_what_counts_as_good(change: dict[str, object], good: bool) -> None:
    assert outcome(**change).good is good
    tally = Tally()
    tally.add(outcome(**change))
    assert tally.passed is good


def test_one_miss_in_a_hundred_passes_and_two_do_not() -> None:
    tally = Tally()
    for _ in range(99):
        tally.add(outcome())
    tally.add(outcome(mended=False))
    assert tally.passed
    assert tally.table().splitlines()[-1].startswith("100 jobs: 99 of 100 mendable mended (99.0 %)")
    tally.add(outcome(mended=False))
    assert not tally.passed


def test_amending_can_fail_this(monkeypatch: pytest.MonkeyPatch) -> None:
    """An amendment whose file holds a byte that no edit reports is a promise not kept."""

    def with_a_byte_more(*given: object) -> object:
        found = amend(*given)  # type: ignore[arg-type]
        return replace(found, programs={n: d + b"\n" for n, d in found.programs.items()})

    monkeypatch.setattr("planted.run.amend", with_a_byte_more)
    seen = [each for each in islice(outcomes(20_000), 3) if each.words]
    assert any(each.kept for each in seen)
    assert not any(each.good for each in seen if each.kept)
