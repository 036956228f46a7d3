"""G73 against step lists worked by hand, and what must hold of any call."""

from __future__ import annotations

import pytest
from cycle_cases import STATED, only, profile, short, stated
from hypothesis import given, settings
from hypothesis import strategies as st

from standclear.job.models import Control
from standclear.motions.cycles import pattern
from standclear.motions.step import Profile
from standclear.motions.table import Kind

PIN = profile((2, 30), (2, 20), (-30, 20), (-30, 28))
"""Outside, towards the chuck: pin of r 20, shoulder out to r 28."""


def test_three_passes_with_shift_and_allowance() -> None:
    # i 4, k 2: passes at (2, 4), (1, 2) and (0, 0), each plus w 0.1 and u/2 0.2.
    readings, faults = pattern(PIN, 4, 2, 3, 0.4, 0.1, STATED)
    assert short(only(readings)) == [
        ("R", 4.1, 34.2), ("R", 4.1, 24.2), ("F", -27.9, 24.2), ("F", -27.9, 32.2),
        ("R", 3.1, 32.2), ("R", 3.1, 22.2), ("F", -28.9, 22.2), ("F", -28.9, 30.2),
        ("R", 2.1, 30.2), ("R", 2.1, 20.2), ("F", -29.9, 20.2), ("F", -29.9, 28.2),
        ("R", 2, 30),
    ]  # fmt: skip
    assert faults == ()
    assert [s.profile for s in only(readings).steps[:5]] == [-1, 10, 11, 12, -1]


def test_one_pass_lies_at_the_shift_or_at_the_allowance() -> None:
    readings, _ = pattern(PIN, 4, 2, 1, 0.4, 0.1, stated(pattern_one_pass=None))
    assert [r.values for r in readings] == [
        ("pattern_one_pass=shifted",),
        ("pattern_one_pass=unshifted",),
    ]
    assert [short(r)[1] for r in readings] == [("R", 4.1, 24.2), ("R", 2.1, 20.2)]


@pytest.mark.parametrize(("row", "entry"), [("shifted", (4, 24)), ("unshifted", (2, 20))])
def test_one_pass_as_stated(row: str, entry: tuple[float, float]) -> None:
    readings, _ = pattern(PIN, 4, 2, 1, 0, 0, stated(pattern_one_pass=row))
    assert only(readings).values == ()
    assert ("R", *entry) in short(only(readings))


def test_one_pass_without_a_shift_is_the_same_either_way() -> None:
    readings, _ = pattern(PIN, 0, 0, 1, 0.4, 0.1, stated(pattern_one_pass=None))
    assert only(readings).values == ()


@pytest.mark.parametrize(
    ("row", "between", "home"),
    [
        ("x-first", [("R", -28, 30), ("R", 2, 30)], [("R", -30, 30), ("R", 2, 30)]),
        ("z-first", [("R", 2, 32), ("R", 2, 30)], [("R", 2, 28), ("R", 2, 30)]),
        (None, [("?", 2, 30)], [("?", 2, 30)]),
    ],
)
def test_ways_back(
    row: str | None,
    between: list[tuple[str, float, float]],
    home: list[tuple[str, float, float]],
) -> None:
    # Pass 1 ends at (-28, 32); pass 2 begins at S (2, 30) and ends at (-30, 28).
    readings, _ = pattern(PIN, 4, 2, 2, 0, 0, stated(home_after_cycle=row))
    steps = short(only(readings))
    assert steps[4 : 4 + len(between)] == between
    assert steps[-len(home) :] == home


def test_first_block_by_feed_stays_a_feed() -> None:
    fed = profile((2, 30), (2, 20), (-30, 20), first=Kind.FEED)
    steps = short(only(pattern(fed, 4, 0, 2, 0, 0, STATED)[0]))
    assert steps[1] == ("F", 2, 24)


def test_bore_pattern_points_inward() -> None:
    bore = profile((2, 8), (2, 15), (-20, 15), (-20, 9))
    readings, faults = pattern(bore, -3, 1, 2, -0.4, 0.1, STATED)
    assert short(only(readings))[1] == ("R", 3.1, 11.8)
    assert faults == ()


@pytest.mark.parametrize(
    ("i", "k", "u", "w", "words"),
    [
        (-4, 2, 0.4, 0.1, "The shift points into the finished part, {across}"),
        (4, -2, 0.4, 0.1, "The shift points into the finished part, {along}"),
        (4, 2, -0.4, 0.1, "The finishing allowance points into the finished part, {across}"),
        (4, 2, 0.4, -0.1, "The finishing allowance points into the finished part, {along}"),
    ],
)
def test_wrong_signs_are_told_and_followed(
    i: float, k: float, u: float, w: float, words: str
) -> None:
    readings, faults = pattern(PIN, i, k, 2, u, w, STATED)
    assert [(f.code, f.unproven) for f in faults] == [("allowance-wrong-side", False)]
    assert words in faults[0].message
    assert short(only(readings))[0] == ("R", 2 + k + w, 30 + i + u / 2)


@pytest.mark.parametrize(
    ("part", "passes", "code"),
    [
        (Profile((2, 30), ()), 3, "profile-missing"),
        (PIN, 0, "cycle-depth-unknown"),
        (PIN, 4000, "cannot-follow"),
    ],
)
def test_what_cannot_be_followed(part: Profile, passes: int, code: str) -> None:
    readings, faults = pattern(part, 4, 2, passes, 0, 0, STATED)
    assert [(f.code, f.unproven) for f in faults] == [(code, True)]
    assert only(readings).steps == ()


shifts = st.integers(-40, 40).map(lambda n: n / 10)


@settings(max_examples=60)
@given(shifts, shifts, st.integers(1, 9), shifts, shifts)
def test_passes_are_evenly_spaced_copies_that_end_at_the_point_of_call(
    i: float, k: float, passes: int, u: float, w: float
) -> None:
    readings, _ = pattern(PIN, i, k, passes, u, w, Control(home_after_cycle="direct"))
    for reading in readings:
        assert reading.steps[-1].end == PIN.start or (i, k, u, w) == (0, 0, 0, 0)
        shoulders = [s.end for s in reading.steps if s.profile == 12]
        assert len(shoulders) == passes
        for j, (z, r) in enumerate(shoulders):
            left = passes - 1 - j
            gaps = max(passes - 1, 1)
            if passes > 1 or "pattern_one_pass=unshifted" in reading.values:
                assert z == pytest.approx(-30 + w + k * left / gaps)
                assert r == pytest.approx(28 + u / 2 + i * left / gaps)
