"""Set-up arithmetic against sums written out by hand, and against pieces drawn at random."""

from __future__ import annotations

from math import cos, pi, radians, sqrt
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standclear.job.models import Job
from standclear.job.placing import Placing, jaws_front, place_setups
from standclear.job.units import to_millimetres

INCH = 25.4
ROUNDING = 1e-9
JAWS = {"profile": [[-10, 0], [20, 0], [20, 15], [-10, 30]], "steps": [5.0, 12.0]}


def made(
    *setups: dict[str, Any],
    blank: dict[str, Any] | None = None,
    length: float = 60.0,
    units: str = "mm",
    jaws: dict[str, Any] | None = JAWS,
) -> tuple[Placing, ...]:
    raw = {
        "units": units,
        "blank": {"size": 40.0, "length": 62.0, **(blank or {})},
        "part": {"length": length},
        "machine": {},
        "tools": [{"station": 1, "drill": {"diameter": 8, "length": 60}}],
        "jaws": jaws,
        "setup": [
            {"name": f"clamping {i}", "program": "p", **setup} for i, setup in enumerate(setups)
        ],
    }
    job = Job.model_validate(raw)
    return place_setups(to_millimetres(job, job.units, job.units))


def near(interval: Any, lo: float, hi: float) -> None:
    assert (interval.lo, interval.hi) == pytest.approx((lo, hi), abs=ROUNDING)


STOP = {"zero": {"way": "stop", "from_stop": 61.0, "error": 0.02}}
TOUCH = {"zero": {"way": "touch", "face_allowance": 1.0, "error": 0.05}}
BLANK = {"length_tolerance": [-0.2, 0.3], "out_of_square": 0.1}


def test_on_a_stop_the_saw_error_comes_to_the_front() -> None:
    (first,) = made(STOP, blank=BLANK)
    # Seat at -61 +/- 0.02. Highest point: 62.3 + 0.1 - 61 + 0.02 = 1.42.
    # Lowest: 61.8 - 61 - 0.02 = 0.78 for the highest point, less the lean 0.1 = 0.68.
    near(first.raw_face, 0.68, 1.42)
    near(first.back_face, -61.02, -60.88)  # -60.98 and the lean of the sawn back, 0.1
    near(first.stop_plane, -61.02, -60.98)
    assert first.mirror is None and first.shift is None and not first.turned
    assert (first.face_strike_z, first.face_cleanup_z) == pytest.approx((1.42, 0.68))


def test_touched_turning_the_face_lies_at_or_behind_the_touch_and_the_back_takes_the_saw() -> None:
    (first,) = made(TOUCH, blank=BLANK)
    near(first.raw_face, 0.85, 1.05)  # [f - q, f], each +/- 0.05
    # Back: from 0.95 - 62.3 - 0.1 = -61.45 to 1.05 - 61.8 + 0.1 = -60.65.
    near(first.back_face, -61.45, -60.65)
    near(first.stop_plane, -61.45, -60.75)  # the outermost point alone


def test_touched_standing_the_face_may_stand_out_in_front_of_the_touch() -> None:
    (first,) = made({"zero": {**TOUCH["zero"], "touched": "standing"}}, blank=BLANK)
    near(first.raw_face, 0.85, 1.15)  # [f - q, f + q], each +/- 0.05


def test_set_with_a_rule_front_and_back_take_the_error_of_the_stick_out() -> None:
    seat = {"on": "stick-out", "stick_out": 42.0, "error": 0.5}
    (first,) = made({"zero": {"way": "rule", "face_allowance": 1.0}, "seat": seat})
    near(first.raw_face, 0.5, 1.5)
    near(first.back_face, -61.5, -60.5)
    # Jaws' front 42 behind the face, +/- 0.5 more; the stop plane lies 20 behind the front.
    near(first.stop_plane, 0.5 - 42.5 - 20.0, 1.5 - 41.5 - 20.0)


def test_skin_must_come_off_the_face_too() -> None:
    (first,) = made(TOUCH, blank={**BLANK, "skin": 0.4})
    assert first.face_cleanup_z == pytest.approx(0.85 - 0.4)
    assert first.face_strike_z == pytest.approx(1.05)


def test_finished_face_on_the_stop_fixes_the_mirror_whatever_the_saw_did() -> None:
    second = made(STOP, {"zero": {"way": "finished-on-stop", "error": 0.03}}, blank=BLANK)[1]
    assert second.mirror is not None and second.finished_length is not None
    near(second.mirror, -60.03, -59.97)
    near(second.back_face, -60.03, -59.97)
    near(second.stop_plane, -60.03, -59.97)
    # The sawn back at z1 = -61 +/- 0.02 shows at 61 - 60 = 1, +/- 0.05, and leans 0.1 inwards.
    near(second.raw_face, 0.85, 1.05)
    near(second.finished_length, 59.97, 60.03)
    assert second.turned and not second.length_follows_saw


def test_measured_the_length_error_is_measuring_and_touching_with_the_lean() -> None:
    turning, standing = (
        made(TOUCH, {"zero": {"way": "measured", "error": 0.04, "touched": how}}, blank=BLANK)[1]
        for how in ("turning", "standing")
    )
    assert turning.mirror and standing.mirror
    near(turning.mirror, -60.14, -59.96)
    near(standing.mirror, -60.14, -59.86)
    # The back at z1 in [-61.45, -60.75] (touch test above): -60.14 + 60.75 - 0.1 = 0.51 and
    # -59.96 + 61.45 = 1.49.
    near(turning.raw_face, 0.51, 1.49)


def test_nominal_the_finished_length_follows_the_saw() -> None:
    second = made(
        {"zero": {"way": "touch", "face_allowance": 1.0}},
        {"zero": {"way": "nominal", "face_allowance": 0.8}},
        blank={"length_tolerance": [-0.2, 0.3]},
    )[1]
    # M = L - f1 = 62 - 1 = 61, from 60.8 to 61.3; c = 0.8 - M; finished length M - 0.8.
    assert second.mirror is not None and second.finished_length is not None
    near(second.mirror, 0.8 - 61.3, 0.8 - 60.8)
    near(second.finished_length, 60.0, 60.5)
    near(second.raw_face, 0.8, 0.8)
    assert second.length_follows_saw


def test_nominal_after_a_stop_does_not_follow_the_saw_since_the_front_took_it() -> None:
    second = made(
        {"zero": {"way": "stop", "from_stop": 61.0}},
        {"zero": {"way": "nominal", "face_allowance": 1.0}},
        blank={"length_tolerance": [-0.2, 0.3]},
    )[1]
    assert second.mirror is not None
    near(second.mirror, -60.0, -60.0)


def test_an_inch_job_by_hand_in_inches() -> None:
    # Finished 3.300; sawn 3.350 +/- 0.010: 0.025 a side (common practice, no source).
    first, second = made(
        {"zero": {"way": "touch", "face_allowance": 0.025, "error": 0.001}},
        {"zero": {"way": "measured", "error": 0.002}},
        blank={"size": 1.75, "length": 3.35, "length_tolerance": [-0.01, 0.01]},
        length=3.3,
        units="inch",
        jaws=None,
    )
    near(first.raw_face, 0.024 * INCH, 0.026 * INCH)
    assert second.mirror is not None
    near(second.mirror, -3.302 * INCH, -3.298 * INCH)
    # After the first end 3.325 is left, so the raw back shows at +0.025 (reference of the trade);
    # 0.010 of saw, 0.001 and 0.002 of errors either way.
    near(second.raw_face, (0.025 - 0.013) * INCH, (0.025 + 0.013) * INCH)
    assert first.strike_radius == pytest.approx(0.875 * INCH)


def test_a_step_moves_the_stop_plane_behind_the_seat() -> None:
    (first,) = made({**STOP, "seat": {"on": "step", "step": 1}})
    near(first.back_face, -61.02, -60.98)
    near(first.stop_plane, -73.02, -72.98)  # the step stands 12 in front of the stop plane


def test_the_same_clamping_goes_on_without_a_shift() -> None:
    first, again = made(TOUCH, {**TOUCH, "turned": False}, blank=BLANK)
    assert again.shift is not None
    near(again.shift, 0.0, 0.0)
    assert again.raw_face == first.raw_face and again.stop_plane == first.stop_plane


def test_on_another_stop_at_the_same_end_everything_shifts() -> None:
    again = made(
        STOP, {"zero": {"way": "stop", "from_stop": 55.0, "error": 0.03}, "turned": False}
    )[1]
    assert again.shift is not None and again.mirror is None
    near(again.shift, 5.95, 6.05)  # from -61 +/- 0.02 to -55 +/- 0.03
    near(again.raw_face, 6.97, 7.03)


def test_turned_twice_the_first_frame_comes_back_the_other_way_round() -> None:
    back = {"zero": {"way": "finished-on-stop"}}
    third = made({"zero": {"way": "stop", "from_stop": 61.0}}, back, back)[2]
    # z3 = -60 - z2 = -60 - (-60 - z1) = z1: sawn front 62 - 61 = 1 again.
    assert third.mirror is not None
    near(third.mirror, -60.0, -60.0)
    near(third.raw_face, 1.0, 1.0)


def test_round_bar_radii() -> None:
    bounds = {"size_tolerance": [-0.16, 0.1], "run_out": 0.2, "bow": 0.05, "skin": 0.5}
    (first,) = made(TOUCH, blank=bounds)
    assert first.strike_radius == pytest.approx(20.05 + 0.1 + 0.05)
    assert first.cleanup_radius == pytest.approx(19.92 - 0.1 - 0.05 - 0.5)
    assert (first.bore_strike, first.bore_cleanup) == (0.0, 0.0)


def test_tube_radii() -> None:
    bounds = {"shape": "tube", "bore": 20.0, "bore_tolerance": [-0.4, 0.6], "run_out": 0.2}
    (first,) = made(TOUCH, blank={**bounds, "bow": 0.05, "skin": 0.5})
    assert first.bore_strike == pytest.approx(9.8 - 0.15)
    assert first.bore_cleanup == pytest.approx(10.3 + 0.15 + 0.5)


def test_hexagon_and_square_turn_in_their_circumscribed_circle() -> None:
    # Across corners 1.154701 s, so 30 across flats gives 34.641 (closed form).
    (hexagon,) = made(TOUCH, blank={"shape": "hexagon", "size": 30.0})
    assert 2 * hexagon.strike_radius == pytest.approx(34.641, abs=5e-4)
    assert 2 * hexagon.strike_radius == pytest.approx(30 / cos(radians(30)))
    assert hexagon.cleanup_radius == pytest.approx(15.0)
    (square,) = made(TOUCH, blank={"shape": "square", "size": 30.0})
    assert square.strike_radius == pytest.approx(15 * sqrt(2))
    assert square.cleanup_radius == pytest.approx(15.0)


def test_bounds_left_out_are_named() -> None:
    (first,) = made({"zero": {"way": "touch", "face_allowance": 1.0}})
    sentences = " ".join(first.unknown)
    for name in ("run-out", "bow", "skin", "squareness", "wear and touch-off error of T1", "zero"):
        assert f"{name}" in sentences
    (given_some,) = made(TOUCH, blank={"run_out": 0.1, "skin": 0.0})
    assert not any(word in " ".join(given_some.unknown) for word in ("run-out", "skin", "zero"))


def test_the_front_of_jaws_is_where_they_stand_outside_the_grip() -> None:
    # A lip runs inwards in front: it crosses h = 0 half way from z 10 to z 20.
    assert jaws_front([(0, 0), (10, 4), (20, -4), (0, -4)]) == pytest.approx(15.0)
    assert jaws_front([(-10, 0), (20, 0), (20, 15)]) == 20


fractions = st.floats(0.0, 1.0)
signed = st.floats(-1.0, 1.0)
SAMPLES = settings(max_examples=150)


def between(lo: float, hi: float, share: float) -> float:
    return lo + (hi - lo) * share


PLACES = [2 * pi * k / 24 for k in range(24)]


class Piece:
    """One sawn blank: both faces lean as planes, in any direction about the axis."""

    def __init__(self, lean: float, draw: Any) -> None:
        self.front_lean, self.back_lean = lean * draw(fractions), lean * draw(fractions)
        self.angle = draw(st.floats(0, 2 * pi))
        # Two-point lengths: mean + (a cos t - b cos(t - angle)) over the outer circle.
        swings = [self.front(t) - self.back(t) for t in PLACES]
        low, high = 61.8 - min(swings), 62.3 - max(swings)
        self.possible = low <= high
        self.mean = between(low, high, draw(fractions)) if self.possible else 0.0

    def front(self, t: float) -> float:
        return self.front_lean / 2 * cos(t)

    def back(self, t: float) -> float:
        return self.back_lean / 2 * cos(t - self.angle)


@SAMPLES
@given(st.data())
def test_every_piece_lies_inside_the_intervals(data: st.DataObject) -> None:
    """Pieces drawn at random, set up as each pair of ways says, against the bounds."""
    lean, draw = 0.1, data.draw
    piece = Piece(lean, draw)
    if not piece.possible:
        return
    way = draw(st.sampled_from(["stop", "touch-turning", "touch-standing"]))
    then = draw(st.sampled_from(["finished-on-stop", "measured", "nominal"]))
    how = draw(st.sampled_from(["turning", "standing"]))
    first = STOP if way == "stop" else {"zero": {**TOUCH["zero"], "touched": way[6:]}}
    second: dict[str, Any] = {"way": then, "error": 0.04, "touched": how}
    if then == "nominal":
        second["face_allowance"] = 0.8
    one, two = made(first, {"zero": second}, blank=BLANK)

    # Body: back plane about 0, front plane about the mean length.
    front = [piece.mean + piece.front(t) for t in PLACES]
    back = [piece.back(t) for t in PLACES]
    spot = draw(st.integers(0, 23))
    if way == "stop":
        to_first = -61.0 + 0.02 * draw(signed) - min(back)
    else:
        touched = max(front) if way == "touch-turning" else front[spot]
        to_first = 1.0 + 0.05 * draw(signed) - touched
    for z in front:
        assert one.raw_face.lo - ROUNDING <= z + to_first <= one.raw_face.hi + ROUNDING
    for z in back:
        assert one.back_face.lo - ROUNDING <= z + to_first <= one.back_face.hi + ROUNDING
    seat = min(back) + to_first
    assert one.stop_plane.lo - ROUNDING <= seat <= one.stop_plane.hi + ROUNDING

    # The finished front is z1 = 0; heights of the sawn back over it, one for each place.
    heights = [-(z + to_first) for z in back]
    touched = max(heights) if how == "turning" else heights[draw(st.integers(0, 23))]
    error = 0.04 * draw(signed)
    if then == "finished-on-stop":
        mirror = -60.0 + error
    elif then == "measured":
        measured = heights[draw(st.integers(0, 23))]
        mirror = measured - 60.0 + error - touched
    else:
        mirror = 0.8 + error - touched
    assert two.mirror is not None
    assert two.mirror.lo - ROUNDING <= mirror <= two.mirror.hi + ROUNDING
    for height in heights:
        assert two.raw_face.lo - ROUNDING <= mirror + height <= two.raw_face.hi + ROUNDING
