"""G71 and G72 against step lists worked by hand from the description of the cycles."""

from __future__ import annotations

import itertools
import math

import pytest
from cycle_cases import STATED, arc_move, only, profile, short, stated
from shapely import LineString, Point

from standclear.motions.cycles import rough_across, rough_along
from standclear.motions.step import Profile, ProfileMove
from standclear.motions.table import Kind, Path

PIN = profile((2, 30), (2, 20), (-30, 20), (-30, 28))
"""Outside, towards the chuck: 10 mm radial to the pin, a wall at Z-30."""


def test_outside_towards_the_chuck() -> None:
    readings, faults = rough_along(PIN, 4, 1, 0, 0, STATED)
    assert short(only(readings)) == [
        ("R", 2, 26), ("F", -30, 26), ("R", -29, 27), ("R", 2, 27),
        ("R", 2, 22), ("F", -30, 22), ("R", -29, 23), ("R", 2, 23),
        ("R", 2, 20), ("F", -30, 20), ("F", -30, 28), ("R", 2, 30),
    ]  # fmt: skip
    assert faults == ()
    assert only(readings).values == ()


def test_blocks_of_the_profile_stand_beside_the_steps_that_they_make() -> None:
    readings, _ = rough_along(PIN, 4, 1, 0, 0, STATED)
    assert [step.profile for step in only(readings).steps] == [
        -1, 12, -1, -1, -1, 12, -1, -1, 10, 11, 12, -1,
    ]  # fmt: skip


def test_only_the_withdrawal_is_straight_on_every_machine() -> None:
    readings, _ = rough_along(PIN, 4, 1, 0, 0, STATED)
    straight = [step.end for step in only(readings).steps if step.straight]
    assert straight == [(-29, 27), (-29, 23)]


def test_allowance_moves_start_and_profile() -> None:
    readings, faults = rough_along(PIN, 4, 1, 1.0, 0.2, STATED)
    assert short(only(readings)) == [
        ("R", 2.2, 30.5),
        ("R", 2.2, 26.5), ("F", -29.8, 26.5), ("R", -28.8, 27.5), ("R", 2.2, 27.5),
        ("R", 2.2, 22.5), ("F", -29.8, 22.5), ("R", -28.8, 23.5), ("R", 2.2, 23.5),
        ("R", 2.2, 20.5), ("F", -29.8, 20.5), ("F", -29.8, 28.5), ("R", 2, 30),
    ]  # fmt: skip
    assert faults == ()


def test_levels_counted_from_the_start_as_called() -> None:
    readings, _ = rough_along(PIN, 4, 1, 1.0, 0.2, stated(levels_from="start"))
    feeds = [s.end for s in only(readings).steps if s.kind is Kind.FEED]
    assert feeds[:2] == [(-29.8, 26.0), (-29.8, 22.0)]
    assert short(only(readings))[1] == ("R", 2.2, 26)


def test_first_block_fed_makes_every_infeed_a_feed() -> None:
    fed = profile((2, 30), (2, 20), (-30, 20), (-30, 28), first=Kind.FEED)
    readings, _ = rough_along(fed, 4, 1, 0, 0, STATED)
    assert "".join(letter for letter, _, _ in short(only(readings))) == "FFRRFFRRFFFR"


def test_last_level_of_its_own() -> None:
    readings, _ = rough_along(PIN, 4, 1, 0, 0, stated(last_level="own-level"))
    assert short(only(readings))[8:13] == [
        ("R", 2, 20), ("F", -30, 20), ("R", -29, 21), ("R", 2, 21), ("R", 2, 20),
    ]  # fmt: skip


def test_levels_equalised() -> None:
    readings, _ = rough_along(PIN, 4, 1, 0, 0, stated(last_level="equalised"))
    infeeds = [s.end[1] for s in only(readings).steps[0:12:4]]
    # 10 mm in the 3 levels that steps of 4 mm at most need.
    assert infeeds == pytest.approx([30 - 10 / 3, 30 - 20 / 3, 20])


def test_level_at_the_entry_is_not_past_it() -> None:
    """10 mm in steps of 5: the second level lies at the entry, whatever becomes of a rest."""
    for last in ("left-to-profile", "own-level", "equalised"):
        readings, _ = rough_along(PIN, 5, 1, 0, 0, stated(last_level=last))
        assert short(only(readings))[:8] == [
            ("R", 2, 25), ("F", -30, 25), ("R", -29, 26), ("R", 2, 26),
            ("R", 2, 20), ("F", -30, 20), ("R", -29, 21), ("R", 2, 21),
        ]  # fmt: skip


def test_inside_towards_the_chuck() -> None:
    bore = profile((2, 8), (2, 15), (-20, 15), (-20, 10))
    readings, faults = rough_along(bore, 3, 0.5, -1.0, 0.2, STATED)
    assert short(only(readings)) == [
        ("R", 2.2, 7.5),
        ("R", 2.2, 10.5), ("F", -19.8, 10.5), ("R", -19.3, 10), ("R", 2.2, 10),
        ("R", 2.2, 13.5), ("F", -19.8, 13.5), ("R", -19.3, 13), ("R", 2.2, 13),
        ("R", 2.2, 14.5), ("F", -19.8, 14.5), ("F", -19.8, 9.5), ("R", 2, 8),
    ]  # fmt: skip
    assert faults == ()


def test_outside_away_from_the_chuck() -> None:
    back = profile((-40, 30), (-40, 20), (-5, 20), (-5, 28))
    readings, faults = rough_along(back, 6, 1, 0.4, -0.1, STATED)
    assert short(only(readings)) == [
        ("R", -40.1, 30.2),
        ("R", -40.1, 24.2), ("F", -5.1, 24.2), ("R", -6.1, 25.2), ("R", -40.1, 25.2),
        ("R", -40.1, 20.2), ("F", -5.1, 20.2), ("F", -5.1, 28.2), ("R", -40, 30),
    ]  # fmt: skip
    assert faults == ()


def test_inside_away_from_the_chuck() -> None:
    back = profile((-40, 8), (-40, 15), (-5, 15), (-5, 10))
    readings, faults = rough_along(back, 4, 1, -0.4, -0.1, STATED)
    assert short(only(readings)) == [
        ("R", -40.1, 7.8),
        ("R", -40.1, 11.8), ("F", -5.1, 11.8), ("R", -6.1, 10.8), ("R", -40.1, 10.8),
        ("R", -40.1, 14.8), ("F", -5.1, 14.8), ("F", -5.1, 9.8), ("R", -40, 8),
    ]  # fmt: skip
    assert faults == ()


def test_thicker_bar_levels_outside_the_profile_go_to_the_exit() -> None:
    short_exit = profile((2, 30), (2, 20), (-30, 20), (-30, 25))
    readings, faults = rough_along(short_exit, 2, 1, 0, 0, STATED)
    feeds = [(s.end, s.profile) for s in only(readings).steps if s.kind is Kind.FEED]
    # 28 and 26 have nothing ahead; 24 and 22 meet the wall; 20 runs along the pin to it.
    assert feeds[:5] == [
        ((-30, 28), -1), ((-30, 26), -1), ((-30, 24), 12), ((-30, 22), 12), ((-30, 20), 12),
    ]  # fmt: skip
    assert faults == ()


@pytest.mark.parametrize(("row", "words"), [("alarm", "stops with"), (None, "may stop with")])
def test_level_outside_the_profile_is_told_where_the_control_alarms(
    row: str | None, words: str
) -> None:
    short_exit = profile((2, 30), (2, 20), (-30, 20), (-30, 25))
    open_row = stated(level_outside_profile=row)
    readings, faults = rough_along(short_exit, 2, 1, 0, 0, open_row)
    assert [(f.code, f.unproven, f.stop) for f in faults] == [
        ("level-outside-profile", False, False)
    ]
    assert "2 roughing levels" in faults[0].message
    assert words in faults[0].message
    assert short(only(readings))[1] == ("F", -30, 28)
    high_exit = profile((2, 30), (2, 20), (-30, 20), (-30, 28))
    assert rough_along(high_exit, 2, 1, 0, 0, open_row)[1] == ()


def test_levels_end_on_a_taper_exactly() -> None:
    cone = profile((2, 30), (2, 10), (-20, 20), (-40, 20), (-40, 31))
    readings, _ = rough_along(cone, 5, 1, 0, 0, STATED)
    feeds = [s.end for s in only(readings).steps if s.kind is Kind.FEED]
    # The cone rises 10 mm in 22: at r 15 it is half way, Z-9. At r 20 the level only touches the
    # cylinder and ends where that begins. At r 10 it stands on the cone's foot and feeds nothing.
    assert feeds[:3] == [(-40, 25), (-20, 20), (-9, 15)]
    assert feeds[3] == (-20, 20)


def test_level_ends_before_the_arc_and_near_it() -> None:
    """A rounded corner of R10 about (-10, 10): the true arc, not its chord, stops the level."""
    start = (2.0, 26.0)
    arc = arc_move((-10, 10), 10, 0, 90, chords=40, block=12)
    moves = (
        ProfileMove(Kind.RAPID, ((2, 10),), 10, True, False),
        ProfileMove(Kind.FEED, ((0, 10),), 11, False, True),
        arc,
        ProfileMove(Kind.FEED, ((-30, 20),), 13, False, True),
        ProfileMove(Kind.FEED, ((-30, 25),), 14, True, False),
    )
    readings, _ = rough_along(Profile(start, moves), 1.7, 0.5, 0, 0, STATED)
    ends = [s for s in only(readings).steps if s.kind is Kind.FEED and s.profile == 12]
    levels = [s for s in ends if any(abs(s.end[1] - (26 - 1.7 * k)) < 1e-9 for k in range(1, 10))]
    assert len(levels) == 6  # 19.2, 17.5, 15.8, 14.1, 12.4, 10.7
    for step in levels:
        z, r = step.end
        true = -10 + math.sqrt(100 - (r - 10) ** 2)
        slope = math.sqrt(100 - (r - 10) ** 2) / 10  # sine of the angle between level and arc
        assert 0 <= z - true <= 2.1 * arc.sagitta / (1 - slope**2) ** 0.5
        assert step.sagitta == arc.sagitta


@pytest.mark.parametrize(
    ("row", "way"),
    [
        ("direct", [("R", 2, 30)]),
        ("x-first", [("R", -30, 30), ("R", 2, 30)]),
        ("z-first", [("R", 2, 28), ("R", 2, 30)]),
        (None, [("?", 2, 30)]),
    ],
)
def test_home(row: str | None, way: list[tuple[str, float, float]]) -> None:
    readings, _ = rough_along(PIN, 4, 1, 0, 0, stated(home_after_cycle=row))
    assert short(only(readings))[11:] == way


@pytest.mark.parametrize(
    ("row", "way"),
    [
        ("x-first", [("R", 0, 30), ("R", 2, 30)]),
        ("z-first", [("R", 2, 8), ("R", 2, 30)]),
    ],
)
def test_home_across_the_face(row: str, way: list[tuple[str, float, float]]) -> None:
    face = profile((2, 30), (-10, 30), (-10, 20), (-4, 20), (-4, 8), (0, 8))
    readings, _ = rough_across(face, 3, 1, 0, 0, stated(home_after_cycle=row))
    assert short(only(readings))[-2:] == way


def test_across_the_face() -> None:
    face = profile((2, 30), (-10, 30), (-10, 20), (-4, 20), (-4, 8), (0, 8))
    readings, faults = rough_across(face, 3, 1, 0, 0, STATED)
    assert short(only(readings)) == [
        ("R", -1, 30), ("F", -1, 8), ("R", 0, 9), ("R", 0, 30),
        # touches the face at Z-4 where that begins
        ("R", -4, 30), ("F", -4, 20), ("R", -3, 21), ("R", -3, 30),
        ("R", -7, 30), ("F", -7, 20), ("R", -6, 21), ("R", -6, 30),
        ("R", -10, 30), ("F", -10, 20), ("R", -9, 21), ("R", -9, 30),
        ("R", -10, 30), ("F", -10, 20), ("F", -4, 20), ("F", -4, 8), ("F", 0, 8), ("R", 2, 30),
    ]  # fmt: skip
    assert faults == ()


def test_across_the_face_with_allowance_u_on_diameter() -> None:
    face = profile((2, 30), (-4, 30), (-4, 8), (0, 8))
    readings, faults = rough_across(face, 4, 1, 0.6, 0.2, STATED)
    assert short(only(readings)) == [
        ("R", 2.2, 30.3),
        ("R", -1.8, 30.3), ("F", -1.8, 8.3), ("R", -0.8, 9.3), ("R", -0.8, 30.3),
        ("R", -3.8, 30.3), ("F", -3.8, 8.3), ("F", 0.2, 8.3), ("R", 2, 30),
    ]  # fmt: skip
    assert faults == ()


def test_along_the_profile_to_the_level_above() -> None:
    cone = profile((2, 30), (2, 10), (0, 10), (-20, 20), (-20, 31))
    readings, _ = rough_along(cone, 8, 1, 0, 0, stated(level_end="along-profile"))
    assert short(only(readings)) == [
        # Level 22 meets the wall; S' is 8 mm above it on the same wall.
        ("R", 2, 22), ("F", -20, 22), ("F", -20, 30), ("R", -19, 31), ("?", 2, 30),
        # Level 14 meets the cone at Z-8 and follows it and the wall up to 22.
        ("R", 2, 14), ("F", -8, 14), ("F", -20, 20), ("F", -20, 22), ("R", -19, 23), ("?", 2, 22),
        ("R", 2, 10), ("F", 0, 10), ("F", -20, 20), ("F", -20, 31), ("R", 2, 30),
    ]  # fmt: skip


def test_along_the_profile_ends_with_the_profile() -> None:
    low = profile((2, 30), (2, 20), (-30, 20), (-30, 25))
    readings, _ = rough_along(low, 4, 1, 0, 0, stated(level_end="along-profile"))
    assert short(only(readings))[:9] == [
        ("R", 2, 26), ("F", -30, 26), ("R", -29, 27), ("R", 2, 27),
        ("R", 2, 22), ("F", -30, 22), ("F", -30, 25), ("R", -29, 26), ("?", 2, 25),
    ]  # fmt: skip


def test_open_rows_become_readings_that_name_them() -> None:
    open_rows = stated(levels_from=None, last_level=None, level_end=None)
    readings, _ = rough_along(PIN, 4, 1, 1.0, 0.2, open_rows)
    # From S' (depth 10): left 4 8, own 4 8 10, equalised. From S (depth 9.5 after 0.5) likewise.
    assert len(readings) == 12
    assert readings[0].values == (
        "levels_from=moved-start",
        "last_level=left-to-profile",
        "level_end=45-degrees",
    )
    assert len({reading.values for reading in readings}) == 12


def test_readings_that_coincide_are_dropped_and_their_rows_not_named() -> None:
    no_allowance = rough_along(PIN, 5, 1, 0, 0, stated(levels_from=None, last_level=None))
    assert only(no_allowance[0]).values == ()
    single = rough_along(PIN, 12, 1, 0, 0, stated(last_level=None))[0]
    # One level either way: own and equalised are the same.
    assert [r.values for r in single] == [
        ("last_level=left-to-profile",),
        ("last_level=own-level",),
    ]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("left", "left to the pass along the profile"),
        (None, "may stop with an alarm"),
        ("alarm", "stops with an alarm"),
    ],
)
def test_pocket_in_plain_roughing_is_left_to_the_profile_pass(row: str | None, words: str) -> None:
    neck = profile((2, 30), (2, 18), (-10, 18), (-12, 14), (-18, 14), (-20, 22), (-20, 31))
    control = stated(pocket_in_plain_roughing=row)
    readings, faults = rough_along(neck, 6, 1, 0, 0, control)
    assert [(f.code, f.block, f.unproven) for f in faults] == [("profile-not-monotone", 12, False)]
    assert words in faults[0].message
    assert short(only(readings))[:8] == [
        ("R", 2, 24), ("F", -20, 24), ("R", -19, 25), ("R", 2, 25),
        # Level 18 runs along the pin, over the neck and meets the far wall half way up.
        ("R", 2, 18), ("F", -19, 18), ("R", -18, 19), ("R", 2, 19),
    ]  # fmt: skip


def test_climb_along_the_profile_stops_before_a_pocket() -> None:
    neck = profile((2, 30), (2, 10), (-5, 20), (-10, 14), (-15, 28), (-15, 31))
    readings, _ = rough_along(neck, 8, 1, 0, 0, stated(level_end="along-profile"))
    steps = short(only(readings))
    climb = steps[steps.index(("R", 2, 14)) :][:4]
    # Level 14 meets the first flank at Z-0.8 (0.4 of 7 mm from Z2) and climbs to its top.
    assert climb == [("R", 2, 14), ("F", -0.8, 14), ("F", -5, 20), ("R", -4, 21)]


def test_climb_along_a_chord_straight_across_the_levels_ends_at_the_level_above() -> None:
    """An arc of radius 5 about (-24, 23) from (-20, 20) to (-20, 26) as one chord: it bulges by 1,
    so the level at 20 ends at Z-19 at the earliest; 25 lies on the chord itself."""
    half = math.degrees(math.atan2(3, 4))
    moves = (
        ProfileMove(Kind.RAPID, ((2, 20),), 10, True, False),
        ProfileMove(Kind.FEED, ((-20, 20),), 11, False, True),
        arc_move((-24, 23), 5, -half, half, 1, block=12),
        ProfileMove(Kind.FEED, ((-30, 26),), 13, False, True),
        ProfileMove(Kind.FEED, ((-30, 31),), 14, True, False),
    )
    control = stated(level_end="along-profile")
    steps = short(only(rough_along(Profile((2, 30), moves), 5, 1, 0, 0, control)[0]))
    at = steps.index(("F", -19, 20))
    assert steps[at : at + 3] == [("F", -19, 20), ("F", -20, 25), ("R", -19, 26)]


def rounded_entry() -> Profile:
    """A profile whose first block is an arc."""
    first = arc_move((2, 20), 10, 90, 0, chords=3, block=10)
    return Profile((2, 30), (first, ProfileMove(Kind.FEED, ((-30, 20),), 11, False, True)))


@pytest.mark.parametrize(
    ("call", "code", "words"),
    [
        ((PIN, 0.0, 1.0), "profile-stands-still", "depth of a level"),
        ((PIN, 4.0, -1.0), "cannot-follow", "withdraws by less than nothing"),
        ((PIN, 1e-5, 1.0), "cannot-follow", "10,000 levels"),
        ((profile((2, 20), (2, 20), (-30, 20)), 4.0, 1.0), "profile-stands-still", "first block"),
        ((profile((2, 30), (2, 20), (2, 10)), 4.0, 1.0), "profile-stands-still", "ends level"),
        ((profile((2, 30), (1, 20), (1, 20)), 4.0, 1.0), "profile-stands-still", "nowhere"),
        ((rounded_entry(), 4.0, 1.0), "cannot-follow", "arc"),
    ],
)
def test_what_cannot_be_followed_is_unproven_and_still_goes_home(
    call: tuple[Profile, float, float], code: str, words: str
) -> None:
    readings, faults = rough_along(*call, 0.5, 0.1, stated(home_after_cycle=None))
    assert [(f.code, f.unproven) for f in faults] == [(code, True)]
    assert words in faults[0].message
    assert short(only(readings))[-1] == ("?", *call[0].start)
    assert only(readings).steps[-1].path is Path.ANYWHERE


@pytest.mark.parametrize(
    ("part", "block"),
    [
        # Back level with the clearance point in the last of the blocks 10, 11 and 12.
        (profile((2, 30), (2, 20), (-9, 20), (2, 24)), 12),
        # The first block does not go to depth; nothing moves after the first.
        (profile((2, 20), (2, 20), (-30, 20)), 10),
        (profile((2, 30), (1, 20), (1, 20)), 10),
        (rounded_entry(), 10),
    ],
)
def test_the_block_of_the_profile_at_fault_is_named(part: Profile, block: int) -> None:
    _, (fault,) = rough_along(part, 4, 1, 0, 0, STATED)
    assert fault.block == block


def test_empty_profile() -> None:
    readings, faults = rough_along(Profile((2, 30), ()), 4, 1, 0, 0, STATED)
    assert faults[0].code == "profile-missing"
    assert faults[0].unproven
    assert only(readings).steps == ()


def test_rapid_written_inside_the_profile_is_credited_with_nothing() -> None:
    moves = (*PIN.moves[:2], ProfileMove(Kind.RAPID, ((-30, 28),), 12, True, False))
    readings, _ = rough_along(Profile(PIN.start, moves), 4, 1, 0, 0, STATED)
    assert short(only(readings))[-2] == ("R", -30, 28)


def test_feed_and_speed_of_the_profile_serve_finishing_only() -> None:
    moves = (PIN.moves[0], *(ProfileMove(m.kind, m.points, m.block, m.has_x, m.has_z, feed=0.1)
                             for m in PIN.moves[1:]))  # fmt: skip
    readings, _ = rough_along(Profile(PIN.start, moves), 4, 1, 0, 0, STATED)
    assert {step.feed for step in only(readings).steps} == {None}


def test_profile_that_runs_back_is_not_followed() -> None:
    hook = profile((2, 30), (2, 18), (-12, 18), (-10, 22), (-20, 24), (-20, 31))
    readings, faults = rough_along(hook, 6, 1, 0, 0, STATED)
    assert [(f.code, f.block, f.unproven) for f in faults] == [("profile-not-monotone", 12, True)]
    # Level 24 meets the shoulder that the hook carries, level 18 runs under it along the pin.
    assert short(only(readings))[1] == ("F", -20, 24)


def rounded(*more: ProfileMove, top: float = 26.0) -> Profile:
    """Entry at r 10 and Z0, then `more`, then out at Z-40."""
    out = ProfileMove(Kind.FEED, ((-40, top),), 19, True, True)
    return Profile((0, top), (ProfileMove(Kind.RAPID, ((0, 10),), 10, True, False), *more, out))


def test_level_at_the_entry_of_an_arc_feeds_nothing() -> None:
    part = rounded(arc_move((-10, 10), 10, 0, 90, chords=6, block=12))
    readings, _ = rough_along(part, 8, 0.5, 0, 0, STATED)
    assert short(only(readings))[4:8] == [
        ("R", 0, 10), ("R", 0.5, 10.5), ("R", 0, 10.5), ("R", 0, 10),
    ]  # fmt: skip


def test_level_between_a_chord_and_its_arc_ends_at_the_arc() -> None:
    """Chords of 20 degrees: the one at the crest lies 0.152 mm below it, the level 0.08 mm."""
    crest = arc_move((-10, 10), 10, 60, 120, chords=3, block=12)
    foot = ProfileMove(Kind.FEED, ((-5, 10 + 10 * math.sin(math.pi / 3)),), 11, True, True)
    readings, _ = rough_along(rounded(foot, crest), 26 - 19.92, 0.5, 0, 0, STATED)
    _, z, r = short(only(readings))[1]
    assert r == 19.92
    assert -10 + math.sqrt(100 - 9.92**2) <= z <= -5


def test_climb_along_an_arc_stays_on_its_chords_and_stops_before_the_level_above() -> None:
    arc = arc_move((-10, 10), 10, 0, 90, chords=5, block=12)
    corners = [(0.0, 10.0), *arc.points]
    for hundredths in range(90, 400, 7):
        depth = hundredths / 100
        control = stated(level_end="along-profile")
        steps = only(rough_along(rounded(arc), depth, 0.5, 0, 0, control)[0]).steps
        climbs = 0
        for before, step, after in zip(steps, steps[1:], steps[2:], strict=False):
            ends_climb = step.profile == 12 and before.profile == 12 and after.straight
            if not ends_climb:
                continue
            climbs += 1
            z, r = step.end
            true = -10 + math.sqrt(max(100 - (r - 10) ** 2, 0))
            nearest = min(
                LineString(pair).distance(Point(z, r)) for pair in itertools.pairwise(corners)
            )
            assert nearest < 1e-9
            above = min(26 - depth * k for k in range(99) if 26 - depth * k >= r - 1e-9)
            assert z >= -10 + math.sqrt(max(100 - (above - 10) ** 2, 0)) - 1e-9
            assert z <= true + 1e-9
        assert climbs >= 1


def test_no_climb_into_a_pocket_that_begins_with_an_arc() -> None:
    start = (2.0, 30.0)
    moves = (
        ProfileMove(Kind.RAPID, ((2, 18),), 10, True, False),
        ProfileMove(Kind.FEED, ((-10, 18),), 11, False, True),
        arc_move((-14, 18), 4, 0, -90, chords=8, block=12),
        ProfileMove(Kind.FEED, ((-18, 14),), 13, False, True),
        ProfileMove(Kind.FEED, ((-20, 31),), 14, True, True),
    )
    control = stated(level_end="along-profile")
    steps = short(only(rough_along(Profile(start, moves), 12, 1, 0, 0, control)[0]))
    assert steps[0] == ("R", 2, 18)
    assert steps[1][0] == "F"
    assert -10 <= steps[1][1] <= -9.9
    assert steps[2] == ("R", pytest.approx(steps[1][1] + 1), 19)


def test_level_that_begins_on_a_profile_running_back_feeds_nothing() -> None:
    """The stretch at r 20 from Z5 to Z-10 spans Z2, where the levels begin."""
    back = profile((2, 30), (2, 18), (5, 20), (-10, 20), (-10, 31))
    readings, faults = rough_along(back, 10, 1, 0, 0, STATED)
    assert faults[0].unproven
    assert short(only(readings))[:3] == [("R", 2, 20), ("R", 3, 21), ("R", 2, 21)]
