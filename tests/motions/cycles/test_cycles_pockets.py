"""G71 and G72 with pockets against step lists worked by hand, and what must hold of any of them.

The second derivation of what is open looks at no level: whatever lies above a feed made so far is
open, and every rapid must lie in that.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Literal

import pytest
from cycle_cases import arc_move, only, profile, short, stated
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPoint, Polygon, box, union_all
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Control
from standclear.motions.cycles import rough_across, rough_along
from standclear.motions.step import Position, Profile, ProfileMove, Reading, Step
from standclear.motions.table import Kind, Path

POCKETS = stated(
    pocket_order="by-level", pocket_levels_begin="moved-start", pocket_infeed="straight"
)


def with_pockets(part: Profile) -> Profile:
    """The profile with X and Z both written in its first block."""
    first = replace(part.moves[0], has_x=True, has_z=True)
    return Profile(part.start, (first, *part.moves[1:]))


NECK = with_pockets(profile((2, 26), (2, 22), (-6, 22), (-10, 18), (-20, 18), (-24, 22), (-24, 26)))
"""A neck of r 18 with flanks of 45 degrees behind a collar of r 22."""
NECKS = with_pockets(
    profile(
        (2, 26), (2, 23), (-4, 23), (-10, 17), (-14, 17), (-20, 23), (-24, 23), (-30, 17),
        (-34, 17), (-40, 23), (-40, 26),
    )
)  # fmt: skip
"""Two necks with a collar between them."""


def test_one_pocket_by_hand() -> None:
    readings, faults = rough_along(NECK, 2, 0.5, 0, 0, POCKETS)
    assert short(only(readings)) == [
        # Over all, down to the collar's own radius.
        ("R", 2, 24), ("F", -24, 24), ("R", -23.5, 24.5), ("R", 2, 24.5),
        ("R", 2, 22), ("F", -24, 22), ("R", -23.5, 22.5),
        # In the neck: flanks at r 20 from Z-8 to Z-22, bottom from Z-10 to Z-20.
        ("?", -8, 26), ("R", -8, 22), ("F", -8, 20), ("F", -22, 20), ("R", -21.5, 20.5),
        ("?", -10, 26), ("R", -10, 20), ("F", -10, 18), ("F", -20, 18), ("R", -19.5, 18.5),
        # Out over the collar, which is cut to r 22, and along the profile.
        ("R", -19.5, 22.5), ("?", 2, 26), ("R", 2, 22),
        ("F", -6, 22), ("F", -10, 18), ("F", -20, 18), ("F", -24, 22), ("F", -24, 26),
        ("R", 2, 26),
    ]  # fmt: skip
    assert faults == ()


def test_infeed_along_the_wall() -> None:
    readings, _ = rough_along(NECK, 2, 0.5, 0, 0, POCKETS.model_copy(
        update={"pocket_infeed": "along-profile"}))  # fmt: skip
    steps = only(readings).steps
    down = [i for i, s in enumerate(short(only(readings))) if s[0] == "?"][:2]
    assert [short(only(readings))[i + 1 : i + 3] for i in down] == [
        [("R", -6, 22), ("F", -8, 20)],
        [("R", -8, 20), ("F", -10, 18)],
    ]
    assert [steps[i + 2].profile for i in down] == [12, 12]


def test_levels_that_end_along_the_profile_climb_to_the_level_above() -> None:
    readings, _ = rough_along(NECK, 2, 0.5, 0, 0, POCKETS.model_copy(
        update={"level_end": "along-profile"}))  # fmt: skip
    steps = short(only(readings))
    assert steps[:5] == [
        ("R", 2, 24), ("F", -24, 24), ("F", -24, 26), ("R", -23.5, 26.5), ("?", 2, 26.5),
    ]  # fmt: skip
    at = steps.index(("F", -22, 20))
    assert steps[at : at + 4] == [
        ("F", -22, 20),
        ("F", -24, 22),
        ("R", -23.5, 22.5),
        ("?", -10, 26),
    ]


@pytest.mark.parametrize("infeed", ["straight", "along-profile"])
def test_a_pocket_that_begins_at_the_clearance_point_is_entered_by_feed(
    infeed: Literal["straight", "along-profile"],
) -> None:
    """The profile goes straight down from its entry: the metal under the entry stands, so the way
    down into it is fed from the level above."""
    part = with_pockets(profile((2, 26), (2, 22), (2, 18), (-20, 18), (-24, 22), (-24, 26)))
    control = POCKETS.model_copy(update={"pocket_infeed": infeed})
    steps = short(only(rough_along(part, 2, 0.5, 0, 0, control)[0]))
    assert steps[4:11] == [
        ("R", 2, 22), ("F", -24, 22), ("R", -23.5, 22.5), ("?", 2, 26),
        ("R", 2, 22), ("F", 2, 20), ("F", -22, 20),
    ]  # fmt: skip


def feeds(reading: Reading) -> list[Position]:
    """Ends of the level feeds: those that run along Z alone."""
    ends = [reading.steps[0].end, *(s.end for s in reading.steps)]
    return [
        (z, r)
        for (_, before), (z, r), step in zip(ends, ends[1:], reading.steps, strict=False)
        if step.kind is Kind.FEED and before == r
    ]


def test_two_pockets_on_one_level_before_the_next() -> None:
    # Levels 24, 22, 20, 18; flanks of 45 degrees from r 23 at Z-4, -20, -24 and -40.
    reading = only(rough_along(NECKS, 2, 0.5, 0, 0, POCKETS)[0])
    assert feeds(reading)[:7] == [
        (-40, 24), (-19, 22), (-39, 22), (-17, 20), (-37, 20), (-15, 18), (-35, 18),
    ]  # fmt: skip


def test_two_pockets_one_after_the_other() -> None:
    control = POCKETS.model_copy(update={"pocket_order": "by-pocket"})
    reading = only(rough_along(NECKS, 2, 0.5, 0, 0, control)[0])
    assert feeds(reading)[:7] == [
        (-40, 24), (-19, 22), (-17, 20), (-15, 18), (-39, 22), (-37, 20), (-35, 18),
    ]  # fmt: skip


def test_level_that_touches_the_collar_between_ends_there_and_goes_on_behind_it() -> None:
    """Level 23 lies on both collars: it may or may not run over the second, and is not counted on
    to do so."""
    reading = only(rough_along(NECKS, 3, 0.5, 0, 0, POCKETS)[0])
    assert feeds(reading)[:2] == [(-20, 23), (-40, 23)]


def test_the_way_from_pocket_to_pocket_clears_what_is_left_of_the_collar() -> None:
    """Levels 24, 22, 20, 18: the collar of r 23 is cut to 24 only. From the first neck on level 22
    the tool rises to 24 and the withdrawal, and goes over to the second neck at or above that."""
    reading = only(rough_along(NECKS, 2, 0.5, 0, 0, POCKETS)[0])
    steps = short(reading)
    at = steps.index(("F", -19, 22))
    assert steps[at : at + 6] == [
        ("F", -19, 22), ("R", -18.5, 22.5), ("R", -18.5, 24.5), ("?", -25, 26), ("R", -25, 24),
        ("F", -25, 22),
    ]  # fmt: skip


def test_levels_in_front_of_the_entry_begin_on_the_line_to_it() -> None:
    """S (2, 26) to the entry (-1, 20): at r 24 the line is at Z1, at 22 at Z0, at 24.5 at Z1.25."""
    part = with_pockets(profile((2, 26), (-1, 20), (-9, 20), (-12, 17), (-14, 26)))
    control = POCKETS.model_copy(update={"pocket_levels_begin": "entry-line"})
    steps = short(only(rough_along(part, 2, 0.5, 0, 0, control)[0]))
    assert steps[0] == ("R", 1, 24)
    assert steps[3:5] == [("R", 1.25, 24.5), ("R", 0, 22)]
    plain = short(only(rough_along(part, 2, 0.5, 0, 0, POCKETS)[0]))
    assert plain[0] == ("R", 2, 24) and plain[3:5] == [("R", 2, 24.5), ("R", 2, 22)]


def test_open_rows_become_readings() -> None:
    readings, _ = rough_along(NECKS, 3, 0.5, 0, 0, stated(pocket_infeed="straight"))
    assert [r.values for r in readings] == [
        ("pocket_order=by-level",),
        ("pocket_order=by-pocket",),
    ]
    # One neck has no order, and a first block along X no line of its own.
    assert len(rough_along(NECK, 2, 0.5, 0, 0, stated(pocket_infeed="straight"))[0]) == 1


@pytest.mark.parametrize(
    ("row", "values"),
    [
        ("pocket_infeed", ("straight", "along-profile")),
        ("level_end", ("45-degrees", "along-profile")),
    ],
)
def test_an_open_row_is_every_value_of_it(row: str, values: tuple[str, ...]) -> None:
    """The flanks of the neck lean, so that both ways in and both ways out differ there."""
    steps = [
        only(rough_along(NECK, 2, 0.5, 0, 0, POCKETS.model_copy(update={row: value}))[0]).steps
        for value in values
    ]
    readings, _ = rough_along(NECK, 2, 0.5, 0, 0, POCKETS.model_copy(update={row: None}))
    assert [r.values for r in readings] == [(f"{row}={value}",) for value in values]
    assert [r.steps for r in readings] == steps


def test_fully_open_control_stays_within_reason() -> None:
    readings, _ = rough_along(NECKS, 2, 0.5, 0.4, 0, Control())
    assert len({reading.values for reading in readings}) == len(readings) <= 96
    assert all(reading.steps[-1].end == (2, 26) for reading in readings)


def test_pocket_across_the_face() -> None:
    """G72: S (2, 27); levels Z0 and Z-2 to r 13, the ring groove between r 22 and 13 at Z-4."""
    ring = with_pockets(profile((2, 27), (-2, 27), (-2, 22), (-4, 20), (-4, 15), (-2, 13), (2, 13)))
    reading = only(rough_across(ring, 2, 0.5, 0, 0, POCKETS)[0])
    assert short(reading)[:8] == [
        ("R", 0, 27), ("F", 0, 13), ("R", 0.5, 13.5), ("R", 0.5, 27),
        ("R", -2, 27), ("F", -2, 13), ("R", -1.5, 13.5), ("?", 2, 20),
    ]  # fmt: skip
    assert short(reading)[8:11] == [("R", -2, 20), ("F", -4, 20), ("F", -4, 15)]


def test_allowance_along_the_levels_over_a_pocket_is_told() -> None:
    faults = rough_along(NECK, 2, 0.5, 0.4, 0.2, POCKETS)[1]
    assert [(f.code, f.block, f.unproven) for f in faults] == [("allowance-in-pocket", 12, False)]
    assert [m.value for m in faults[0].measures] == [0.2]
    assert rough_along(NECK, 2, 0.5, 0.4, 0, POCKETS)[1] == ()
    ring = with_pockets(profile((2, 27), (-2, 27), (-2, 22), (-4, 20), (-4, 15), (2, 13)))
    # In G72 it is u that moves the wall, 0.3 radially outward.
    assert rough_across(ring, 2, 0.5, 0.6, 0, POCKETS)[1][0].measures[0].value == 0.3


@pytest.mark.parametrize(
    ("points", "block"),
    [
        ([(2, 22), (-6, 22), (-10, 18), (-8, 17), (-24, 26)], 13),
        ([(3, 22), (-6, 22), (-24, 26)], 10),
    ],
)
def test_profile_that_runs_back_is_not_followed(points: list[Position], block: int) -> None:
    readings, faults = rough_along(with_pockets(profile((2, 26), *points)), 2, 0.5, 0, 0, POCKETS)
    assert [(f.code, f.block, f.unproven) for f in faults] == [
        ("profile-not-monotone", block, True)
    ]
    assert [s[0] for s in short(only(readings))[1:-1]] == ["F"] * (len(points) - 1)


def test_levels_that_leave_the_profile_are_told() -> None:
    open_end = with_pockets(profile((2, 26), (2, 22), (-6, 22), (-10, 18), (-20, 18)))
    control = POCKETS.model_copy(update={"level_outside_profile": None})
    faults = rough_along(open_end, 2, 0.5, 0, 0, control)[1]
    # 24, 22, and 20 and 18 in the pocket run out at Z-20.
    assert [f.code for f in faults] == ["level-outside-profile"]
    assert faults[0].message.startswith("4 roughing levels")


signs = st.sampled_from((-1, 1))
tenths = st.integers(0, 80).map(lambda n: n / 10)


@st.composite
def parts(draw: st.DrawFn) -> tuple[Profile, float, float, int, int]:
    """(profile, depth, withdrawal, along sign, across sign): a profile that never runs back, up and
    down between 2 and 14 below S."""
    along, across = draw(signs), draw(signs)
    x, y = 0.0, draw(st.integers(20, 140)) / 10
    points = [(x, y)]
    for run, deep in draw(
        st.lists(st.tuples(tenths, st.integers(20, 140)), min_size=2, max_size=7)
    ):
        x, y = round(x + run, 1), deep / 10
        points.append((x, y))
    points.append((x + 1, 2.0))
    start = (1.0, 50.0)
    written = [(start[0] + along * p, start[1] + across * q) for p, q in points]
    depth = draw(st.integers(8, 60)) / 10
    withdrawal = draw(st.integers(0, 5)) / 10
    return with_pockets(profile(start, *written)), depth, withdrawal, along, across


def turned(point: Position, along: int, across: int) -> Position:
    """Along the feed from S, and down from S."""
    return (along * (point[0] - 1.0), across * (point[1] - 50.0))


def reach(one: Position, step: Step) -> BaseGeometry:
    """Where a rapid may pass: its line, or the rectangle between its ends."""
    if step.path is Path.ANYWHERE:
        other = step.end
        corners = [one, (one[0], other[1]), other, (other[0], one[1])]
        return MultiPoint(corners).convex_hull
    return MultiPoint([one, step.end]).convex_hull


@settings(max_examples=120)
@given(parts(), st.sampled_from(("45-degrees", "along-profile")))
def test_rapids_stay_in_what_the_feeds_before_them_have_opened(
    case: tuple[Profile, float, float, int, int], level_end: Literal["45-degrees", "along-profile"]
) -> None:
    """Whatever lies between a feed made before and the height of S is open; what lies in front of
    the profile, or above S, is too. Withdrawals that touch a wall are the control's own and left
    out, with the rapid that begins there."""
    part, depth, _, along, across = case
    control = Control(level_end=level_end, last_level="own-level")
    for reading in rough_along(part, depth, 0.0, 0, 0, control)[0]:
        here = part.start
        opened = [box(-9, -9, 0, 99), box(-9, -9, 99, 0)]
        for step in reading.steps[:-1]:
            one, other = turned(here, along, across), turned(step.end, along, across)
            if step.kind is Kind.FEED or step.profile >= 0:
                if one[0] != other[0]:
                    opened.append(Polygon([one, other, (other[0], -1), (one[0], -1)]))
            else:
                way = reach(one, replace(step, end=other))
                assert union_all(opened).buffer(1e-6).contains(way), (reading.values, one, other)
            here = step.end


@settings(max_examples=120)
@given(parts())
def test_no_level_enters_the_part_and_all_end_at_s(
    case: tuple[Profile, float, float, int, int],
) -> None:
    part, depth, _, along, across = case
    outline = [turned(m.end, along, across) for m in part.moves]
    metal = Polygon([*outline, (outline[-1][0], 99), (0, 99)]).buffer(-1e-6)
    for reading in rough_along(part, depth, 0.0, 0, 0, Control())[0]:
        assert reading.steps[-1].end == part.start
        here = part.start
        for step in reading.steps[: -len(part.moves)]:
            one, other = turned(here, along, across), turned(step.end, along, across)
            assert not reach(one, replace(step, end=other)).intersects(metal)
            here = step.end


@settings(max_examples=80)
@given(parts())
def test_a_level_cuts_wherever_the_profile_lies_deeper(
    case: tuple[Profile, float, float, int, int],
) -> None:
    """Half way between two neighbouring corners of a level's own line, the level is cut exactly
    where the profile, read off by interpolation, lies below it."""
    part, depth, _, along, across = case
    control = POCKETS.model_copy(update={"last_level": "own-level"})
    steps = only(rough_along(part, depth, 0.0, 0, 0, control)[0]).steps
    corners = [turned(m.end, along, across) for m in part.moves]
    cuts: dict[float, list[tuple[float, float]]] = {}
    here = part.start
    for step in steps[: -len(part.moves)]:
        one, other = turned(here, along, across), turned(step.end, along, across)
        if step.kind is Kind.FEED and one[1] == other[1]:
            cuts.setdefault(round(one[1], 6), []).append((one[0], other[0]))
        here = step.end
    deepest = max(y for _, y in corners)
    levels = [depth * k for k in range(1, 200) if depth * k < deepest - 1e-6]
    for level in levels:
        for (x1, y1), (x2, y2) in pairwise(corners):
            for share in (0.13, 0.5, 0.87):
                x, y = x1 + share * (x2 - x1), y1 + share * (y2 - y1)
                if x1 == x2 or abs(y - level) < 1e-6:
                    continue
                cut = any(a < x < b for a, b in cuts.get(round(level, 6), []))
                assert cut == (y > level)


@settings(max_examples=80)
@given(parts(), signs, signs)
def test_mirrored_profile_gives_mirrored_steps(
    case: tuple[Profile, float, float, int, int], flip_z: int, flip_r: int
) -> None:
    part, depth, withdrawal, _, _ = case
    mirrored = Profile(
        (flip_z * part.start[0], flip_r * part.start[1]),
        tuple(
            replace(move, points=tuple((flip_z * z, flip_r * r) for z, r in move.points))
            for move in part.moves
        ),
    )
    plain, _ = rough_along(part, depth, withdrawal, 0.4, 0.1, POCKETS)
    other, _ = rough_along(mirrored, depth, withdrawal, flip_r * 0.4, flip_z * 0.1, POCKETS)
    assert [(flip_z * s.end[0], flip_r * s.end[1]) for s in only(other).steps] == [
        s.end for s in only(plain).steps
    ]


@settings(max_examples=80)
@given(parts())
def test_without_pockets_the_levels_are_those_of_plain_roughing(
    case: tuple[Profile, float, float, int, int],
) -> None:
    part, depth, _, along, across = case
    moves: list[ProfileMove] = []
    least = 99.0
    for move in part.moves:
        x, y = turned(move.end, along, across)
        least = min(least, y)
        at = (1.0 + along * x, 50.0 + across * least)
        moves.append(replace(move, points=(at,)))
    rising = Profile(part.start, tuple(moves))
    plain_first = replace(moves[0], has_z=False)
    plain = Profile(part.start, (plain_first, *moves[1:]))
    one = rough_along(rising, depth, 0.5, 0, 0, POCKETS)[0]
    other = rough_along(plain, depth, 0.5, 0, 0, POCKETS)[0]
    cuts = [
        [(*a.end, *b.end) for a, b in pairwise(only(readings).steps) if b.kind is Kind.FEED]
        for readings in (one, other)
    ]
    assert cuts[0] == [pytest.approx(cut) for cut in cuts[1]]


def test_round_bottom_is_credited_with_no_more_than_any_such_arc_leaves_open() -> None:
    """A round neck of radius 5 about (-10, 22) in chords of 20 degrees: on the level at r 20 the
    arc is open from z -10 + sqrt(21) to -10 - sqrt(21)."""
    moves = (
        ProfileMove(Kind.RAPID, ((2, 22),), 10, True, True),
        ProfileMove(Kind.FEED, ((-5, 22),), 11, False, True),
        arc_move((-10, 22), 5, 0, -180, chords=9, block=12),
        ProfileMove(Kind.FEED, ((-20, 22),), 13, False, True),
        ProfileMove(Kind.FEED, ((-20, 26),), 14, True, False),
    )
    reading = only(rough_along(Profile((2, 26), moves), 2, 0.5, 0, 0, POCKETS)[0])
    at = next(i for i, (_, r) in enumerate(s.end for s in reading.steps) if r == pytest.approx(20))
    assert reading.steps[at].kind is reading.steps[at + 1].kind is Kind.FEED
    (begin, _), (end, _) = reading.steps[at].end, reading.steps[at + 1].end
    assert -10 + math.sqrt(21) - 0.3 < begin < -10 + math.sqrt(21)
    assert -10 - math.sqrt(21) < end < -10 - math.sqrt(21) + 0.3
