"""Patterns, pecking with an axis left out, drilling: moves worked by hand; places are (z, r)."""

from __future__ import annotations

import pytest
from hand_jobs import CONTROL, DRILL, ends_of, hand_job
from judge.cycles import ProfileBlock, pattern
from judge.motion import Leg
from judge.pecks import drilling, peck
from judge.replay import judge

X, Z = frozenset("X"), frozenset("Z")
STEP = [
    ProfileBlock(True, ((2.0, 10.0),), X),
    ProfileBlock(False, ((-10.0, 10.0),), Z),
    ProfileBlock(False, ((-10.0, 16.0),), X),
]
HOME = {"home_after_cycle": "direct"}


def places(legs: list[Leg]) -> list[tuple[str, float, float]]:
    return [("R" if g.rapid else "F", round(g.end[0], 3), round(g.end[1], 3)) for g in legs]


def test_three_passes_of_a_pattern() -> None:
    # i 4, k 2, u/2 0.5, w 0.1: displaced by (2.1, 4.5), (1.1, 2.5), (0.1, 0.5).
    legs = pattern((2.0, 16.0), STEP, (0.1, 0.5), (2.0, 4.0), 3, HOME)
    assert places(legs) == [
        ("R", 4.1, 20.5), ("R", 4.1, 14.5), ("F", -7.9, 14.5), ("F", -7.9, 20.5),
        ("R", 3.1, 18.5), ("R", 3.1, 12.5), ("F", -8.9, 12.5), ("F", -8.9, 18.5),
        ("R", 2.1, 16.5), ("R", 2.1, 10.5), ("F", -9.9, 10.5), ("F", -9.9, 16.5),
        ("R", 2, 16),
    ]  # fmt: skip


@pytest.mark.parametrize(("rule", "z"), [("shifted", 4.1), ("unshifted", 2.1)])
def test_one_pass_of_a_pattern(rule: str, z: float) -> None:
    legs = pattern((2.0, 16.0), STEP, (0.1, 0.5), (2.0, 4.0), 1, HOME | {"pattern_one_pass": rule})
    assert legs[0].end[0] == pytest.approx(z)


def test_words_of_a_pattern() -> None:
    program = (
        "G00 X32. Z2.\nG73 U4. W2. R2\nG73 P10 Q20 U1. W0.1 F0.2\nN10 G00 X20.\nG01 Z-10.\n"
        "N20 X32.\nG00 Z9."
    )
    assert ends_of(program)[1:6] == [
        ("R", 4.1, 20.5), ("R", 4.1, 14.5), ("F", -7.9, 14.5), ("F", -7.9, 20.5),
        ("R", 2.1, 16.5),
    ]  # fmt: skip


def test_one_block_of_rough_turning_with_its_depth() -> None:
    profile = "N10 G00 X24.\nG01 Z-5.\nN20 X32."
    rows = ", roughing_withdrawal = 1.0"
    one = "G00 X32. Z2.\nG71 P10 Q20 U0. W0. D2. F0.2\n" + profile
    two = "G00 X32. Z2.\nG71 U2. R1.\nG71 P10 Q20 U0. W0. F0.2\n" + profile
    assert ends_of(one, control=CONTROL + rows) == ends_of(two)
    # D without a point counts least increments.
    assert ends_of(one.replace("D2.", "D2000"), control=CONTROL + rows) == ends_of(two)


def test_pecking_without_z_is_a_row_of_rapids() -> None:
    # G74 with X and P alone: steps at the start's own Z.
    legs = peck((2.0, 5.0), (2.0, 8.0), 0.0, 2.0, 0.5, 0.0, False)
    assert [p for p in places(legs) if p[1:] != (2, 5)] == [
        ("R", 2, 7), ("F", 2, 7), ("R", 2, 7), ("R", 2, 8), ("F", 2, 8), ("R", 2, 8),
    ]  # fmt: skip


@pytest.mark.parametrize(("row", "first"), [("radial", 20.0), ("diameter", 21.0)])
def test_what_p_of_a_pecking_cycle_counts(row: str, first: float) -> None:
    program = "G00 X44. Z-20.\nG75 R1.\nG75 X32. P2000 F0.1"
    control = CONTROL + f', pecking_x = "{row}"'
    assert ends_of(program, control=control)[1] == ("F", -20, first)


def test_an_open_peck_is_tried_either_way() -> None:
    # Both stay above the bar; either way decides, so the open row does not matter.
    program = "G00 X60. Z-20.\nG75 R1.\nG75 X44. P2000 F0.1"
    assert judge(hand_job(program)).word == "clear"


@pytest.mark.parametrize(("row", "ready"), [("incremental", 3.0), ("absolute", -2.0)])
def test_r_of_drilling(row: str, ready: float) -> None:
    legs = drilling("G83", (5.0, 0.0), 0.0, -10.0, -2.0, 0.0, None,
                    {"drilling_r": row, "drilling_return": "initial"}, 0.0)  # fmt: skip
    assert places(legs) == [("R", 5, 0), ("R", ready, 0), ("F", -10, 0), ("R", 5, 0)]


def test_an_absolute_r_counts_from_the_shifted_zero() -> None:
    """G52 Z5.3 in force: R-2.38 is the place 2.92."""
    rows = {"drilling_r": "absolute", "drilling_return": "initial"}
    legs = drilling("G83", (3.84, 0.0), 0.0, -23.2, -2.38, 0.0, None, rows, 0.0, 5.3)
    assert legs[1].end == pytest.approx((2.92, 0.0))


def test_pecks_of_drilling_come_back_to_the_r_level() -> None:
    rows = {"drilling_r": "incremental", "drilling_return": "r-level"}
    legs = drilling("G83", (5.0, 0.0), 0.0, -5.0, -2.0, 5.0, None, rows, 0.5)
    assert places(legs) == [
        ("R", 5, 0), ("R", 3, 0),
        ("F", -2, 0), ("R", 3, 0), ("R", -1.5, 0),
        ("F", -5, 0), ("R", 3, 0),
    ]  # fmt: skip


def test_a_hole_by_g83_is_open_for_a_rapid_into_it() -> None:
    rows = ', drilling_r = "incremental", drilling_return = "initial", pecking_return = 0.5'
    hole = "G00 X0. Z6.\nG83 Z-20. R-3. Q4000 F0.1\nG80\n"
    control = CONTROL + rows
    assert judge(hand_job(hole + "G00 Z-19.", tool=DRILL, control=control)).word == "clear"
    assert judge(hand_job(hole + "G00 Z-21.", tool=DRILL, control=control)).word == "contact"
