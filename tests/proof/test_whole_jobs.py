"""Verdicts of small whole jobs that are plain by hand: spindle, tool changes, followed or not,
hexagon and square, another blank asked of the same proof."""

from __future__ import annotations

import pytest
from proof_shop import JAWS, codes, files_of, measured, only, proof_of, weighed

import standclear
from standclear import Verdict

FACE = "G00 X44. Z3.\nG94 X-0.6 Z0. F0.2\n"
TURN = "G00 X36. Z3.\nG01 Z-20. F0.2\nX44.\nG00 Z3.\n"
NO_LABEL = "G70 P900 Q910\n"
"""A call whose profile is missing: it cannot be followed."""
ACROSS = "G00 X30. Z-10.\nG00 X44. Z3.\n"
"""A rapid into the bar, 5 deep in radius."""


def test_facing_and_turning_is_clear() -> None:
    proof = proof_of(FACE + TURN)
    assert proof.verdict is Verdict.CLEAR
    assert proof.setups[0].strikes == ()


class TestSpindle:
    @pytest.mark.parametrize(
        ("words", "code"),
        [("M05", "feed-with-spindle-stopped"), ("M04", "feed-with-spindle-wrong-way")],
    )
    def test_a_feed_into_metal_needs_the_spindle(self, words: str, code: str) -> None:
        proof = proof_of(FACE + words + "\n" + TURN)
        assert proof.verdict is Verdict.CONTACT
        finding = next(f for f in proof.findings if f.code == code)
        assert finding.place is not None and finding.place.words == "G01 Z-20. F0.2"
        # From diameter 40 to 36 on radius, twenty along.
        assert measured(finding, "depth_x") == pytest.approx(2.0, abs=1e-6)
        assert measured(finding, "depth_z") == pytest.approx(20.0, abs=1e-6)

    @pytest.mark.parametrize(
        ("words", "found"),
        [
            ("", set()),
            ("M05\n", {"feed-with-spindle-stopped"}),
            ("M03\n", {"feed-with-spindle-wrong-way"}),
        ],
    )
    def test_a_tool_that_cuts_the_other_way_needs_it_too(self, words: str, found: set[str]) -> None:
        proof = proof_of("M04\n" + FACE + words + TURN, more_of_tools='cuts_with = "M04"')
        assert {code for code in codes(proof) if code.startswith("feed-with-spindle")} == found
        assert (proof.verdict is Verdict.CLEAR) is (not found)

    def test_started_again_in_time_it_is_clear(self) -> None:
        assert proof_of(FACE + "M05\nM03\n" + TURN).verdict is Verdict.CLEAR

    def test_a_feed_in_air_needs_none(self) -> None:
        assert proof_of("M05\nG00 X60. Z3.\nG01 Z-20. F0.2\nG00 X80.\n").verdict is Verdict.CLEAR


class TestToolChange:
    GEOMETRY = "geometry = { x = 0.0, z = 0.0 }"

    def test_a_tool_called_in_metal_strikes(self) -> None:
        # The groove tool stands in the groove where the next one is called.
        program = "G28 U0 W0\nT0202\nG00 X44. Z-12.\nG01 X36. F0.1\nT0101\nG00 X60.\n"
        proof = proof_of(program, more_of_tools=self.GEOMETRY)
        assert proof.verdict is Verdict.CONTACT
        finding = only(proof, "tool-appears-in-metal")
        assert finding.place is not None and finding.place.words == "T0101"

    def test_drawn_back_first_it_is_clear(self) -> None:
        program = (
            "G28 U0 W0\nT0202\nG00 X44. Z-12.\nG01 X36. F0.1\nX60.\nG00 Z40.\nT0101\nG00 X60.\n"
        )
        assert proof_of(program, more_of_tools=self.GEOMETRY).verdict is Verdict.CLEAR


class TestFollowedOrNot:
    def test_what_cannot_be_followed_is_never_clear(self) -> None:
        proof = proof_of(FACE + NO_LABEL)
        assert proof.verdict is Verdict.UNPROVEN
        assert "profile-missing" in codes(proof) or "label-missing" in codes(proof)

    def test_a_strike_after_it_may_be_one(self) -> None:
        proof = proof_of(FACE + NO_LABEL + ACROSS)
        assert proof.verdict is Verdict.UNPROVEN
        finding = next(f for f in proof.findings if f.code == "rapid-into-metal")
        assert "may run" in finding.message

    def test_a_strike_before_it_is_one(self) -> None:
        proof = proof_of(FACE + ACROSS + NO_LABEL)
        assert proof.verdict is Verdict.CONTACT
        finding = next(f for f in proof.findings if f.code == "rapid-into-metal")
        assert "may" not in finding.message

    def test_the_next_end_is_judged_on_the_most_that_may_be_left(self) -> None:
        # The first end faces and turns after something that cannot be followed: the second end
        # finds up to 40 there and perhaps the raw face, so that the part sits up to 1 further out:
        # 60 - 58 - 1 + 1 = 2 in front of its zero, which is 58 from the stop.
        second = f'zero = {{ way = "finished-on-stop" }}\njaws = {JAWS}'
        proof = proof_of(NO_LABEL + FACE + TURN, "G00 X44. Z5.\n", second=second)
        assert [s.verdict for s in proof.setups] == [Verdict.UNPROVEN, Verdict.CLEAR]
        assert proof.verdict is Verdict.UNPROVEN
        assert "metal-before-unproven" in codes(proof)
        z_min, _, z_max, r_max = proof.setups[1].metal_before.bounds
        assert (z_min, z_max, r_max) == pytest.approx((-59.0, 2.0, 20.0))


class TestBarsWithFlats:
    """Across corners over across flats: 2 / sqrt 3 and sqrt 2, closed form."""

    @pytest.mark.parametrize(
        ("shape", "flats", "corners"),
        [("hexagon", 30.0, 34.641), ("square", 24.0, 33.941)],
    )
    def test_corners_strike(self, shape: str, flats: float, corners: float) -> None:
        blank = f'shape = "{shape}"\nsize = {flats}\nlength = 60.0'
        for x, verdict in ((corners + 0.02, Verdict.CLEAR), (corners - 0.02, Verdict.CONTACT)):
            program = f"G00 X{x:.3f} Z3.\nZ-20.\nX60.\nZ3.\n"
            assert proof_of(program, blank=blank).verdict is verdict

    @pytest.mark.parametrize(("shape", "flats"), [("hexagon", 30.0), ("square", 24.0)])
    def test_flats_want_turning_to_below_their_width(self, shape: str, flats: float) -> None:
        blank = f'shape = "{shape}"\nsize = {flats}\nlength = 60.0'
        for x, raw in ((flats + 0.1, True), (flats - 0.1, False)):
            program = FACE + f"G00 X{x:.3f} Z3.\nG01 Z-60.5 F0.2\nG00 X60.\nZ3.\n"
            proof = proof_of(program, blank=blank, jaws=None)
            assert ("diameter-left-raw" in codes(proof)) is raw, codes(proof)

    def test_flats_may_stay(self) -> None:
        blank = 'shape = "hexagon"\nsize = 30.0\nlength = 60.0\nflats_stay = true'
        assert "diameter-left-raw" not in codes(proof_of(FACE, blank=blank))


class TestAnotherBlank:
    PROGRAM = FACE + TURN

    @pytest.mark.parametrize(
        "other",
        [
            {"bar": 38.0},
            {"bar": 43.0},
            {"bar": 46.0},
            {"bar": 70.0},
            {"length": 59.0},
            {"length": 64.0},
            {"length": 120.0},
            {"face": 0.2},
            {"face": 2.9},
            {"face": 3.5},
            {"face": 40.0},
            {"bar": 45.0, "length": 70.0, "face": 3.2},
        ],
    )
    @pytest.mark.parametrize("bound", ["", "wear = 0.1"])
    def test_asked_of_a_held_proof_it_answers_like_a_fresh_one(
        self, other: dict[str, float], bound: str
    ) -> None:
        held = standclear.hold(files_of(self.PROGRAM, more_of_tools=bound))
        asked = standclear.ask(held, **other)
        fresh = standclear.prove(
            files_of(
                self.PROGRAM,
                blank=f"size = {other.get('bar', 40.0)}\nlength = {other.get('length', 60.0)}",
                zero=f'way = "touch", face_allowance = {other.get("face", 1.0)}',
                more_of_tools=bound,
            )
        )
        assert asked.verdict is fresh.verdict
        assert codes(asked) == codes(fresh)
        for one, other_one in zip(weighed(asked), weighed(fresh), strict=True):
            assert (one.code, one.place, one.motion) == (
                other_one.code,
                other_one.place,
                other_one.motion,
            )
            assert [m.value for m in one.measures] == [
                m.value if isinstance(m.value, str) else pytest.approx(m.value, abs=1e-6)
                for m in other_one.measures
            ]
        assert [(s.motion, s.part) for s in asked.setups[0].strikes] == [
            (s.motion, s.part) for s in fresh.setups[0].strikes
        ]
        assert asked.sizes == fresh.sizes

    def test_a_much_thicker_bar_is_not_taken_for_air(self) -> None:
        # The programs were swept for a bar of 40; at 60 the clearance points of 44 lie inside.
        held = standclear.hold(files_of(self.PROGRAM))
        assert standclear.ask(held, bar=60.0).verdict is Verdict.CONTACT

    def test_a_face_far_out_is_not_taken_for_air(self) -> None:
        held = standclear.hold(files_of("G00 X30. Z3.\nX44.\n", jaws=None))
        assert standclear.ask(held).verdict is Verdict.CLEAR
        for face in (3.2, 30.0, 50.0):
            assert standclear.ask(held, face=face).verdict is Verdict.CONTACT
