"""What the first end leaves, turned round: where faces, jaws and metal lie at the second end.

The bar is 60 long, 58 wanted, its face 1 in front at the first end; so the back stands 1 in front
of the second zero where the first face was cut at Z0. Sums stand beside each case.
"""

from __future__ import annotations

import pytest
import shapely
from proof_shop import JAWS, codes, proof_of

from standclear import JobProof, Verdict

FACE = "G00 X44. Z{at}\nG94 X-0.6 Z{face} F0.2\nG28 U0 W0\n"
TURN = "G00 X36. Z3.\nG01 Z-20. F0.2\nX44.\nG28 U0 W0\n"
STOP = 'way = "finished-on-stop"'
MEASURED = 'way = "measured"'
NOMINAL = 'way = "nominal", face_allowance = 1.0'


def two(
    first: str,
    second: str = "G00 X60. Z30.\nG28 U0 W0\n",
    *,
    zero: str = STOP,
    seat: str = 'on = "stop"',
    jaws: str = JAWS,
    **job: str,
) -> JobProof:
    body = f"zero = {{ {zero} }}\nseat = {{ {seat} }}\njaws = {jaws}\ngrip_diameter = 40.0"
    return proof_of(first, second, second=body, **job)


def faced(at: float, face: float) -> str:
    return FACE.format(at=f"{at:g}" if at % 1 else f"{at:.0f}.", face=f"{face:.1f}")


def ends(proof: JobProof) -> tuple[float, float]:
    z_min, _, z_max, _ = proof.setups[1].metal_before.bounds
    return z_min, z_max


class TestTheFrontFace:
    """The part seats on the face it has, and its length is measured to it."""

    @pytest.mark.parametrize("zero", [STOP, MEASURED])
    @pytest.mark.parametrize("face", [0.0, 0.5, -0.5, 0.9])
    def test_what_the_first_end_leaves_standing_stands_out_at_the_second(
        self, face: float, zero: str
    ) -> None:
        # From the back at -59 to the face: 59 + face long, on a seat 58 from zero.
        proof = two(faced(4, face), zero=zero)
        assert ends(proof) == pytest.approx((-58.0, 1.0 + face), abs=1e-6)

    def test_a_face_left_raw_carries_the_saw_into_the_second_end(self) -> None:
        # On a stop 59 behind zero a bar of 60 +/- 0.3 stands out 1 +/- 0.3; never faced, it seats
        # on that face, so the back stands out 60.3 - 58 at most.
        proof = two(
            "G00 X60. Z30.\n",
            blank="size = 40.0\nlength = 60.0\nlength_tolerance = [-0.3, 0.3]",
            zero=STOP,
        )
        assert ends(proof)[1] >= 2.3 - 1e-6

    @pytest.mark.parametrize("face", [0.0, 0.5, -0.5])
    def test_a_touched_raw_back_stays_where_it_was_touched(self, face: float) -> None:
        # Touched at Z1: the front lies 59 + face behind it.
        proof = two(faced(4, face), zero=NOMINAL)
        assert ends(proof) == pytest.approx((1.0 - 59.0 - face, 1.0), abs=1e-6)

    def test_metal_that_stands_out_is_struck(self) -> None:
        # The tool goes across the face at Z1.3: clear of a back at 1, not of one at 1.5.
        across = "G00 X44. Z1.3\nX0.\nX60.\nG28 U0 W0\n"
        assert two(faced(4, 0.0), across).setups[1].verdict is Verdict.CLEAR
        assert two(faced(4, 0.5), across).setups[1].verdict is Verdict.CONTACT

    def test_metal_far_beyond_the_swept_box_is_struck(self) -> None:
        # Nothing faced, the raw face 31 in front: 60 + 31 - 1 - 58 = 32 stand out at the second
        # end. The tool goes across at Z25.
        proof = two(
            "G00 X60. Z60.\n",
            "G00 X44. Z40.\nZ25.\nX0.\nX60.\nG28 U0 W0\n",
            blank="size = 40.0\nlength = 90.0",
            zero=STOP,
        )
        assert proof.setups[1].verdict is Verdict.CONTACT


class TestJaws:
    """Their front is 15 from the stop plane."""

    def front(self, proof: JobProof) -> float:
        return proof.setups[1].obstacles["jaws"].bounds[2]

    @pytest.mark.parametrize("zero", [STOP, MEASURED])
    @pytest.mark.parametrize("face", [0.0, 0.5, -0.5])
    def test_on_a_stop_they_stand_where_the_face_sits(self, face: float, zero: str) -> None:
        assert self.front(two(faced(4, face), zero=zero)) == pytest.approx(-43.0, abs=1e-6)

    @pytest.mark.parametrize("face", [0.5, -0.5])
    def test_behind_a_touched_back_they_stand_where_the_front_really_is(self, face: float) -> None:
        # The face sits at 1 - 59 - face.
        proof = two(faced(4, face), zero=NOMINAL)
        assert self.front(proof) == pytest.approx(-58.0 - face + 15.0, abs=1e-6)

    @pytest.mark.parametrize("face", [0.5, -0.5])
    def test_a_stick_out_counts_from_the_face_that_is_there(self, face: float) -> None:
        # 40 from the outer face, which stands at 1 + face.
        proof = two(faced(4, face), zero=MEASURED, seat='on = "stick-out", stick_out = 40.0')
        assert self.front(proof) == pytest.approx(1.0 + face - 40.0, abs=1e-6)

    def test_they_open_with_what_they_grip(self) -> None:
        body = f"zero = {{ {STOP} }}\njaws = {JAWS}"
        for program, radius in ((faced(4, 0.0), 20.0), (faced(4, 0.0) + TURN, 18.0)):
            proof = proof_of(program, "G00 X60. Z30.\n", second=body)
            assert proof.setups[1].obstacles["jaws"].bounds[1] == pytest.approx(radius, abs=1e-3)


class TestWhatWasTurned:
    def test_it_lies_at_the_chuck_side(self) -> None:
        # Turned to 36 over 20 from the front, which is at -58 now: up to -38.
        left = two(faced(4, 0.0) + TURN).setups[1].metal_before
        assert left.contains(shapely.Point(-38.1, 17.9))
        assert not left.contains(shapely.Point(-38.1, 18.1))
        assert left.contains(shapely.Point(-37.9, 18.1))

    def test_cutting_into_it_from_the_other_end_is_found(self) -> None:
        # To 30 over 30 from the back would leave the turned 36 alone (-38); over 45 it would not.
        second = "G00 X30. Z3.\nG01 Z-{deep}. F0.2\nX44.\nG28 U0 W0\n"
        for deep, cut in ((30, False), (41, True)):
            proof = two(faced(4, 0.0) + TURN, second.format(deep=deep))
            assert ("good-metal-cut" in codes(proof)) is cut

    @pytest.mark.parametrize(("face", "cut"), [(-0.24, False), (-0.26, True)])
    def test_half_of_what_the_zero_may_be_off_is_let_under_the_finished_face(
        self, face: float, *, cut: bool
    ) -> None:
        # The zero is good to 0.2 either way, and 0.1 on diameter, 0.05 on radius, is let besides.
        proof = two(
            faced(4, 0.0),
            f"G00 X44. Z4.\nG94 X-0.6 Z{face} F0.2\nG28 U0 W0\n",
            zero=f"{STOP}, error = 0.2",
            part="length = 58.0\noutline = [[0, 40], [-58, 40]]",
        )
        assert ("good-metal-cut" in codes(proof)) is cut

    @pytest.mark.parametrize("error", [0.0, 0.2])
    def test_the_error_of_the_zero_moves_it(self, error: float) -> None:
        # Most metal reaches 0.2 further each way, the least 0.2 less.
        proof = two(faced(4, 0.0), zero=f"{STOP}, error = {error}")
        assert ends(proof) == pytest.approx((-58.0 - error, 1.0 + error), abs=1e-6)
        assert proof.setups[1].metal_after_least.bounds[2] == pytest.approx(1.0 - error, abs=1e-6)


class TestPartedOff:
    """Parted at Z-48.; the piece that falls is the part, 48 long."""

    PROGRAM = faced(4, 0.0) + "T0202\nG00 X44. Z-48.\nG01 X-1. F0.1\nX44.\nG28 U0 W0\n"
    LINE = 10

    def parted(self, zero: str) -> JobProof:
        return two(
            self.PROGRAM,
            zero=zero,
            part="length = 47.0",
            blank="size = 40.0\nlength = 90.0",
            more_of_setup=f"falls_at = [{self.LINE}]",
        )

    def test_it_falls_where_the_job_says(self) -> None:
        proof = self.parted(STOP)
        assert proof.setups[0].verdict is Verdict.CLEAR
        assert "loose-metal" in codes(proof)

    def test_the_piece_that_fell_is_turned_round(self) -> None:
        # The groove tool's corner on the chuck side is programmed: it is 4 wide, so the part
        # ends at -44. On a seat 47 from zero it reaches to -3.
        assert ends(self.parted(STOP)) == pytest.approx((-47.0, -3.0), abs=1e-3)

    def test_its_parted_face_is_the_one_that_is_touched(self) -> None:
        # Touched at Z1, 44 long.
        assert ends(self.parted(NOMINAL)) == pytest.approx((-43.0, 1.0), abs=1e-3)


class TestNotTurned:
    def test_the_same_clamping_goes_on(self) -> None:
        body = f'turned = false\nzero = {{ way = "touch", face_allowance = 1.0 }}\njaws = {JAWS}'
        proof = proof_of(faced(4, 0.0) + TURN, "G00 X60. Z30.\n", second=body)
        first, second = proof.setups
        assert second.metal_before.equals(first.metal_after)
        assert second.obstacles["jaws"].equals(first.obstacles["jaws"])

    def test_set_on_a_stop_it_moves_to_it(self) -> None:
        # The back, at -59 in the first clamping, sits 50 behind the second zero.
        body = f'turned = false\nzero = {{ way = "stop", from_stop = 50.0 }}\njaws = {JAWS}'
        proof = proof_of(faced(4, 0.0), "G00 X60. Z30.\n", second=body)
        assert ends(proof) == pytest.approx((-50.0, 9.0), abs=1e-6)


class TestWhatComesOut:
    def test_the_part_is_seen_from_its_own_front(self) -> None:
        # Second end faced at Z0 too: 58 long; the turned 36 lies behind the front.
        proof = two(faced(4, 0.0) + TURN, faced(4, 0.0))
        assert proof.outcome is not None
        assert proof.outcome.bounds == pytest.approx((-58.0, 0.0, 0.0, 20.0), abs=1e-6)
        assert not proof.outcome.contains(shapely.Point(-10, 18.1))
        assert {s.name: s.found for s in proof.sizes}["overall length"] == pytest.approx(58.0)

    def test_a_length_left_by_the_saw_is_said(self) -> None:
        proof = two(
            faced(4, 0.0),
            faced(4, 0.0),
            zero=NOMINAL,
            blank="size = 40.0\nlength = 60.0\nlength_tolerance = [-0.3, 0.3]",
        )
        assert "finished-length-varies" in codes(proof)
