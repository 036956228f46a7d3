"""G70, G74, G75, G90 and G94 against step lists worked by hand."""

from __future__ import annotations

import pytest
from cycle_cases import STATED, only, profile, short, stated

from standclear.job.models import Control
from standclear.motions.cycles import face_pass, finish, peck_across, peck_along, turn_pass
from standclear.motions.step import Profile, ProfileMove
from standclear.motions.table import FeedMode, Kind


def test_finish_follows_the_profile_with_its_own_feed_and_speed() -> None:
    moves = (
        ProfileMove(Kind.RAPID, ((2, 20),), 10, True, False),
        ProfileMove(Kind.FEED, ((-30, 20),), 11, False, True, 0.0, 0.1, FeedMode.PER_REV, 180),
        ProfileMove(Kind.FEED, ((-31, 21), (-31.4, 22)), 12, True, True, 0.0005, 0.05),
    )
    readings, faults = finish(Profile((2, 30), moves), STATED)
    reading = only(readings)
    assert short(reading) == [
        ("R", 2, 20), ("F", -30, 20), ("F", -31, 21), ("F", -31.4, 22), ("R", 2, 30),
    ]  # fmt: skip
    assert [s.feed for s in reading.steps] == [None, 0.1, 0.05, 0.05, None]
    assert [s.speed for s in reading.steps] == [None, 180, None, None, None]
    assert [s.feed_mode for s in reading.steps][1] is FeedMode.PER_REV
    assert [s.sagitta for s in reading.steps] == [0, 0, 0.0005, 0.0005, 0]
    assert [s.profile for s in reading.steps] == [10, 11, 12, 12, -1]
    assert faults == ()


@pytest.mark.parametrize(
    ("row", "way"),
    [
        ("x-first", [("R", -30, 30), ("R", 2, 30)]),
        ("z-first", [("R", 2, 28), ("R", 2, 30)]),
        (None, [("?", 2, 30)]),
    ],
)
def test_finish_home(row: str | None, way: list[tuple[str, float, float]]) -> None:
    pin = profile((2, 30), (2, 20), (-30, 20), (-30, 28))
    readings, _ = finish(pin, stated(home_after_cycle=row))
    assert short(only(readings))[3:] == way


def test_finish_without_a_profile() -> None:
    readings, faults = finish(Profile((2, 30), ()), STATED)
    assert [(f.code, f.unproven) for f in faults] == [("profile-missing", True)]
    assert only(readings).steps == ()


def test_peck_drilling_with_the_last_peck_shortened() -> None:
    readings, faults = peck_along((3, 0), (-9, 0), 0, 5, 1, 0, False, STATED)
    # From Z3: pecks to -2, -7 and, 2 mm short, -9.
    assert short(only(readings)) == [
        ("F", -2, 0), ("R", -1, 0), ("F", -7, 0), ("R", -6, 0), ("F", -9, 0), ("R", 3, 0),
    ]  # fmt: skip
    assert faults == ()


def test_pecks_that_come_out_even() -> None:
    readings, _ = peck_along((3, 0), (-9, 0), 0, 6, 0.5, 0, False, STATED)
    assert short(only(readings)) == [("F", -3, 0), ("R", -2.5, 0), ("F", -9, 0), ("R", 3, 0)]


def test_pecks_that_come_out_even_but_for_rounding() -> None:
    # 0.1 + 2 is a little more than three times 0.7 in binary.
    readings, _ = peck_along((0.1, 0), (-2, 0), 0, 0.7, 0.5, 0, False, STATED)
    assert short(only(readings)) == [
        ("F", -0.6, 0), ("R", -0.1, 0), ("F", -1.3, 0), ("R", -0.8, 0), ("F", -2, 0), ("R", 0.1, 0),
    ]  # fmt: skip


def test_face_grooves_side_by_side_with_relief() -> None:
    readings, faults = peck_along((1, 20), (-4, 15), 3, 4, 0.5, 0.2, True, STATED)
    # Columns at r 20, 17 and, 1 mm short, 15. Relief against the step, outward: +0.2.
    assert short(only(readings)) == [
        ("F", -3, 20), ("R", -2.5, 20), ("F", -4, 20), ("R", -4, 20.2), ("R", 1, 20.2),
        ("R", 1, 17),
        ("F", -3, 17), ("R", -2.5, 17), ("F", -4, 17), ("R", -4, 17.2), ("R", 1, 17.2),
        ("R", 1, 15),
        ("F", -3, 15), ("R", -2.5, 15), ("F", -4, 15), ("R", -4, 15.2), ("R", 1, 15.2),
        ("R", 1, 20),
    ]  # fmt: skip
    assert faults == ()


def test_grooves_across_towards_the_chuck() -> None:
    readings, _ = peck_across((-10, 26), (-16, 20), 6, 3, 1, 0, True, STATED)
    assert short(only(readings)) == [
        ("F", -10, 23), ("R", -10, 24), ("F", -10, 20), ("R", -10, 26), ("R", -16, 26),
        ("F", -16, 23), ("R", -16, 24), ("F", -16, 20), ("R", -16, 26), ("R", -10, 26),
    ]  # fmt: skip


def test_groove_in_a_bore_pecks_outward() -> None:
    readings, _ = peck_across((-10, 8), (-10, 12), 0, 3, 1, 0, False, STATED)
    assert short(only(readings)) == [
        ("F", -10, 11), ("R", -10, 10), ("F", -10, 12), ("R", -10, 8),
    ]  # fmt: skip


def test_step_of_face_grooves_is_radial_or_on_diameter() -> None:
    readings, _ = peck_along((1, 20), (-4, 16), 4, 5, 0, 0, True, stated(pecking_x=None))
    columns = [{r for kind, _, r in short(reading) if kind == "F"} for reading in readings]
    assert [r.values for r in readings] == [("pecking_x=radial",), ("pecking_x=diameter",)]
    assert columns == [{20, 16}, {20, 18, 16}]


def test_peck_of_a_groove_is_radial_or_on_diameter() -> None:
    readings, _ = peck_across((-10, 26), (-10, 20), 0, 6, 1, 0, False, stated(pecking_x=None))
    assert [short(r) for r in readings] == [
        [("F", -10, 20), ("R", -10, 26)],
        [("F", -10, 23), ("R", -10, 24), ("F", -10, 20), ("R", -10, 26)],
    ]
    by_radius = Control(x_words="radius")
    assert only(peck_across((-10, 26), (-10, 20), 0, 6, 1, 0, False, by_radius)[0]).values == ()


def test_peck_drilling_has_nothing_along_x_to_be_read_differently() -> None:
    readings, _ = peck_along((3, 0), (-9, 0), 0, 5, 1, 0, False, stated(pecking_x=None))
    assert only(readings).values == ()


@pytest.mark.parametrize(("sign_z", "sign_r"), [(-1, -1), (-1, 1), (1, -1), (1, 1)])
def test_pecks_in_all_quadrants(sign_z: int, sign_r: int) -> None:
    """From (0, 20): 3 and 4 along, columns 0, 2 and 3 across; relief 0.5 against the step."""
    end = (4.0 * sign_z, 20.0 + 3.0 * sign_r)
    readings, _ = peck_along((0, 20), end, 2, 3, 1, 0.5, True, STATED)
    rows = [
        (kind, sign_z * z + 0.0, sign_r * (r - 20) + 0.0) for kind, z, r in short(only(readings))
    ]
    columns = [
        [("F", 3, x), ("R", 2, x), ("F", 4, x), ("R", 4, x - 0.5), ("R", 0, x - 0.5)]
        for x in (0, 2, 3)
    ]
    assert rows == [
        *columns[0], ("R", 0, 2), *columns[1], ("R", 0, 3), *columns[2], ("R", 0, 0),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("end", "step", "peck", "withdrawal", "relief", "code", "words"),
    [
        ((-9.0, 15.0), 3.0, 0.0, 1.0, 0.0, "cycle-depth-unknown", "peck above zero"),
        ((3.0, 15.0), 3.0, 5.0, 1.0, 0.0, "profile-stands-still", "never plunges"),
        ((-9.0, 15.0), 0.0, 5.0, 1.0, 0.0, "cannot-follow", "no step towards it"),
        ((-9.0, 20.0), 0.0, 5.0, 1.0, 0.2, "cannot-follow", "relief"),
        ((-9.0, 15.0), 3.0, 5.0, -1.0, 0.0, "cannot-follow", "below zero"),
        ((-9.0, 15.0), -3.0, 5.0, 1.0, 0.0, "cannot-follow", "below zero"),
        ((-9.0, 15.0), 3.0, -5.0, 1.0, 0.0, "cannot-follow", "below zero"),
        ((-9.0, 15.0), 3.0, 5.0, 1.0, -0.2, "cannot-follow", "below zero"),
        ((-9.0, 15.0), 1e-4, 0.01, 0.0, 0.0, "cannot-follow", "10,000 pecks"),
    ],
)
def test_pecking_that_cannot_be_followed(
    end: tuple[float, float],
    step: float,
    peck: float,
    withdrawal: float,
    relief: float,
    code: str,
    words: str,
) -> None:
    readings, faults = peck_along((3, 20), end, step, peck, withdrawal, relief, True, STATED)
    assert [(f.code, f.unproven) for f in faults] == [(code, True)]
    assert words in faults[0].message
    assert only(readings).steps == ()


def test_turning_pass() -> None:
    readings, faults = turn_pass((2, 30), -25, 24, 0, STATED)
    assert short(only(readings)) == [("R", 2, 24), ("F", -25, 24), ("F", -25, 30), ("R", 2, 30)]
    assert faults == ()


def test_turning_pass_with_a_taper_that_grows_towards_the_chuck() -> None:
    # R = r_start - r_end = -3: the cut begins 3 mm nearer to the axis.
    readings, _ = turn_pass((2, 30), -25, 24, -3, STATED)
    assert short(only(readings)) == [("R", 2, 21), ("F", -25, 24), ("F", -25, 30), ("R", 2, 30)]


def test_facing_pass_with_a_taper() -> None:
    # R = Z_start - Z_end = -2: the cut begins 2 mm nearer to the chuck.
    readings, faults = face_pass((2, 30), -1, 0, -2, STATED)
    assert short(only(readings)) == [("R", -3, 30), ("F", -1, 0), ("F", 2, 0), ("R", 2, 30)]
    assert faults == ()


@pytest.mark.parametrize(
    ("start", "z", "r", "taper", "steps"),
    [
        # In a bore towards the chuck, a cone that narrows; outside and in a bore away from it.
        ((2, 8), -20, 12, 1, [("R", 2, 13), ("F", -20, 12), ("F", -20, 8), ("R", 2, 8)]),
        ((-32, 30), -5, 24, -2, [("R", -32, 22), ("F", -5, 24), ("F", -5, 30), ("R", -32, 30)]),
        ((-32, 8), -5, 12, 1, [("R", -32, 13), ("F", -5, 12), ("F", -5, 8), ("R", -32, 8)]),
    ],
)
def test_turning_passes_of_the_other_quadrants(
    start: tuple[float, float],
    z: float,
    r: float,
    taper: float,
    steps: list[tuple[str, float, float]],
) -> None:
    assert short(only(turn_pass(start, z, r, taper, STATED)[0])) == steps


@pytest.mark.parametrize(
    ("start", "z", "r", "taper", "steps"),
    [
        # The far face inward; the front face and the far face from the bore outward.
        ((-32, 30), -30, 10, 1, [("R", -29, 30), ("F", -30, 10), ("F", -32, 10), ("R", -32, 30)]),
        ((2, 8), -1, 20, -2, [("R", -3, 8), ("F", -1, 20), ("F", 2, 20), ("R", 2, 8)]),
        ((-32, 8), -30, 20, 1, [("R", -29, 8), ("F", -30, 20), ("F", -32, 20), ("R", -32, 8)]),
    ],
)
def test_facing_passes_of_the_other_quadrants(
    start: tuple[float, float],
    z: float,
    r: float,
    taper: float,
    steps: list[tuple[str, float, float]],
) -> None:
    assert short(only(face_pass(start, z, r, taper, STATED)[0])) == steps
