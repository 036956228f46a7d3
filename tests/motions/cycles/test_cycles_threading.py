"""G76 and G92 against published depths, the rule of equal areas and step lists worked by hand."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import pi, radians, sqrt, tan

import pytest
from cycle_cases import STATED, only, short

from standclear.motions.cycles import thread_cycle, thread_pass
from standclear.motions.cycles.path import MOST_STEPS
from standclear.motions.cycles.threading import ThreadCall, crest_slack, pass_depths
from standclear.motions.table import FeedMode, Kind

M20 = ThreadCall((-20, 9.08), 0.0, 0.92, 0.46, 1.5, 0.0)
"""M20 x 1.5 with k 0.92: root at r 9.08, crest at r 10; d1 half of k, so D_n = 0.46 sqrt n, which
passes k at n = 4: 0.46, 0.6505, 0.7967 and 0.92."""
S = (5.0, 12.0)


def rounded(readings: object) -> list[tuple[str, float, float]]:
    return [(kind, round(z, 4), round(r, 4)) for kind, z, r in short(only(readings))]


def test_passes_of_equal_area_reach_the_depths_of_the_hand_book() -> None:
    """M20 x 1.5: h3 = 0.9202 (ISO 68-1: 17/24 of H = 0.866 x 1.5); six passes of h sqrt(n / 6)."""
    depth = 17 / 24 * sqrt(3) / 2 * 1.5
    got = pass_depths(depth, depth / sqrt(6), 0.0, 0.0, 1)
    assert got == pytest.approx([0.3757, 0.5312, 0.6506, 0.7513, 0.8400, 0.9202], abs=6e-5)
    # The diameters that the rule gives at d = 20, as printed to the thousandth.
    diameters = [20 - 2 * depth for depth in got or ()]
    assert diameters == pytest.approx([19.249, 18.938, 18.699, 18.497, 18.320, 18.160], abs=6e-4)
    # Equal areas: a V of 60 degrees has the area D^2 tan 30.
    areas = [(b * b - a * a) * tan(pi / 6) for a, b in pairwise((0.0, *(got or ())))]
    assert areas == pytest.approx([areas[0]] * 6, rel=2e-4)


@pytest.mark.parametrize(("first", "count"), [(0.25, 14), (0.30, 10), (0.35, 7)])
def test_number_of_passes_from_the_first_depth(first: float, count: int) -> None:
    """ceil((h / a1)^2) for h 0.9202: 13.55, 9.41, 6.91."""
    assert len(pass_depths(0.9202, first, 0.0, 0.0, 1) or ()) == count


def test_least_depth_and_finish_allowance() -> None:
    """k 1, d1 0.5, dmin 0.2, d 0.1: 0.5, 0.7071, then steps of 0.2 give 0.9071, cut off at 0.9;
    then two finish passes at 1."""
    got = pass_depths(1.0, 0.5, 0.2, 0.1, 2)
    assert got == pytest.approx([0.5, sqrt(0.5), 0.9, 1.0, 1.0])


def test_without_an_allowance_the_pass_that_reaches_the_depth_is_the_first_finish_pass() -> None:
    assert pass_depths(1.0, 0.6, 0.0, 0.0, 3) == pytest.approx([0.6, 0.6 * sqrt(2), 1, 1, 1])


def test_a_first_depth_beyond_the_thread_is_one_pass() -> None:
    assert pass_depths(0.5, 2.0, 0.0, 0.0, 1) == (0.5,)


def test_passes_are_bounded() -> None:
    assert pass_depths(1.0, 0.001, 0.0, 0.0, 1) is None
    assert len(pass_depths(1.0, 0.001, 1.0 / MOST_STEPS, 0.0, 1) or ()) <= MOST_STEPS


@pytest.mark.parametrize(("pitch", "on_diameter"), [(1.5, 0.236), (2.0, 0.280)])
def test_slack_is_half_the_tolerance_of_a_major_diameter(pitch: float, on_diameter: float) -> None:
    """ISO 965-1, grade 6: 236 and 280 micrometres, rounded to a series of steps of 4 per cent."""
    assert crest_slack(pitch) == pytest.approx(on_diameter / 2, rel=0.04)


@pytest.mark.parametrize(("turns", "tolerance"), [(16, 0.00945), (8, 0.0150)])
def test_slack_of_unified_threads_is_half_their_tolerance_too(turns: int, tolerance: float) -> None:
    """ASME B1.1, class 2A: 0.06 P^(2/3) in for the major diameter of 3/4-16 and 1-8."""
    assert crest_slack(25.4 / turns) / 25.4 == pytest.approx(tolerance / 2, rel=0.02)


@pytest.mark.parametrize(("pitch", "slack"), [(1.0, 0.088425), (8.0, 0.359443)])
def test_slack_follows_the_formula_of_the_standard(pitch: float, slack: float) -> None:
    """ISO 965-1, grade 6, in micrometres: 180 - 3.15 = 176.85 for P 1, and for P 8
    180 x 4 - 3.15 / 2.828427 = 718.8863; half of each."""
    assert crest_slack(pitch) == pytest.approx(slack, abs=5e-7)


def test_outside_towards_the_chuck() -> None:
    readings, faults = thread_cycle(S, M20, STATED)
    assert faults == ()
    expected = []
    for tip in (9.54, 9.3495, 9.2033, 9.08):
        expected += [("R", 5, tip), ("F", -20, tip), ("R", -20, 12), ("R", 5, 12)]
    assert rounded(readings) == expected


def test_inside_from_within() -> None:
    """Bore r 9.08, root at r 10: S at r 8; the tip goes out from 9.08."""
    inside = replace(M20, end=(-20, 10.0))
    readings, _ = thread_cycle((5, 8), inside, STATED)
    assert [way for way in rounded(readings) if way[0] == "F"] == [
        ("F", -20, 9.54), ("F", -20, 9.7305), ("F", -20, 9.8767), ("F", -20, 10),
    ]  # fmt: skip


def test_away_from_the_chuck() -> None:
    """A left-hand thread with the spindle forward runs from an undercut out to the face."""
    readings, _ = thread_cycle((-22, 12), replace(M20, end=(3, 9.08)), STATED)
    assert rounded(readings)[:4] == [("R", -22, 9.54), ("F", 3, 9.54), ("R", 3, 12), ("R", -22, 12)]


def test_taper_rising_towards_the_chuck() -> None:
    """Outside, r_start - r_end = -0.5: the pass begins at r 9.04 for an end at 9.54."""
    readings, _ = thread_cycle(S, replace(M20, taper=-0.5), STATED)
    assert rounded(readings)[:4] == [("R", 5, 9.04), ("F", -20, 9.54), ("R", -20, 12), ("R", 5, 12)]


def test_flank_infeed_goes_round_every_place_of_the_pass() -> None:
    """k tan 30 = 0.92 x 0.57735 = 0.5312: from Z5.5312 down, along to Z4.4688, on to Z-20.5312."""
    readings, _ = thread_cycle(S, replace(M20, angle=radians(60)), STATED)
    assert rounded(readings)[:6] == [
        ("R", 5.5312, 12), ("R", 5.5312, 9.54), ("R", 4.4688, 9.54), ("F", -20.5312, 9.54),
        ("R", -20.5312, 12), ("R", 5, 12),
    ]  # fmt: skip


def test_flank_infeed_of_a_falling_taper_runs_along_the_deepest_line() -> None:
    """Outside, falling by 0.5 towards the chuck: of all lines shifted along Z the one shifted away
    from the chuck is the deepest; the end is then taken on to where the furthest ends."""
    readings, _ = thread_cycle(S, replace(M20, taper=0.5, angle=radians(60)), STATED)
    assert rounded(readings)[:7] == [
        ("R", 4.4688, 12), ("R", 4.4688, 10.04), ("R", 5.5312, 10.04), ("F", -19.4688, 9.54),
        ("F", -20.5312, 9.54), ("R", -20.5312, 12), ("R", 5, 12),
    ]  # fmt: skip


def test_a_thread_pass_cuts_nothing_and_runs_at_its_lead() -> None:
    readings, _ = thread_cycle(S, M20, STATED)
    for step in only(readings).steps:
        if step.kind == Kind.FEED:
            assert (step.credited, step.feed, step.feed_mode) == (False, 1.5, FeedMode.PER_REV)
        else:
            assert step.crest == 0 and step.feed is None
    crests = [step.crest for step in only(readings).steps if step.crest]
    below = [crest - crest_slack(1.5) for crest in crests]
    assert below == pytest.approx([0.46, 0.6505, 0.7967, 0.92], abs=1e-4)


def test_g92_pass_with_taper() -> None:
    readings, faults = thread_pass(S, -20, 9.5, -0.5, 1.5, STATED)
    assert faults == ()
    assert rounded(readings) == [("R", 5, 9), ("F", -20, 9.5), ("R", -20, 12), ("R", 5, 12)]
    step = only(readings).steps[1]
    assert (step.credited, step.crest, step.feed) == (False, 1.5, 1.5)


@pytest.mark.parametrize(
    ("start", "change", "code"),
    [
        (S, {"depth": 0.0}, "cycle-depth-unknown"),
        (S, {"first_depth": 0.0}, "cycle-depth-unknown"),
        (S, {"lead": 0.0}, "thread-lead-missing"),
        ((-20.0, 12.0), {}, "profile-stands-still"),
        ((5.0, 9.08), {}, "cannot-follow"),
        ((5.0, 10.0), {}, "cannot-follow"),
        ((5.0, 10.3), {"taper": 0.5}, "cannot-follow"),
        (S, {"finish_allowance": 0.92}, "cannot-follow"),
        (S, {"least_depth": -0.1}, "cannot-follow"),
        (S, {"first_depth": 0.001}, "cannot-follow"),
    ],
)
def test_calls_that_cannot_be_followed(
    start: tuple[float, float], change: dict[str, float], code: str
) -> None:
    readings, (fault,) = thread_cycle(start, replace(M20, **change), STATED)
    assert (fault.code, fault.unproven) == (code, True)
    assert only(readings).steps == ()


def test_just_outside_the_crest_is_followed() -> None:
    assert thread_cycle((5.0, 10.01), M20, STATED)[1] == ()


def test_g92_without_a_lead_is_unproven() -> None:
    _, (fault,) = thread_pass(S, -20, 9.5, 0.0, 0.0, STATED)
    assert (fault.code, fault.unproven) == ("thread-lead-missing", True)
