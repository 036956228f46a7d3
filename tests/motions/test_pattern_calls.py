"""Pattern calls and the forms of cycles that stand in one block, in whole programs."""

from __future__ import annotations

import pytest
from lathe_shop import BEGIN, codes, trace, traces, unproven_from, ways

PROFILE = "N10 G00 X40.\nG01 Z-20. F.1\nN20 X62.\n"
TWO_BLOCKS = "G71 U4. R1.\nG71 P10 Q20 U.4 W.1 F.3\n"
PATTERN = "G73 U3. W1. R3\nG73 P10 Q20 U.4 W.1 F.3\n"


def rows(text: str, **control: object) -> list[tuple[str, float, float]]:
    """(kind, z, r) of each motion after the way to the point of call; nothing may be unproven."""
    found = trace(BEGIN + text, control=control)
    assert not found.findings
    return [(kind, *end) for kind, _, end in ways(found.motions)[2:]]


def test_pattern_by_hand() -> None:
    """S (5, 30), u/2 0.2, w 0.1; passes shifted by (1, 3), (0.5, 1.5) and (0, 0)."""
    assert rows(PATTERN + PROFILE + "G00 Z50.\n") == [
        ("rapid", 6.1, 33.2), ("rapid", 6.1, 23.2), ("feed", -18.9, 23.2), ("feed", -18.9, 34.2),
        ("rapid", 5.6, 31.7), ("rapid", 5.6, 21.7), ("feed", -19.4, 21.7), ("feed", -19.4, 32.7),
        ("rapid", 5.1, 30.2), ("rapid", 5.1, 20.2), ("feed", -19.9, 20.2), ("feed", -19.9, 31.2),
        ("rapid", 5, 30),
        ("rapid", 50, 30),
    ]  # fmt: skip


def test_pattern_belongs_to_its_call_and_cuts_at_the_feed_of_the_call() -> None:
    found = trace(BEGIN + PATTERN + PROFILE)
    (call,) = found.calls
    assert (call.cycle, call.block) == ("G73", 5)
    cutting = (found.motions.call == 0) & (found.motions.kind == 1)
    assert set(found.motions.feed[cutting].tolist()) == {0.3}


def test_pattern_keeps_shift_and_count_for_a_later_call() -> None:
    once = rows(PATTERN + PROFILE)
    assert rows(PATTERN + PROFILE + "G73 P10 Q20 U.4 W.1 F.3\n") == once + once


def test_pattern_of_one_pass_is_proved_both_ways() -> None:
    found = trace(BEGIN + PATTERN.replace("R3", "R1") + PROFILE)
    assert found.calls[0].readings == (
        ("pattern_one_pass=shifted",),
        ("pattern_one_pass=unshifted",),
    )


def test_pattern_in_one_block_is_the_same_as_in_two() -> None:
    one = "G73 P10 Q20 I3. K1. D3 U.4 W.1 F.3\n"
    assert rows(one + PROFILE) == rows(PATTERN + PROFILE)


def test_roughing_in_one_block_is_the_same_as_in_two() -> None:
    for sign in ("", "-"):
        one = f"G71 P10 Q20 U.4 W.1 D{sign}4. F.3\n"
        assert rows(one + PROFILE, roughing_withdrawal=1.0) == rows(TWO_BLOCKS + PROFILE)


def test_depth_in_one_block_without_a_point_has_the_row_of_cycles() -> None:
    one = BEGIN + "G71 P10 Q20 U.4 W.1 D4000 F.3\n" + PROFILE
    found = traces(one, control={"roughing_withdrawal": 1.0, "cycle_number_without_point": None})
    assert [t.reading for t in found] == [
        ("cycle_number_without_point=increment",),
        ("cycle_number_without_point=unit",),
    ]


def test_facing_in_one_block() -> None:
    profile = "N10 G00 Z-2.\nG01 X40. F.1\nN20 Z6.\n"
    one = "G72 P10 Q20 U.4 W.1 D2. F.3\n"
    two = "G72 W2. R1.\nG72 P10 Q20 U.4 W.1 F.3\n"
    assert rows(one + profile, roughing_withdrawal=1.0) == rows(two + profile)


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("G74 X40. Z-5. I5. K4. D.5 F.1\n", "G74 X40. Z-5. P5. Q4. R.5 F.1\n"),
        ("G75 X50. Z1. I3. K2. F.1\n", "G75 X50. Z1. P3. Q2. F.1\n"),
        ("G75 X50. I3. F.1\n", "G75 X50. P3. F.1\n"),
        ("G74 Z-5. K4. F.1\n", "G74 Z-5. Q4. F.1\n"),
    ],
)
def test_pecking_in_one_block_is_the_same_as_in_two(one: str, two: str) -> None:
    assert rows(one, pecking_return=0.5) == rows(two, pecking_return=0.5)
    assert len(rows(one, pecking_return=0.5)) > 3


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("G73 P10 Q20 U.4\n" + PROFILE, "cycle-depth-unknown"),
        ("G73 U3. W1.\nG73 P10 Q20 U.4\n" + PROFILE, "cycle-depth-unknown"),
        ("G73 U3. R3\nG73 P10 Q20 U.4\n" + PROFILE, "cycle-depth-unknown"),
        ("G73 P10 Q20 I3. K1. U.4\n" + PROFILE, "cycle-depth-unknown"),
        (PATTERN.replace("R3", "R2.5") + PROFILE, "cannot-follow"),
        (PATTERN.replace("R3", "R0") + PROFILE, "cannot-follow"),
        (PATTERN.replace("Q20", "Q30") + PROFILE, "label-missing"),
        ("G71 D4.\nG71 P10 Q20\n" + PROFILE, "cannot-follow"),
        ("G71 U2. R1.\nG71 P10 Q20 D3.\n" + PROFILE, "cannot-follow"),
        ("G71 P10 Q20 D0\n" + PROFILE, "cycle-depth-unknown"),
        ("G71 P10 Q20 D4.\n" + PROFILE, "cycle-depth-unknown"),
        ("G74 R1.\nG74 X40. Z-5. P5. K4. F.1\n", "cannot-follow"),
    ],
)
def test_faults_of_a_call(text: str, code: str) -> None:
    found = trace(BEGIN + text + "G00 Z9.\n")
    assert code in codes(found)
    assert unproven_from(found) == 2


def test_depth_of_a_one_block_call_may_not_serve_a_later_one() -> None:
    text = "G71 P10 Q20 D4. U.4\n" + PROFILE + "G71 P10 Q20 U.2\n"
    found = trace(BEGIN + text, control={"roughing_withdrawal": 1.0})
    assert codes(found) == ["cycle-depth-unknown"]
