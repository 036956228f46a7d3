"""Whole jobs with threads: clear ones, and what strikes in each way that a thread can.

Outside: M24 x 2 (ISO 68-1: root 17/24 of H, 1.227 deep, so X21.546) on 24 turned to Z-22., with a
groove 4 wide to 21 before the shoulder of 40. The threading tool is 4 wide, so its flanks end 3.464
over the tip; its body stands 10 over it. Flank infeed moves it by 1.227 tan 30 = 0.708.

Inside: M22 x 1.5 (5/8 of H, 0.812 deep) in a bore of 20.376, the bar 9 thick 4 behind the tip.
"""

from __future__ import annotations

from typing import Any

import pytest
from proof_shop import JAWS, TOOLS, measured, only, proof_of
from proof_shop import codes as all_codes

from standclear import JobProof, Verdict

WITH_THREADING = {
    **TOOLS,
    6: "threading = { width = 4.0, reach = 10.0 }",
    7: 'threading = { width = 3.0, reach = 4.0, body = 9.0, where = "inside" }',
}
FACE = "G00 X44. Z3.\nG94 X-1. Z0. F.2\nG00 X44. Z3.\n"
TURN = "G90 X36. Z-22. F.2\nX32.\nX28.\nX24.\n"
HOME = "G28 U0 W0\n"
GROOVE = f"{HOME}T0202\nG00 X44. Z-22.\nG01 X21. F.1\nG00 X44.\n"
TOOL = f"{HOME}T0606\n"
FIRST = "G76 P010060 Q50 R.05\n"
CYCLE = "G76 X21.546 Z-19. P1227 Q400 F2.\n"
MARGIN = "x = 1.0, z = 1.0, jaws = 1.0"


def proof(program: str, **job: Any) -> JobProof:
    """The proof of a program with the threading tools at hand."""
    return proof_of(program + HOME, **{"tools": WITH_THREADING, "margin": MARGIN, **job})


LEFT_ASIDE = {"number-without-point", "face-left-raw", "diameter-left-raw", "size-wrong"}
"""P and Q are written without a point, as they are; and only one end is worked."""


def codes(found: JobProof) -> list[str]:
    """The codes that have to do with the thread."""
    return [code for code in all_codes(found) if code not in LEFT_ASIDE]


def thread(
    *, start: str = "G00 X28. Z6.\n", call: str = FIRST + CYCLE, before: str = FACE + TURN + GROOVE
) -> str:
    return before + TOOL + start + call


def test_a_thread_before_an_undercut_is_clear() -> None:
    found = proof(thread())
    assert (found.verdict, codes(found)) == (Verdict.CLEAR, [])


def test_the_same_pass_by_pass_is_clear() -> None:
    """Withdrawn straight out in X as the next block says."""
    passes = "".join(f"G00 X{x}\nG32 Z-19. F2.\nG00 X28.\nZ6.\n" for x in (23.0, 22.2, 21.546))
    found = proof(thread(call=passes))
    assert (found.verdict, codes(found)) == (Verdict.CLEAR, [])
    found = proof(thread(call="G92 X23. Z-19. F2.\nX22.2\nX21.546\n"))
    assert (found.verdict, codes(found)) == (Verdict.CLEAR, [])


def test_a_withdrawal_aslant_strikes() -> None:
    """10 along and 3.2 out: far flatter than the flank, which leans by 30 degrees."""
    found = proof(thread(call="G00 X21.546\nG32 Z-15. F2.\nG00 X28. Z-5.\n"))
    assert found.verdict is Verdict.CONTACT and codes(found) == ["rapid-into-metal"]


def test_a_run_in_too_short_is_told_and_one_in_metal_strikes() -> None:
    """From Z2.: 0.708 of infeed and as much of flank leave 0.58. From Z1. they do not."""
    found = proof(thread(start="G00 X28. Z2.\n"))
    assert found.verdict is Verdict.CLEAR
    told = only(found, "thread-run-in-short")
    assert measured(told, "run_in") == pytest.approx(2.0)
    assert measured(told, "wanted") == pytest.approx(4.0)
    found = proof(thread(start="G00 X28. Z1.\n"))
    assert found.verdict is Verdict.CONTACT
    assert {"rapid-into-metal", "thread-run-in-short"} <= set(codes(found))


def test_four_millimetres_are_two_leads() -> None:
    assert "thread-run-in-short" not in codes(proof(thread(start="G00 X28. Z4.\n")))
    assert "thread-run-in-short" in codes(proof(thread(start="G00 X28. Z3.99\n")))


def test_the_blade_strikes_the_shoulder() -> None:
    """The pass ends 0.708 beyond the written Z with the blade 2 ahead: Z-19.29 is the last."""
    for z, verdict in ((-19.28, Verdict.CLEAR), (-19.31, Verdict.CONTACT)):
        found = proof(thread(call=FIRST + CYCLE.replace("Z-19.", f"Z{z}")))
        assert found.verdict is verdict
    assert set(codes(found)) == {"holder-into-metal"}


def test_straight_infeed_reaches_as_far_as_it_is_written() -> None:
    """An angle of 0: the blade touches the shoulder at Z-20."""
    straight = FIRST.replace("0060", "0000")
    for z, verdict in ((-19.98, Verdict.CLEAR), (-20.02, Verdict.CONTACT)):
        assert proof(thread(call=straight + CYCLE.replace("Z-19.", f"Z{z}"))).verdict is verdict


def test_without_an_undercut_the_pass_goes_to_its_end_at_full_depth() -> None:
    """A pull-out is not relied on; the thread may end in full metal."""
    call = FIRST.replace("0060", "1060") + CYCLE.replace("Z-19.", "Z-15.")
    found = proof(thread(call=call, before=FACE + TURN))
    assert (found.verdict, codes(found)) == (Verdict.CLEAR, [])


def test_a_diameter_not_turned_to_the_crest_strikes() -> None:
    found = proof(thread(before=FACE + TURN.replace("X24.\n", "") + GROOVE))
    assert found.verdict is Verdict.CONTACT
    told = [f for f in found.findings if f.code == "holder-into-metal"]
    assert len(told) == 1 and "thread pass" in told[0].message


@pytest.mark.parametrize(("size", "verdict"), [(24.2, Verdict.CLEAR), (24.4, Verdict.CONTACT)])
def test_a_crest_within_its_tolerance_is_thread(size: float, verdict: Verdict) -> None:
    """ISO 965-1, P 2: 0.280 for the major diameter in grade 6, of which half is let: X24.28."""
    turned = TURN.replace("X24.", f"X{size}")
    assert proof(thread(before=FACE + turned + GROOVE)).verdict is verdict


def test_the_thread_stays_metal_for_other_motions() -> None:
    again = thread() + "G00 X23.\nZ-10.\nX28.\n"
    found = proof(again)
    assert found.verdict is Verdict.CONTACT and codes(found) == ["rapid-into-metal"]
    turning = thread() + f"{HOME}T0101\nG00 X30. Z2.\nX23.\nG01 Z-5. F.2\nX30.\nG00 Z5.\n"
    assert proof(turning).verdict is Verdict.CLEAR


def test_the_return_of_the_cycle_runs_outside_the_crest() -> None:
    found = proof(thread(start="G00 X23.9 Z6.\n"))
    assert found.verdict is Verdict.UNPROVEN and "cannot-follow" in codes(found)


@pytest.mark.parametrize("word", ["M05", "M04"])
def test_the_spindle_stands_or_turns_the_wrong_way(word: str) -> None:
    found = proof(thread(start=f"{word}\nG00 X28. Z6.\n"))
    wrong = {"M05": "feed-with-spindle-stopped", "M04": "feed-with-spindle-wrong-way"}[word]
    assert found.verdict is Verdict.CONTACT and wrong in codes(found)


def test_left_hand_out_of_the_undercut() -> None:
    """A groove from Z-22. to Z-17.: at Z-19.2, moved by 0.708, the blade stands 0.09 off the
    shoulder and the V, 0.708 wide to that side, 0.78 off the thread; two leads it has not."""
    before = FACE + TURN + GROOVE + "Z-21.\nG01 X21. F.1\nG00 X44.\n"
    call = FIRST + CYCLE.replace("Z-19.", "Z5.")
    found = proof(thread(before=before, start="G00 X44. Z6.\nZ-19.2\n", call=call))
    assert (found.verdict, codes(found)) == (Verdict.CLEAR, ["thread-run-in-short"])
    assert measured(only(found, "thread-run-in-short"), "run_in") == pytest.approx(2.2, abs=0.01)
    for z in (-18.3, -19.4):
        found = proof(thread(before=before, start=f"G00 X44. Z6.\nZ{z}\n", call=call))
        assert found.verdict is Verdict.CONTACT and "rapid-into-metal" in codes(found)


TAPER = "G00 X44. Z6.\nG90 X36. Z-24. F.2\nX32.\nX28.\nX25.625 R-.9375\n"
"""A cone of 1 in 16 on diameter: over 30 mm r_start - r_end is -30/32; 25.375 thick at Z-20."""
TAPER_CALL = f"{FIRST}G76 X22.921 Z-20. R-.8125 P1227 Q400 F2.\n"
"""Root of 25.375 for k 1.227; over the 26 mm from Z6. -26/32."""


def test_a_taper_thread_follows_its_cone() -> None:
    found = proof(thread(before=FACE + TAPER, start="G00 X26. Z6.\n", call=TAPER_CALL))
    assert (found.verdict, codes(found)) == (Verdict.CLEAR, [])


def test_a_taper_whose_start_is_thicker_than_the_place_of_call_is_unproven() -> None:
    """Crest at the start 25.375 + 0.8: S at X26. lies inside."""
    call = TAPER_CALL.replace("R-.8125", "R.4")
    found = proof(thread(before=FACE + TAPER, start="G00 X26. Z6.\n", call=call))
    assert found.verdict is Verdict.UNPROVEN


def test_a_cylinder_threaded_as_a_cone_strikes() -> None:
    """At Z0 the crest is 24.125 thick and the bar 25.625: 0.75 over it, of which 0.14 are let."""
    cylinder = TAPER.replace(" R-.9375", "")
    found = proof(thread(before=FACE + cylinder, start="G00 X28. Z6.\n", call=TAPER_CALL))
    assert found.verdict is Verdict.CONTACT and codes(found) == ["holder-into-metal"]


BORE = (
    f"{FACE}{HOME}T0303\nG00 X0 Z3.\nG01 Z-30. F.1\nG00 Z3.\n{HOME}"
    "T0404\nG00 X12. Z3.\nG90 X16. Z-25. F.1\nX18.\nX20.376\nG00 Z3.\n"
)
INSIDE = f"{HOME}T0707\nG00 X18. Z5.\n{FIRST}G76 X22. Z-18. P812 Q300 F1.5\nG00 Z5.\n"


def test_an_inside_thread_is_clear() -> None:
    found = proof(BORE + INSIDE)
    assert (found.verdict, codes(found)) == (Verdict.CLEAR, [])


def test_a_bar_too_thick_for_the_bore_strikes_its_far_side() -> None:
    """With the tip at r 9 a bar of 14 reaches to r -9 on the far side, one of 16 to r -11; the bore
    is 10.188."""
    for body, verdict in ((14.0, Verdict.CLEAR), (16.0, Verdict.CONTACT)):
        tools = {**WITH_THREADING, 7: WITH_THREADING[7].replace("9.0", f"{body}")}
        assert proof(BORE + INSIDE, tools=tools).verdict is verdict


def test_an_inside_thread_in_a_bore_too_small_strikes() -> None:
    found = proof(BORE.replace("X20.376", "X19.6") + INSIDE)
    assert found.verdict is Verdict.CONTACT and "holder-into-metal" in codes(found)


def test_values_that_the_cycle_goes_by_unknown_are_unproven() -> None:
    found = proof(thread(call=CYCLE))
    assert found.verdict is Verdict.UNPROVEN and "cycle-depth-unknown" in codes(found)


LIMITED = {**WITH_THREADING, 6: WITH_THREADING[6] + "\ngreatest_depth = 0.45"}


def test_the_first_pass_into_a_diameter_left_thick_is_too_deep() -> None:
    """G92 does not say where the crest is: 24 threaded from X23.2 takes 0.4, and 25 takes 0.9. The
    next, 0.4 further in, takes as much whatever the first met."""
    for size, found_depth in (("X24.", None), ("X25.", 0.9)):
        before = FACE + TURN.replace("X24.", size) + GROOVE
        call = "G92 X23.2 Z-19. F2.\nX22.4\n"
        found = proof(thread(before=before, call=call), tools=LIMITED)
        assert found.verdict is Verdict.CLEAR
        deep = [measured(f, "depth") for f in found.findings if f.code == "cut-too-deep"]
        assert deep == ([] if found_depth is None else [pytest.approx(found_depth, abs=0.002)])


def test_a_step_between_passes_that_is_too_deep() -> None:
    found = proof(thread(call="G92 X23.2 Z-19. F2.\nX22.2\nX21.546\n"), tools=LIMITED)
    assert [measured(f, "depth") for f in found.findings if f.code == "cut-too-deep"] == [
        pytest.approx(0.5, abs=0.002)
    ]


def test_after_a_pass_in_the_air_the_run_in_of_the_next_is_looked_at() -> None:
    # The bar is 24 thick there: X28. meets nothing. From Z2. a lead of 2 is one lead short.
    call = "G92 X28. Z-19. F2.\nG00 X30. Z2.\nG92 X23.2 Z-19. F2.\n"
    found = proof(thread(start="G00 X30. Z6.\n", call=call))
    assert measured(only(found, "thread-run-in-short"), "run_in") == pytest.approx(2.0)


def test_of_a_thread_on_a_face_no_run_in_along_the_axis_is_asked() -> None:
    # A scroll on the face from 2 over the bar, on radius: slide and spindle fall in step along X.
    scroll = "G00 X44. Z-0.3\nG32 X20. F2.\nG00 Z6.\n"
    assert "thread-run-in-short" not in codes(proof(FACE + TOOL + scroll))


@pytest.mark.parametrize(("deeper", "depth"), [(".8", None), (".9", 0.45), ("1.1", 0.55)])
def test_the_depth_of_a_pass_along_a_cone_is_the_same_all_along_it(
    deeper: str, depth: float | None
) -> None:
    """The cone is 25.375 thick at Z-20. and the pass runs alongside it, `deeper` on diameter;
    the tool may take 0.42 on radius."""
    root = 25.375 - float(deeper)
    call = f"G92 X{root:.3f} Z-20. R-.8125 F2.\n"
    tools = {**WITH_THREADING, 6: WITH_THREADING[6] + "\ngreatest_depth = 0.42"}
    found = proof(thread(before=FACE + TAPER, start="G00 X26. Z6.\n", call=call), tools=tools)
    deep = [measured(f, "depth") for f in found.findings if f.code == "cut-too-deep"]
    assert deep == ([] if depth is None else [pytest.approx(depth, abs=0.002)])


UNDERCUT = f"{HOME}T0202\nG00 X44. Z-14.\nG01 X36. F.1\nG00 X44.\n{TOOL}"


class TestHeldOnAThread:
    """The bar of 40 is threaded to 37.4, 1.3 deep, from its front face to Z-12. It is turned round
    onto that face, 58 behind the second zero, and the jaws hold 15 of it, Z-58. to Z-43."""

    SECOND = f'zero = {{ way = "finished-on-stop" }}\nseat = {{ on = "stop" }}\njaws = {JAWS}'

    def held(self, first: str, second: str = SECOND) -> JobProof:
        return proof(FACE + TOOL + first, second_program="G00 X60. Z30.\n", second=second)

    def test_it_is_told_with_its_place_as_it_lies_then(self) -> None:
        # The insert is as wide as 2 x 1.3 tan 30 = 1.501 at the crest, half of it past the end:
        # from the seat to 58 - 12 - 0.751 from zero.
        told = only(self.held("G00 X44. Z6.\nG92 X37.4 Z-12. F2.\n"), "grip-on-thread")
        assert told.setup == "two"
        assert measured(told, "z_from") == pytest.approx(-58.0, abs=0.002)
        assert measured(told, "z_to") == pytest.approx(-45.249, abs=0.002)
        assert measured(told, "diameter") == pytest.approx(40.0, abs=0.002)

    THREAD = f"{UNDERCUT}G00 X44. Z-12.\nG92 X37.4 Z-22. F2.\n"
    """From a groove, Z-14. to Z-10., to Z-22. and 0.751 of flank."""

    @pytest.mark.parametrize(("hold", "told"), [("14.9", False), ("15.1", True)])
    def test_a_thread_that_ends_a_millimetre_under_the_jaws_is_let(
        self, hold: str, *, told: bool
    ) -> None:
        # Turned round it lies from Z-44., the wall 14 behind the face, to Z-35.249: of it jaws that
        # hold 14.9 close on 0.9, and 15.1 on 1.1.
        second = self.SECOND.replace(JAWS, JAWS.replace("15", hold))
        beside = self.held(self.THREAD, second)
        assert beside.setups[0].verdict is Verdict.CLEAR
        assert ("grip-on-thread" in all_codes(beside)) is told

    def test_not_turned_round_it_lies_where_it_was_cut(self) -> None:
        # The back face, 59 behind zero, goes onto the stop 50 behind the next: all lies 9 further
        # out, the thread at Z-13.751 to Z-5. Jaws that hold 40 close on Z-50. to Z-10.
        jaws = JAWS.replace("15", "40")
        stays = f'turned = false\nzero = {{ way = "stop", from_stop = 50.0 }}\njaws = {jaws}'
        told = only(self.held(self.THREAD, stays), "grip-on-thread")
        assert measured(told, "z_from") == pytest.approx(-13.751, abs=0.002)
        assert measured(told, "z_to") == pytest.approx(-10.0, abs=0.002)
