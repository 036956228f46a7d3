"""The judge's threads: legs worked by hand, and which metal an insert may stand in."""

from __future__ import annotations

import math

import pytest
from hand_jobs import CONTROL, ends_of, hand_job
from judge.motion import Leg, Undecided
from judge.replay import judge
from judge.threads import Threading, depths, thread_pass, threading

PLAIN = Threading(finish_passes=2, angle=0.0, least=0.1, allowance=0.05)
INSERT = (
    "outline = { points = [[0, 0], [1.5, 2.6], [12, 2.6], [12, 60], [-1.5, 60], [-1.5, 2.6]], "
    "cutting = [0, 5] }"
)
"""A 60 degree tooth of 2.6, its holder above it and to the right."""


def places(legs: list[Leg]) -> list[tuple[str, float, float]]:
    return [("R" if g.rapid else "F", round(g.end[0], 3), round(g.end[1], 3)) for g in legs]


def test_depths_go_with_the_root_of_the_pass() -> None:
    # k 1, d1 0.4: 0.4, 0.4 sqrt 2 = 0.566, 0.693, 0.8, 0.894, then 0.95 = k - d (0.994 would
    # lie past the step of 0.1), then twice the whole height.
    found = [round(d, 3) for d in depths(1.0, 0.4, PLAIN)]
    assert found == [0.4, 0.566, 0.693, 0.8, 0.9, 0.95, 1.0, 1.0]


def test_the_least_step_wins_where_the_root_asks_for_less() -> None:
    found = depths(1.0, 0.4, Threading(1, 0.0, 0.3, 0.0))
    assert [round(d, 3) for d in found] == [0.4, 0.7, 1.0, 1.0]


def test_a_threading_cycle_outside() -> None:
    # S (5, 12), X 18: root at 9, k 1: crest at 10. One roughing pass of 0.95, one of 1.
    legs = threading((5.0, 12.0), (-20.0, 9.0), 0.0, 1.0, 0.95, Threading(1, 0.0, 0.0, 0.05))
    assert places(legs) == [
        ("R", 5, 12), ("R", 5, 9.05), ("F", -20, 9.05), ("R", -20, 12), ("R", 5, 12),
        ("R", 5, 12), ("R", 5, 9), ("F", -20, 9), ("R", -20, 12), ("R", 5, 12),
    ]  # fmt: skip
    crest = legs[2].thread
    assert crest is not None
    assert (crest.outward, crest.r, crest.slope) == (1, 10, 0)


def test_a_threading_cycle_inside() -> None:
    legs = threading((5.0, 9.0), (-20.0, 11.0), 0.0, 1.0, 1.0, Threading(1, 0.0, 0.0, 0.0))
    # Root at 11, crest at 10: inwards of the root.
    assert [p[2] for p in places(legs) if p[0] == "F"] == [11, 11]
    assert legs[2].thread is not None and legs[2].thread.outward == -1
    assert legs[2].thread.r == 10


def test_a_taper_thread_starts_lower_by_its_r() -> None:
    # R = start - end = -1 over 25: one in 25 outwards to the chuck.
    legs = threading((5.0, 12.0), (-20.0, 9.0), -1.0, 1.0, 1.0, Threading(1, 0.0, 0.0, 0.0))
    assert places(legs)[1:3] == [("R", 5, 8), ("F", -20, 9)]
    assert legs[2].thread is not None and legs[2].thread.slope == pytest.approx(-0.04)


def test_infeed_along_the_flank_moves_the_pass_either_way() -> None:
    legs = threading((5.0, 12.0), (-20.0, 9.0), 0.0, 1.0, 1.0, Threading(1, 60.0, 0.0, 0.0))
    aside = math.tan(math.radians(30))  # of k = 1
    ends = sorted({round(g.end[0], 3) for g in legs if not g.rapid})
    assert ends == [round(-20 - aside, 3), round(-20 + aside, 3)]


def test_start_inside_the_crest_is_not_decided() -> None:
    with pytest.raises(Undecided):
        threading((5.0, 9.5), (-20.0, 9.0), 0.0, 1.0, 1.0, PLAIN)


def test_one_pass_of_the_single_pass_cycle() -> None:
    assert places(thread_pass((5.0, 12.0), (-20.0, 9.0), -1.0)) == [
        ("R", 5, 8), ("F", -20, 9), ("R", -20, 12), ("R", 5, 12),
    ]  # fmt: skip


def test_words_of_the_threading_cycle() -> None:
    # P010000: one finish pass, angle 0; P and Q of the second block in least increments.
    program = "G00 X24. Z5.\nG76 P010000 Q0 R0.\nG76 X18. Z-20. R0. P1000 Q1000 F1.5\nG00 X50."
    forward = [p for p in ends_of(program) if p[0] == "F"]
    assert forward == [("F", -20, 9), ("F", -20, 9)]


def test_what_the_program_never_sets_comes_from_the_job() -> None:
    rows = ", threading_finish_passes = 3, threading_angle = 0, threading_least_depth = 0.0, "
    rows += "threading_finish_allowance = 0.0"
    program = "G00 X24. Z5.\nG76 X18. Z-20. P1000 Q1000 F1.5"
    assert [p[0] for p in ends_of(program, control=CONTROL + rows)].count("F") == 4
    assert judge(hand_job(program)).word == "undecided"


def test_repeats_of_the_single_pass_cycle_and_multiple_starts() -> None:
    # The second start lies a pitch in front of the first.
    program = "G00 X44. Z5.\nG92 X39. Z-20. F3.\nX38.4\nG00 Z6.5\nG92 X39. Z-20. F3."
    assert ends_of(program)[1:] == [
        ("R", 5, 19.5), ("F", -20, 19.5), ("R", -20, 22), ("R", 5, 22),
        ("R", 5, 19.2), ("F", -20, 19.2), ("R", -20, 22), ("R", 5, 22),
        ("R", 6.5, 22),
        ("R", 6.5, 19.5), ("F", -20, 19.5), ("R", -20, 22), ("R", 6.5, 22),
    ]  # fmt: skip


def word(program: str, **given: object) -> str:
    answer = judge(hand_job(program, tool=INSERT, **given))  # type: ignore[arg-type]
    assert answer.word != "undecided", answer.reason
    return answer.word


SINGLE = "G00 X48. Z{start}\nG92 X38. Z{end} F2."


def test_a_thread_in_a_bar_is_clear() -> None:
    assert word(SINGLE.format(start=6.0, end=-20.0)) == "clear"


def test_run_in_too_short_strikes() -> None:
    # The face is at Z1, half the insert 1.5 at its holder's height, 0.6 at 1 deep: at Z1.2 the
    # infeed meets the edge of the bar.
    assert word(SINGLE.format(start=1.2, end=-20.0)) == "contact"


def test_threading_with_the_spindle_stopped_strikes() -> None:
    assert word("M05\n" + SINGLE.format(start=6.0, end=-20.0)) == "contact"


def test_a_threads_metal_stays_for_every_other_motion() -> None:
    # After the thread, a rapid between crest and root strikes where nothing else was cut.
    assert word(SINGLE.format(start=6.0, end=-20.0) + "\nG00 X38.4\nG00 Z-5.") == "contact"
    assert word(SINGLE.format(start=6.0, end=-20.0) + "\nG00 X41.\nG00 Z-5.") == "clear"


def test_withdrawal_after_single_passes_may_be_in_the_thread_once() -> None:
    program = "G00 X48. Z6.\nG00 X38.\nG32 Z-20. F2.\nG00 X{out}\nG00 Z{back}"
    assert word(program.format(out=48.0, back=6.0)) == "clear"
    # Only the first motion after the pass: one that stays in the metal and one more.
    assert word(program.format(out=39.0, back=6.0)) == "contact"


@pytest.mark.parametrize("back", ["G00 Z6.", "G00 X48. Z6."])
def test_going_back_along_the_thread_is_no_withdrawal(back: str) -> None:
    assert word(f"G00 X48. Z6.\nG00 X38.\nG32 Z-20. F2.\n{back}\nG00 X48.") == "contact"


def test_holder_above_the_tooth_meets_a_thread_deeper_than_it() -> None:
    assert word("G00 X48. Z6.\nG92 X33. Z-20. F2.") == "contact"  # 3.5 under the bar, tooth 2.6


def test_metal_outside_the_crest_strikes_the_insert() -> None:
    # Crest at r 19 under a bar of r 20; at the crest itself only the thread's own metal is met.
    program = "G00 X48. Z6.\nG76 P010000 Q0 R0.\nG76 X{x} Z-20. P1000 Q500 F2."
    assert word(program.format(x=36.0)) == "contact"
    assert word(program.format(x=39.0)) == "clear"
