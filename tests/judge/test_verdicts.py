"""Jobs whose verdict is plain by hand sums: bar of 40 by 60, raw face at Z1, jaws up to Z-44."""

from __future__ import annotations

import pytest
from hand_jobs import BORING, CONTROL, DRILL, GROOVING, SHORT_EDGE, hand_job
from judge.replay import Verdict, judge

FACE = "G00 X44. Z0.\nG01 X-1. F0.2\nG00 Z3.\nG00 X44.\n"


def word(program: str, **given: object) -> str:
    """The judge's word on a hand-made job."""
    answer: Verdict = judge(hand_job(program, **given))  # type: ignore[arg-type]
    assert answer.word != "undecided", answer.reason
    return answer.word


def test_rapid_one_millimetre_into_the_face_is_contact() -> None:
    assert word("G00 X30. Z5.\nG00 Z0.") == "contact"


def test_rapid_that_stops_one_millimetre_short_of_the_face_is_clear() -> None:
    assert word("G00 X30. Z5.\nG00 Z2.") == "clear"


def test_rapid_within_a_tenth_of_the_face_is_doubtful() -> None:
    assert word("G00 X30. Z5.\nG00 Z1.05") == "doubtful"


def test_the_strike_is_named_by_set_up_and_line() -> None:
    hit = judge(hand_job("G00 X30. Z5.\nG00 Z0.")).hit
    assert hit is not None
    assert (hit.setup, hit.line, hit.rapid, hit.against) == ("one", 5, True, "metal")


def test_feed_cuts_where_the_edge_leads() -> None:
    assert word(FACE + "G00 X36.\nG01 Z-30. F0.2\nG01 X44.") == "clear"


def test_feed_with_the_spindle_stopped_is_contact() -> None:
    assert word("G00 X36. Z5.\nM05\nG01 Z-10. F0.2") == "contact"


def test_feed_with_the_spindle_the_wrong_way_is_contact() -> None:
    assert word("G00 X36. Z5.\nM04\nG01 Z-10. F0.2") == "contact"


@pytest.mark.parametrize(("x", "expected"), [(37.0, "clear"), (30.0, "contact")])
def test_holder_above_a_two_millimetre_edge_strikes_beyond_that_depth(
    x: float, expected: str
) -> None:
    # Depth of cut is (40 - x) / 2: 1.5 mm under an edge of 2 mm, or 5 mm.
    assert word(f"{FACE}G00 X{x}\nG01 Z-20. F0.2", tool=SHORT_EDGE) == expected


def test_blade_may_follow_in_the_slot_its_edge_has_opened() -> None:
    assert word("G00 X44. Z5.\nG00 Z-20.\nG01 X28. F0.1\nG00 X44.", tool=GROOVING) == "clear"


def test_body_of_a_grooving_tool_strikes_beyond_its_reach() -> None:
    # Reach 10: the body meets the bar at X20.
    assert word("G00 X44. Z5.\nG00 Z-20.\nG01 X16. F0.1", tool=GROOVING) == "contact"


def test_rapid_sideways_at_the_bottom_of_a_groove_is_contact() -> None:
    program = "G00 X44. Z5.\nG00 Z-20.\nG01 X30. F0.1\nG00 Z-15."
    assert word(program, tool=GROOVING) == "contact"


def test_struck_metal_stays() -> None:
    # The rapid at X36 takes nothing away, so the line after it strikes too: the first is named.
    hit = judge(hand_job("G00 X36. Z5.\nG00 Z-5.\nG00 Z-6.")).hit
    assert hit is not None and hit.line == 5


BORE_TUBE = "shape = 'tube'\nbore = 20.0"


@pytest.mark.parametrize(("x", "expected"), [(24.0, "clear"), (5.0, "contact")])
def test_back_of_a_boring_bar_strikes_the_far_side(x: float, expected: str) -> None:
    # The bar's back lies 13.5 below the tip: at X24 at r -1.5, at X5 at r -11 in a bore of 10.
    program = f"G00 X{x} Z5.\nG01 Z-10. F0.2"
    assert word(program, tool=BORING, more=BORE_TUBE) == expected


def test_edge_below_the_axis_strikes_the_far_side() -> None:
    # Bar of 10, tip at r -2: the edge leans 0.7 back over 8, so the tip is ahead of the edge at
    # r 2 by 0.35, in metal that turns against it. On the axis nothing is ahead.
    assert word("G00 X-4. Z5.\nG01 Z-5. F0.2", size=10.0) == "contact"
    assert word("G00 X0. Z5.\nG01 Z-5. F0.2", size=10.0) == "clear"


@pytest.mark.parametrize(("x", "expected"), [(8.0, "clear"), (6.0, "contact")])
def test_rectangle_of_an_unknown_rapid_is_folded_at_the_axis(x: float, expected: str) -> None:
    # Back of the bar 13.5 below the tip: r -9.5 or -10.5 in a bore of 10.
    program = f"G00 X10. Z5.\nG00 X{x} Z-5."
    assert word(program, tool=BORING, more=BORE_TUBE, rapid="unknown") == expected


@pytest.mark.parametrize(
    ("rapid", "expected"), [("straight", "clear"), ("bent", "contact"), ("unknown", "contact")]
)
def test_way_of_a_slanted_rapid(rapid: str, expected: str) -> None:
    # From (Z6, r 15) to (Z-4, r 35). Straight it passes the face at Z1 at r 25. Bent, with X at
    # half the rate of Z, it has risen 2.5 to r 17.5 there, under the bar's 20.
    assert word("G00 X30. Z6.\nG00 X70. Z-4.", rapid=rapid) == expected


def test_rapid_along_one_axis_is_the_same_whatever_the_way() -> None:
    assert word("G00 X30. Z6.\nG00 X70.\nG00 Z-4.", rapid="unknown") == "clear"


def test_home_is_reached_by_the_whole_quadrant() -> None:
    # Inside a bore of 20 at Z-20: straight up and out at once is through the wall.
    program = "G00 X16. Z5.\nG00 Z-20.\nG28 U0 W0"
    thin = BORING.replace("-13.5", "-6.0")
    assert word(program, tool=thin, more=BORE_TUBE) == "contact"
    out = "G00 X16. Z5.\nG00 Z-20.\nG00 Z5.\nG28 U0 W0"
    assert word(out, tool=thin, more=BORE_TUBE) == "clear"


def test_facing_past_the_centre_is_clear() -> None:
    assert word(FACE) == "clear"


@pytest.mark.parametrize(("z", "expected"), [(-42.0, "clear"), (-45.0, "contact")])
def test_edge_against_the_jaws(z: float, expected: str) -> None:
    # Back of the bar at Z1 - 60 = Z-59, jaws reach 15 from it: Z-44.
    assert word(f"{FACE}G00 X36.\nG01 Z{z} F0.2") == expected


def test_drill_cuts_along_the_axis_only() -> None:
    program = "G00 X0. Z3.\nG01 Z-20. F0.1\nG00 Z3."
    assert word(program, tool=DRILL) == "clear"
    assert word("G00 X4. Z3.\nG01 Z-20. F0.1", tool=DRILL) == "contact"


def test_rapid_to_the_bottom_of_a_drilled_hole_and_beyond() -> None:
    drilled = "G00 X0. Z3.\nG01 Z-20. F0.1\nG00 Z3.\n"
    assert word(drilled + "G00 Z-19.", tool=DRILL) == "clear"
    assert word(drilled + "G00 Z-21.", tool=DRILL) == "contact"


@pytest.mark.parametrize(("length", "expected"), [(60.0, "clear"), (63.0, "contact")])
def test_second_end_on_a_stop_meets_a_longer_blank(length: float, expected: str) -> None:
    # Finished face on the stop, part 58: raw back at length - 1 - 58 = Z1, or Z4 with 63.
    second = "G00 X30. Z6.\nG00 Z2.5"
    assert word(FACE, second=second, length=length) == expected


@pytest.mark.parametrize(("z", "expected"), [(1.6, "clear"), (0.4, "contact")])
def test_raw_back_lies_where_the_sums_put_it(z: float, expected: str) -> None:
    # 60 - 1 - 58 = 1 mm in front of the second end's zero.
    assert word(FACE, second=f"G00 X30. Z6.\nG00 Z{z}") == expected


@pytest.mark.parametrize(("z", "expected"), [(-19.0, "clear"), (-22.0, "contact")])
def test_jaws_by_stick_out_at_the_second_end(z: float, expected: str) -> None:
    # The raw back at Z1 stands 22 out of the jaws: their front is at Z-21, up to r 32.
    second = f"G00 X50. Z6.\nG00 Z{z}"
    assert word(FACE, second=second, second_seat='on = "stick-out", stick_out = 22.0') == expected


@pytest.mark.parametrize(
    ("x", "stated", "expected"),
    [(62.0, 36.0, "contact"), (62.0, 40.0, "contact"), (66.0, 36.0, "clear"),
     (66.0, 44.0, "contact")],
)  # fmt: skip
def test_jaws_of_a_turned_part_close_on_the_metal_too(
    x: float, stated: float, expected: str
) -> None:
    # Nothing is turned off the bar of 40. Jaws 12 high reach to diameter 60 on 36, to 64 on the 40
    # that is there, to 68 on 44; their front is at 15 - 58 = Z-43.
    second = f"G00 X{x} Z6.\nG00 Z-46.\nX90."
    assert word(FACE, second=second, second_grip=stated) == expected


@pytest.mark.parametrize(("length", "expected"), [(60.0, "clear"), (63.0, "clear")])
def test_second_end_touched_at_a_nominal_allowance_does_not(length: float, expected: str) -> None:
    zero = 'way = "nominal", face_allowance = 1.0'
    second = "G00 X30. Z6.\nG00 Z2.5"
    assert word(FACE, second=second, length=length, second_zero=zero) == expected


def test_what_the_first_end_cut_is_gone_at_the_second() -> None:
    # First end: to X36 down to Z-40. At the second end that step ends at Z-58 + 40 = Z-18; the
    # tool, 20 wide, stands in it at Z-40 (jaws up to Z-43) and beside it at Z-15.
    first = f"{FACE}G00 X36.\nG01 Z-40. F0.2\nG01 X44.\nG00 Z5."
    low = "G00 X50. Z5.\nG00 Z{z}\nG00 X38."
    assert word(first, second=low.format(z=-40.0)) == "clear"
    assert word(first, second=low.format(z=-15.0)) == "contact"


@pytest.mark.parametrize(("tolerance", "expected"), [("0.0", "clear"), ("2.0", "contact")])
def test_the_largest_blank_counts(tolerance: str, expected: str) -> None:
    # Rapid along r 20.5 over a bar of 40 (20.0) or of 42 (21.0).
    more = f"size_tolerance = [0.0, {tolerance}]"
    assert word("G00 X50. Z5.\nG00 X41.\nG00 Z-10.", more=more) == expected


def test_hexagon_counts_by_its_corners() -> None:
    # Across flats 40: corners at 40 / sqrt(3) = 23.09.
    program = "G00 X60. Z5.\nG00 X45.\nG00 Z-10."
    assert word(program, more="shape = 'hexagon'") == "contact"
    assert word(program.replace("45.", "48."), more="shape = 'hexagon'") == "clear"


def test_what_the_judge_cannot_follow_is_undecided() -> None:
    assert judge(hand_job("G00 X50. Z5.\nG65 P100")).word == "undecided"


@pytest.mark.parametrize(("error", "expected"), [(0.0, "clear"), (0.8, "contact")])
def test_error_of_the_first_zero_reaches_the_raw_back_of_a_measured_part(
    error: float, expected: str
) -> None:
    # On a stop, zero 59 from it, P = 58: M = 59 +/- error, the raw back stands at M - P = 1.0 or
    # up to 1.8. The rapid ends at Z1.5.
    zero = f'way = "stop", from_stop = 59.0, error = {error}'
    second = "G00 X30. Z6.\nG00 Z1.5"
    assert word(FACE, second=second, zero=zero, second_zero='way = "measured"') == expected


@pytest.mark.parametrize("way", ["measured", "finished-on-stop"])
@pytest.mark.parametrize(("face", "expected"), [(0.0, "clear"), (0.8, "contact")])
def test_a_face_left_proud_moves_the_turned_part(way: str, face: float, expected: str) -> None:
    # Front face made at Z0 or at Z0.8: the blank of 60 is 59 or 59.8 long then, P = 58: the raw
    # back stands at 1.0 or 1.8.
    first = FACE.replace("Z0.", f"Z{face}")
    second = "G00 X30. Z6.\nG00 Z1.5"
    assert word(first, second=second, second_zero=f'way = "{way}"') == expected


def test_a_face_left_proud_does_not_move_a_touched_face() -> None:
    zero = 'way = "nominal", face_allowance = 1.0'
    first = FACE.replace("Z0.", "Z0.8")
    assert word(first, second="G00 X30. Z6.\nG00 Z1.5", second_zero=zero) == "clear"


@pytest.mark.parametrize(("touched", "expected"), [("turning", "clear"), ("standing", "contact")])
def test_a_standing_touch_may_have_found_the_low_side(touched: str, expected: str) -> None:
    # A face that leans by 1: touched standing at Z1 it may reach Z2. The rapid ends at Z1.5.
    zero = f'way = "touch", face_allowance = 1.0, touched = "{touched}"'
    job = "G00 X30. Z6.\nG00 Z1.5"
    assert word(job, zero=zero, more="out_of_square = 1.0") == expected


@pytest.mark.parametrize(("bow", "expected"), [(0.0, "clear"), (0.8, "contact")])
def test_bow_grows_the_bar_and_narrows_the_bore(bow: float, expected: str) -> None:
    more = f"bow = {bow}"
    assert word("G00 X50. Z5.\nG00 X41.\nG00 Z-10.", more=more) == expected
    # Back of the bar at r 4.5 + bow over the far wall of a bore of 10: tip 13.5 above it.
    inside = "G00 X8. Z5.\nG01 Z-10. F0.2"
    assert word(inside, tool=BORING, more=f"{BORE_TUBE}\n{more}") == expected


@pytest.mark.parametrize(("wear", "expected"), [(0.0, "clear"), (0.8, "contact")])
def test_wear_moves_the_tool_either_way(wear: float, expected: str) -> None:
    # Half a millimetre in front of the face, half a millimetre above the bar.
    assert word("G00 X30. Z5.\nG00 Z1.5", wear=wear) == expected
    assert word("G00 X50. Z5.\nG00 X41.\nG00 Z-10.", wear=wear) == expected


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ('home_after_cycle = "x-first"', "clear"),
        ('home_after_cycle = "z-first"', "contact"),
        ("", "contact"),
    ],
)
def test_an_open_row_is_tried_at_every_value(row: str, expected: str) -> None:
    # A groove to r 18 at Z-6; the finishing cycle is called at Z3 and ends on the groove's bottom.
    # Home X first is up and out, Z first through the groove's wall.
    program = (
        "G00 X44. Z3.\nG00 Z-6.\nG01 X36. F0.1\nG00 X44.\nG00 Z3.\nG70 P10 Q20\n"
        "N10 G00 Z-6.\nN20 G01 X36."
    )
    stated = 'home_after_cycle = "direct", '
    assert stated in CONTROL
    control = CONTROL.replace(stated, f"{row}, " if row else "")
    assert word(program, tool=GROOVING, control=control) == expected
