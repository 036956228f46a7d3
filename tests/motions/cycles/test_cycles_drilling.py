"""G83, G84 and G85 against step lists worked by hand, and what must hold of any hole."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from cycle_cases import only, short
from hypothesis import given, settings
from hypothesis import strategies as st

from standclear.motions.cycles import bore, drill, tap
from standclear.motions.cycles.path import Result
from standclear.motions.table import Kind


def test_one_plunge_from_beside_the_centre_line() -> None:
    readings, faults = drill((5, 30), 0, 2, -20, 0, 5)
    assert short(only(readings)) == [("R", 5, 0), ("R", 2, 0), ("F", -20, 0), ("R", 5, 0)]
    assert faults == ()


def test_pecks_from_the_r_level_the_last_shortened_and_back_to_the_r_level() -> None:
    # R level 2: pecks of 8 reach -6 and -14, the last 4 mm -18.
    readings, _ = drill((5, 0), 0, 2, -18, 8, 2)
    assert short(only(readings)) == [
        ("R", 2, 0),
        ("F", -6, 0), ("R", 2, 0), ("R", -6, 0),
        ("F", -14, 0), ("R", 2, 0), ("R", -14, 0),
        ("F", -18, 0), ("R", 2, 0),
    ]  # fmt: skip


def test_pecks_that_come_out_even() -> None:
    steps = short(only(drill((2, 0), 0, 2, -18, 10, 2)[0]))
    assert [z for kind, z, _ in steps if kind == "F"] == [-8, -18]


def test_drilling_away_from_the_chuck() -> None:
    steps = short(only(drill((-5, 0), 0, -2, 18, 8, -5)[0]))
    assert [z for kind, z, _ in steps if kind == "F"] == [6, 14, 18]


@pytest.mark.parametrize(
    ("initial", "level", "bottom", "peck", "code", "words"),
    [
        (5.0, 2.0, 2.0, 0.0, "profile-stands-still", "never plunges"),
        (5.0, 2.0, 3.0, 0.0, "profile-stands-still", "never plunges"),
        (5.0, 2.0, 5.0, 0.0, "profile-stands-still", "never plunges"),
        (5.0, 2.0, -9.0, -3.0, "cannot-follow", "below zero"),
        (5.0, 2.0, -9.0, 0.001, "cannot-follow", "10,000 pecks"),
    ],
)
def test_holes_that_cannot_be_followed(
    initial: float, level: float, bottom: float, peck: float, code: str, words: str
) -> None:
    readings, faults = drill((initial, 0), 0, level, bottom, peck, level)
    assert [(f.code, f.unproven) for f in faults] == [(code, True)]
    assert words in faults[0].message
    assert only(readings).steps == ()


@pytest.mark.parametrize(("cycle", "credited"), [(bore, True), (tap, False)])
def test_boring_and_tapping_feed_in_and_out(cycle: Callable[..., Result], credited: bool) -> None:
    readings, faults = cycle((5, 0), 0, 2, -15, 5)
    assert short(only(readings)) == [("R", 2, 0), ("F", -15, 0), ("F", 2, 0), ("R", 5, 0)]
    assert [s.credited for s in only(readings).steps if s.kind is Kind.FEED] == [credited, False]
    assert faults == ()
    assert cycle((5, 0), 0, 2, 2, 5)[1][0].code == "profile-stands-still"


tenths = st.integers(1, 400).map(lambda n: n / 10)


@settings(max_examples=80)
@given(tenths, tenths, st.integers(0, 100).map(lambda n: n / 10), st.sampled_from((-1, 1)))
def test_every_rapid_stays_in_what_was_open_before(
    to_level: float, deep: float, peck: float, way: int
) -> None:
    """Seen from the R level the tool is fed in order to the bottom and no rapid leads past what a
    feed has reached; every feed begins there and is no longer than a peck."""
    level, bottom = way * to_level, way * (to_level + deep)
    steps = only(drill((0, 0), 0, level, bottom, peck, 0)[0]).steps
    reached = to_level
    here = 0.0
    for step in steps:
        z = way * step.end[0]
        if step.kind is Kind.FEED:
            assert way * here == pytest.approx(reached)
            assert not peck or z - reached <= peck + 1e-9
            reached = z
        else:
            assert z <= reached + 1e-9
        here = step.end[0]
    assert reached == pytest.approx(to_level + deep)
    assert here == 0
