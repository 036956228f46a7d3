"""Threads in whole programs: forms of the calls, what they keep, leads."""

from __future__ import annotations

import numpy as np
import pytest
from lathe_shop import BEGIN, codes, trace, unproven_from, ways

S = (5.0, 30.0)
UNITS = {"cycle_number_without_point": "increment"}
VALUES = {
    "threading_angle": 0.0,
    "threading_least_depth": 0.0,
    "threading_finish_allowance": 0.0,
    "threading_finish_passes": 1,
}


def feeds(text: str, **job: object) -> list[tuple[float, float]]:
    """Where the feeds of a program end."""
    motions = trace(BEGIN + text, **job).motions  # type: ignore[arg-type]
    return [(float(z), float(r)) for z, r in np.round(motions.end[motions.kind == 1], 4)]


def test_g92_and_its_repeats_start_from_the_same_place() -> None:
    found = trace(BEGIN + "G92 X19.2 Z-20. F1.5\nX18.16\nG00 Z50.\n")
    assert not found.findings
    assert ways(found.motions)[2:] == [
        ("rapid", S, (5.0, 9.6)),
        ("feed", (5.0, 9.6), (-20.0, 9.6)),
        ("rapid", (-20.0, 9.6), (-20.0, 30.0)),
        ("rapid", (-20.0, 30.0), S),
        ("rapid", S, (5.0, 9.08)),
        ("feed", (5.0, 9.08), (-20.0, 9.08)),
        ("rapid", (-20.0, 9.08), (-20.0, 30.0)),
        ("rapid", (-20.0, 30.0), S),
        ("rapid", S, (50.0, 30.0)),
    ]
    thread = found.motions.crest > 0
    assert found.motions.crest[thread].tolist() == [1.5, 1.5]
    assert found.motions.feed[thread].tolist() == [1.5, 1.5]
    assert not found.motions.credited[thread].any()
    assert [call.cycle for call in found.calls] == ["G92", "G92"]


def test_g92_keeps_its_taper_and_takes_increments_from_the_start() -> None:
    """U-41. from X60. is X19.; R-.5 begins the pass 0.5 lower."""
    assert ways(trace(BEGIN + "G92 U-41. W-25. R-.5 F1.5\nU-41.4\n").motions)[2:7] == [
        ("rapid", S, (5.0, 9.0)),
        ("feed", (5.0, 9.0), (-20.0, 9.5)),
        ("rapid", (-20.0, 9.5), (-20.0, 30.0)),
        ("rapid", (-20.0, 30.0), S),
        ("rapid", S, (5.0, 8.8)),
    ]


def test_angle_of_start_moves_nothing() -> None:
    found = trace(BEGIN + "G92 X19.2 Z-20. F3. Q0\nG92 X19.2 Z-20. F3. Q180000\n")
    assert not found.findings
    one, two = found.motions.end[2:6], found.motions.end[6:10]
    assert (one == two).all()


def test_two_block_form() -> None:
    """m 2, r 10, a 0; dmin 0.1, d 0.1; k 1, d1 0.6: 0.6, 0.8485, 0.9 (k - d), then 1 twice.
    Root at r 9, so tips at 10 - D."""
    text = "G76 P021000 Q100 R.1\nG76 X18. Z-20. P1000 Q600 F1.5\n"
    assert feeds(text) == [(-20, 9.4), (-20, 9.1515), (-20, 9.1), (-20, 9), (-20, 9)]


def test_what_the_first_block_sets_stays_for_later_calls() -> None:
    first = "G76 P011000 Q600 R0\n"
    call = "G76 X18. Z-20. P1000 Q600 F1.5\n"
    assert feeds(first + call + call) == [(-20, 9.4), (-20, 9)] * 2
    # P alone changes passes and angle; least depth and allowance stay.
    assert feeds(first + call + "G76 P031000\n" + call)[2:] == [(-20, 9.4), *[(-20, 9)] * 3]


def test_the_job_states_what_the_program_never_sets() -> None:
    call = "G76 X18. Z-20. P1000 Q600 F1.5\n"
    control = {**VALUES, "threading_least_depth": 0.4, "threading_finish_passes": 2}
    assert feeds(call, control=control) == [(-20, 9.4), (-20, 9), (-20, 9)]
    for key in ("threading_angle", "threading_least_depth", "threading_finish_allowance"):
        found = trace(BEGIN + call, control={**control, key: None})
        unknown = [f for f in found.findings if f.code == "cycle-depth-unknown"]
        assert len(unknown) == 1 and unknown[0].unproven and key in unknown[0].message


def test_one_block_form() -> None:
    """K 1, D 0.6: 0.6, 0.8485, 1; I as R of the two-block form; P is the manner of infeed."""
    text = "G76 X18. Z-20. I-.5 K1. D600 F1.5 A0 P1\n"
    found = trace(BEGIN + text, control={**VALUES, "threading_angle": 60.0})
    assert ways(found.motions)[2:5] == [
        ("rapid", S, (5.0, 8.9)),
        ("feed", (5.0, 8.9), (-20.0, 9.4)),
        ("rapid", (-20.0, 9.4), (-20.0, 30.0)),
    ]
    assert unproven_from(found) is None


@pytest.mark.parametrize(
    "words", ["X18. Z-20. P1000 Q600 I-.5 F1.5", "X18. Z-20. K1. D600 R-.5 F1.5"]
)
def test_words_of_both_forms_are_unproven(words: str) -> None:
    found = trace(BEGIN + f"G76 {words}\n", control=VALUES)
    assert "cannot-follow" in codes(found) and unproven_from(found) == 2


def test_p_with_a_point_is_no_row_of_digits() -> None:
    assert "cannot-follow" in codes(trace(BEGIN + "G76 P1.5 Q100 R.1\n"))


def test_passes_word_by_word() -> None:
    """G32 lasts; a taper and a pull-out are lines of their own."""
    text = "G00 X18.\nG32 Z-20. F1.5\nX20. Z-21.\nG00 X60.\n"
    found = trace(BEGIN + text)
    assert not found.findings
    assert ways(found.motions)[3:] == [
        ("feed", (5.0, 9.0), (-20.0, 9.0)),
        ("feed", (-20.0, 9.0), (-21.0, 10.0)),
        ("rapid", (-21.0, 10.0), (-21.0, 30.0)),
    ]
    assert found.motions.crest.tolist()[3:] == [1.5, 1.5, 0]
    assert found.motions.credited.tolist()[3:] == [False, False, True]


def test_the_lead_is_per_turn_whatever_the_feed_mode() -> None:
    motions = trace(BEGIN + "G98\nG00 X18.\nG32 Z-20. F1.5\n").motions
    assert (motions.feed[-1], motions.feed_mode[-1]) == (1.5, 0)


def test_changing_lead() -> None:
    """K 0.1 over 25 mm from a lead of 2: the last lead is sqrt(4 + 2 x 0.1 x 25) = 3."""
    grows = trace(BEGIN + "G00 X18.\nG34 Z-20. F2. K.1\n")
    assert grows.motions.feed[-1] == pytest.approx(3.0) and codes(grows) == []
    # sqrt(4 - 2 x 0.07 x 25) = 0.707 is left at the end; the largest lead is the first.
    falls = trace(BEGIN + "G00 X18.\nG34 Z-20. F2. K-.07\n")
    assert falls.motions.feed[-1] == pytest.approx(2.0) and codes(falls) == []
    # sqrt(4 - 2 x 0.08 x 25) is nothing, and of 4 - 5 there is no root: the thread never ends.
    for change in ("K-.08", "K-.1"):
        found = trace(BEGIN + f"G00 X18.\nG34 Z-20. F2. {change}\n")
        assert codes(found) == ["cannot-follow"]


def test_in_the_other_families_of_words() -> None:
    here = {"control": {"cycle_words": "cycles-g77"}}
    text = "G90 G00 X18.\nG33 Z-20. F1.5\nG00 X60.\nG00 Z5.\nG78 X18. Z-20. F1.5\n"
    found = trace(BEGIN + text, **here)
    assert (found.motions.crest > 0).sum() == 2 and not found.findings
    found = trace(BEGIN + "G90\nG21 X18. Z-20. F1.5\n", control={"cycle_words": "cycles-g20"})
    assert (found.motions.crest > 0).sum() == 1


def test_a_lead_left_from_a_feed_is_told() -> None:
    turned = "G01 X50. F.2\nG00 X60.\n"
    found = trace(BEGIN + turned + "G92 X18. Z-20.\n")
    assert codes(found) == ["thread-lead-missing"] and unproven_from(found) is None
    assert codes(trace(BEGIN + turned + "G92 X18. Z-20. F1.5\nX17.9\n")) == []


def test_no_lead_at_all_is_unproven() -> None:
    for text in ("G92 X18. Z-20.\n", "G00 X18.\nG32 Z-20.\n"):
        found = trace(BEGIN + "F0\n" + text)
        assert codes(found) == ["thread-lead-missing"] and unproven_from(found) is not None


def test_surface_speed_in_a_thread_is_told_once() -> None:
    text = "G50 S2000\nG96 S100\nG92 X18. Z-20. F1.5\nX17.9\n"
    assert codes(trace(BEGIN + text)).count("thread-with-surface-speed") == 1
    back = "G50 S2000\nG96 S100\nG97 S500\nG92 X18. Z-20. F1.5\n"
    assert "thread-with-surface-speed" not in codes(trace(BEGIN + back))


@pytest.mark.parametrize(
    ("depth", "odd"), [(920, False), (812, False), (1400, True), (1290, False), (600, True)]
)
def test_depth_against_lead(depth: int, odd: bool) -> None:
    """P 1.5: outside 0.920, inside 0.812 (ISO 68-1); the sharp V is 1.299 deep."""
    text = f"G76 X18. Z-20. P{depth} Q600 F1.5\n"
    assert ("thread-depth-odd" in codes(trace(BEGIN + text, control=VALUES))) is odd


def test_a_deep_thread_is_told_beside_the_sharp_v_of_its_lead() -> None:
    """The sharp V of 60 degrees at a lead of 1.5: 1.5 x cos 30 = 1.299 (ISO 68-1)."""
    found = trace(BEGIN + "G76 X18. Z-20. P1400 Q600 F1.5\n", control=VALUES)
    (deep,) = (f for f in found.findings if f.code == "thread-depth-odd")
    told = {measure.name: measure.value for measure in deep.measures}
    assert told == pytest.approx({"depth": 1.4, "lead": 1.5, "sharp": 1.299038}, abs=1e-6)


@pytest.mark.parametrize(
    ("major", "turns", "root", "depth"), [(0.75, 16, 0.6733, 383), (1.0, 8, 0.8466, 767)]
)
def test_unified_threads_in_inch(major: float, turns: int, root: float, depth: int) -> None:
    """3/4-16 and 1-8 (ASME B1.1) to the root of 17/24 H: d3 and h3 to the ten thousandth. P counts
    0.0001 in; the crest comes out at the major diameter."""
    text = f"G00 X2. Z.5\nG76 P010060 Q0020 R0\nG76 X{root} Z-1. P{depth} Q100 F{1 / turns}\n"
    head = BEGIN.replace("G21", "G20").replace("X60. Z5.", "X3. Z1.")
    found = trace(head + text)
    thread = found.motions.crest > 0
    assert found.motions.feed[thread] == pytest.approx(25.4 / turns)
    tips = found.motions.end[thread, 1] / 25.4
    assert tips[-1] * 2 == pytest.approx(root)
    first = (major - 2 * tips[0]) / 2
    assert first == pytest.approx(0.01, abs=2e-4)
    assert "thread-depth-odd" not in codes(found)
