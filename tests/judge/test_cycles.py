"""The judge's cycles against moves worked by hand; places are (z, r)."""

from __future__ import annotations

from typing import Any

import pytest
from hand_jobs import ends_of, hand_job
from judge.cycles import ProfileBlock, Rough, finish, single_pass
from judge.jobfile import read_job_text
from judge.motion import FAR, Leg
from judge.pecks import peck
from judge.play import play_programs

from judge import cycles

CONTROL = {
    "levels_from": "moved-start",
    "last_level": "left-to-profile",
    "level_end": "45-degrees",
    "home_after_cycle": "direct",
    "level_outside_profile": "to-exit",
}
X, Z, BOTH = frozenset("X"), frozenset("Z"), frozenset("XZ")
STEP = [
    ProfileBlock(True, ((2.0, 10.0),), X),
    ProfileBlock(False, ((-10.0, 10.0),), Z),
    ProfileBlock(False, ((-10.0, 16.0),), X),
]


def places(legs: list[Leg]) -> list[tuple[str, float, float]]:
    """Legs as (kind, z, r), rounded to a thousandth."""
    return [("R" if g.rapid else "F", round(g.end[0], 3), round(g.end[1], 3)) for g in legs]


def rough(*given: Any) -> list[Leg]:
    """The legs of a call whose words are given in order."""
    return cycles.rough(Rough(*given))


def test_rough_turning_of_one_step() -> None:
    # S (2, 16), u/2 = 0.5, w = 0: S' (2, 16.5); levels at 13.5 and 10.5; d = 3, e = 1.
    legs = rough((2.0, 16.0), STEP, (0.0, 0.5), 3.0, 1.0, False, CONTROL)
    assert places(legs) == [
        ("R", 2, 16.5),
        ("R", 2, 13.5), ("F", -10, 13.5), ("R", -9, 14.5), ("R", 2, 14.5),
        # The level at the entry's own radius meets the profile where it starts.
        ("R", 2, 10.5), ("F", 2, 10.5), ("R", 3, 11.5), ("R", 2, 11.5),
        ("R", 2, 10.5), ("F", -10, 10.5), ("F", -10, 16.5),
        ("R", 2, 16),
    ]  # fmt: skip


def test_levels_from_the_start_itself() -> None:
    legs = rough((2.0, 16.0), STEP, (0.0, 0.5), 3.0, 1.0, False,
                 CONTROL | {"levels_from": "start"})  # fmt: skip
    # Levels at 13 and (10 lies past 10.5) no further.
    assert [p[2] for p in places(legs) if p[0] == "F"][:2] == [13.0, 10.5]


@pytest.mark.parametrize(
    ("rule", "levels"),
    [
        ("left-to-profile", [12.0]),
        ("own-level", [12.0, 10.0]),
        ("equalised", [13.0, 10.0]),
    ],
)
def test_the_last_level(rule: str, levels: list[float]) -> None:
    # From 16 to 10 by 4: one whole level, 2 mm over.
    legs = rough((2.0, 16.0), STEP, (0.0, 0.0), 4.0, 1.0, False, CONTROL | {"last_level": rule})
    cuts = [p[2] for p in places(legs) if p[0] == "F"]
    assert cuts[: len(levels)] == levels
    assert len(cuts) == len(levels) + 2


def test_level_outside_the_profile_goes_to_the_exit() -> None:
    # S at r 20, exit at r 16: the first level at 17 meets nothing and ends at Z-10.
    legs = rough((2.0, 20.0), STEP, (0.0, 0.0), 3.0, 1.0, False, CONTROL)
    assert places(legs)[1:3] == [("R", 2, 17), ("F", -10, 17)]


def test_along_the_profile_to_the_level_above() -> None:
    taper = [STEP[0], ProfileBlock(False, ((0.0, 10.0),), Z),
             ProfileBlock(False, ((-12.0, 16.0),), BOTH)]  # fmt: skip
    legs = rough((2.0, 16.0), taper, (0.0, 0.0), 3.0, 1.0, False,
                 CONTROL | {"level_end": "along-profile"})  # fmt: skip
    # Level 13 meets the taper half way, at Z-6; up it to r 16 at Z-12.
    assert places(legs)[1:5] == [("R", 2, 13), ("F", -6, 13), ("F", -12, 16), ("R", -11, 17)]


def test_rough_facing() -> None:
    # Profile from the chuck end out: Z-6 at S's r 20, in to r 10, out to Z1. d = 3, e = 0.5.
    blocks = [
        ProfileBlock(True, ((-6.0, 20.0),), Z),
        ProfileBlock(False, ((-6.0, 10.0),), X),
        ProfileBlock(False, ((1.0, 10.0),), Z),
    ]
    legs = rough((2.0, 20.0), blocks, (0.0, 0.0), 3.0, 0.5, True, CONTROL)
    assert places(legs) == [
        ("R", 2, 20),
        ("R", -1, 20), ("F", -1, 10), ("R", -0.5, 10.5), ("R", -0.5, 20),
        ("R", -4, 20), ("F", -4, 10), ("R", -3.5, 10.5), ("R", -3.5, 20),
        ("R", -6, 20), ("F", -6, 10), ("F", 1, 10),
        ("R", 2, 20),
    ]  # fmt: skip


def test_rough_boring_goes_outwards() -> None:
    blocks = [
        ProfileBlock(True, ((2.0, 14.0),), X),
        ProfileBlock(False, ((-8.0, 14.0),), Z),
        ProfileBlock(False, ((-8.0, 9.0),), X),
    ]
    legs = rough((2.0, 9.0), blocks, (0.0, -0.5), 2.0, 0.5, False, CONTROL)
    assert places(legs)[:5] == [
        ("R", 2, 8.5), ("R", 2, 10.5), ("F", -8, 10.5), ("R", -7.5, 10), ("R", 2, 10),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("order", "way"),
    [
        ("direct", [("R", 2, 16)]),
        ("x-first", [("R", -10, 16), ("R", 2, 16)]),
        ("z-first", [("R", 2, 14), ("R", 2, 16)]),
    ],
)
def test_home_after_finishing(order: str, way: list[tuple[str, float, float]]) -> None:
    blocks = [STEP[0], ProfileBlock(False, ((-10.0, 14.0),), BOTH)]
    legs = finish((2.0, 16.0), blocks, {"home_after_cycle": order})
    assert places(legs) == [("R", 2, 10), ("F", -10, 14), *way]


def test_pecking_along_z() -> None:
    # From Z2 to Z-6 by 3: ends at Z-1, Z-4, Z-6; withdrawals of 1.
    assert places(peck((2.0, 0.0), (-6.0, 0.0), 3.0, 0.0, 1.0, 0.0, False)) == [
        ("F", -1, 0), ("R", 0, 0), ("F", -4, 0), ("R", -3, 0), ("F", -6, 0), ("R", 2, 0),
        ("R", 2, 0),
    ]  # fmt: skip


def test_grooving_in_steps() -> None:
    # Plunges at Z-20, Z-17.5 and (last step shortened) Z-16; relief 0.2 against the step.
    legs = peck((-20.0, 21.0), (-16.0, 18.0), 5.0, 2.5, 0.5, 0.2, True)
    assert places(legs) == [
        ("F", -20, 18), ("R", -20.2, 18), ("R", -20.2, 21),
        ("R", -17.5, 21), ("F", -17.5, 18), ("R", -17.7, 18), ("R", -17.7, 21),
        ("R", -16, 21), ("F", -16, 18), ("R", -16.2, 18), ("R", -16.2, 21),
        ("R", -20, 21),
    ]  # fmt: skip


def test_single_passes() -> None:
    assert places(single_pass((2.0, 20.0), (-10.0, 15.0), -1.0, False)) == [
        ("R", 2, 14), ("F", -10, 15), ("F", -10, 20), ("R", 2, 20),
    ]  # fmt: skip
    assert places(single_pass((2.0, 20.0), (-1.0, 0.0), 0.0, True)) == [
        ("R", -1, 20), ("F", -1, 0), ("F", 2, 0), ("R", 2, 20),
    ]  # fmt: skip


def test_g90_repeats_from_the_same_start() -> None:
    assert ends_of("G00 X50. Z2.\nG90 X40. Z-20. F0.2\nX36.\nU-20. W-12.\nG00 X60.") == [
        ("R", 2, 25),
        ("R", 2, 20), ("F", -20, 20), ("F", -20, 25), ("R", 2, 25),
        ("R", 2, 18), ("F", -20, 18), ("F", -20, 25), ("R", 2, 25),
        ("R", 2, 15), ("F", -10, 15), ("F", -10, 25), ("R", 2, 25),
        ("R", 2, 30),
    ]  # fmt: skip


def test_profile_after_its_call_is_skipped() -> None:
    program = (
        "G00 X32. Z2.\nG71 U4. R1.\nG71 P10 Q20 U0. W0. F0.2\nN10 G00 X24.\nG01 Z-5.\n"
        "N20 X32.\nG00 Z9."
    )
    assert ends_of(program)[-2:] == [("R", 2, 16), ("R", 9, 16)]


def test_arc_by_radius_and_by_centre_are_one() -> None:
    by_radius = ends_of("G00 X20. Z0.\nG03 X30. Z-5. R5.")
    by_centre = ends_of("G00 X20. Z0.\nG03 X30. Z-5. I0. K-5.")
    assert by_radius == by_centre
    # A quarter of a circle about (-5, 10): half way at 45 degrees.
    middle = by_radius[len(by_radius) // 2]
    assert (middle[1] + 5) ** 2 + (middle[2] - 10) ** 2 == pytest.approx(25, abs=0.02)
    assert middle[1] > -5 and middle[2] > 10


def test_bent_rapid_ends_the_shorter_axis_first() -> None:
    files = hand_job("G00 X100. Z0.\nG00 X80. Z-40.", rapid="bent")
    played = play_programs(read_job_text(files["job.toml"]), files)
    # Rates X 5000 radial, Z 10000: X does its 10 while Z does 20.
    assert [m.end for m in played.moves[0]][1:] == [(-20.0, 40.0), (-40.0, 40.0)]
    files = hand_job("G00 X80. Z-40.\nG00 X100. Z0.", rapid="bent")
    played = play_programs(read_job_text(files["job.toml"]), files)
    assert [m.end for m in played.moves[0]][1:] == [(-20.0, 50.0), (0.0, 50.0)]


def test_home_leaves_both_coordinates_beyond() -> None:
    files = hand_job("G00 X50. Z2.\nG28 U0 W0")
    last = play_programs(read_job_text(files["job.toml"]), files).moves[0][-1]
    assert last.end == (FAR, FAR) and last.anywhere


@pytest.mark.parametrize(
    ("family", "program"),
    [
        ("cycles-g77", "G00 X50. Z2.\nG77 X40. Z-20.\nG79 X0. Z1."),
        ("cycles-g20", "G00 X50. Z2.\nG20 X40. Z-20.\nG24 X0. Z1."),
    ],
)
def test_the_other_families_say_the_same(family: str, program: str) -> None:
    own = ends_of("G00 X50. Z2.\nG90 X40. Z-20.\nG94 X0. Z1.")
    files = hand_job(program)
    files["one.nc"] = files["one.nc"].replace("G21\n", "G71\n" if "g20" in family else "G21\n")
    files["job.toml"] = files["job.toml"].replace("cycles-g90", family)
    played = play_programs(read_job_text(files["job.toml"]), files)
    assert [(round(m.end[0], 3), round(m.end[1], 3)) for m in played.moves[0]] == [
        (z, r) for _, z, r in own
    ]
