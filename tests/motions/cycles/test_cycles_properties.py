"""What must hold of any roughing call, on profiles made at random.

The second derivation of a level's end is a walk along points sampled densely on the profile; it
shares nothing with the exact meeting.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import hypot

import numpy as np
from cycle_cases import profile, short
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from standclear.job.models import Control
from standclear.motions.cycles import rough_across, rough_along
from standclear.motions.cycles.levels import level_readings, most_levels
from standclear.motions.step import Position, Profile, Reading, Step
from standclear.motions.table import Kind, Path

OPEN = Control()
"""Nothing stated: every reading."""

tenths = st.integers(0, 80).map(lambda n: n / 10)
signs = st.sampled_from((-1, 1))


@given(st.integers(-30, 30), st.integers(1, 300), st.integers(1, 60))
@example(moved=0, entry=50, depth=40)
def test_no_reading_has_more_levels_than_the_bound(moved: int, entry: int, depth: int) -> None:
    """In tenths: 5 mm in steps of 4 is one level and a rest, which may be a level too."""
    tenths = moved / 10, entry / 10, depth / 10
    for each in level_readings(*tenths, OPEN):
        assert len(each.depths) <= most_levels(*tenths)


@st.composite
def calls(draw: st.DrawFn) -> tuple[Profile, float, float, float, float, int, int]:
    """(profile, depth, withdrawal, u, w, along sign, across sign) of a monotone G71 call.

    S lies at least 1 mm outside the profile, more than the allowance.
    """
    along, across = draw(signs), draw(signs)
    depth_in = draw(st.integers(12, 120)) / 10
    runs = draw(st.lists(st.tuples(tenths, tenths), min_size=1, max_size=6))
    x, y = 0.0, depth_in
    points = [(x, y)]
    for run, rise in runs:
        x, y = round(x + run, 1), max(round(y - rise, 1), 1.0)
        points.append((x, y))
    points.append((x + 1, y))
    start = (draw(st.integers(-20, 20)) / 4, 100.0)
    written = [(start[0] + along * p, start[1] + across * q) for p, q in points]
    depth = draw(st.integers(3, 60)) / 10
    withdrawal = draw(st.integers(0, 10)) / 10
    u = -across * draw(st.integers(0, 10)) / 10
    w = -along * draw(st.integers(0, 10)) / 10
    return profile(start, *written), depth, withdrawal, u, w, along, across


def moved_points(call_profile: Profile, u: float, w: float) -> list[Position]:
    """Entry to exit of a profile of lines, displaced by the allowance."""
    return [(m.end[0] + w, m.end[1] + u / 2) for m in call_profile.moves]


def before_the_pass(reading: Reading, entry: Position) -> list[Step]:
    """The steps up to the last arrival at the moved entry by the first block."""
    arrival = max(i for i, s in enumerate(reading.steps) if s.profile == 10 or s.end == entry)
    return list(reading.steps[: arrival + 1])


@settings(max_examples=80)
@given(calls())
def test_every_reading_begins_and_ends_at_the_point_of_call(
    call: tuple[Profile, float, float, float, float, int, int],
) -> None:
    part, depth, withdrawal, u, w, _, _ = call
    readings, faults = rough_along(part, depth, withdrawal, u, w, OPEN)
    assert 1 <= len(readings) <= 12
    assert not any(fault.unproven for fault in faults)
    assert len({reading.values for reading in readings}) == len(readings)
    for reading in readings:
        assert reading.steps[-1].end == part.start
        assert reading.steps[-1].path is Path.ANYWHERE
        if (u, w) != (0, 0):
            assert short(reading)[0] == (
                "R",
                round(part.start[0] + w, 6) + 0.0,
                round(part.start[1] + u / 2, 6) + 0.0,
            )


@settings(max_examples=80)
@given(calls())
def test_nothing_before_the_profile_pass_enters_the_part(
    call: tuple[Profile, float, float, float, float, int, int],
) -> None:
    part, depth, withdrawal, u, w, _, across = call
    outline = moved_points(part, u, w)
    deep = outline[0][1] + across * 50
    metal = Polygon([*outline, (outline[-1][0], deep), (outline[0][0], deep)]).buffer(-1e-6)
    readings, _ = rough_along(part, depth, withdrawal, u, w, OPEN)
    for reading in readings:
        steps = before_the_pass(reading, outline[0])
        for one, other in pairwise([part.start, *(s.end for s in steps)]):
            way = LineString([one, other]) if one != other else Point(one)
            assert not way.intersects(metal)


@settings(max_examples=80)
@given(calls())
def test_levels_end_where_a_dense_walk_along_the_profile_ends(
    call: tuple[Profile, float, float, float, float, int, int],
) -> None:
    part, depth, withdrawal, u, w, along, across = call
    outline = moved_points(part, u, w)
    start = (part.start[0] + w, part.start[1] + u / 2)
    samples = np.concatenate([np.linspace(one, other, 4001) for one, other in pairwise(outline)])
    x = along * (samples[:, 0] - start[0])
    y = across * (samples[:, 1] - start[1])
    control = OPEN.model_copy(update={"level_end": "45-degrees"})
    for reading in rough_along(part, depth, withdrawal, u, w, control)[0]:
        here, seen = part.start, 0
        for step in before_the_pass(reading, outline[0]):
            if step.kind is Kind.FEED:
                assert here[0] == start[0]
                level = across * (step.end[1] - start[1])
                # At the entry's own depth the level lies on the profile until that rises.
                margin = -1e-7 if abs(level - y[0]) < 1e-7 else 1e-7
                stopped = np.flatnonzero(y <= level + margin)
                expected = x[stopped[0]] if len(stopped) else x[-1]
                # Half a sample's spacing at most lies between the true end and a sample.
                assert abs(along * (step.end[0] - start[0]) - expected) <= 8.5 / 4000
                seen += 1
            here = step.end
        assert seen <= (abs(part.entry[1] - part.start[1]) + 1) / depth + 1


@settings(max_examples=80)
@given(calls())
def test_levels_end_on_the_profile_or_at_the_exit(
    call: tuple[Profile, float, float, float, float, int, int],
) -> None:
    part, depth, withdrawal, u, w, _, _ = call
    outline = moved_points(part, u, w)
    line = LineString(outline)
    for reading in rough_along(part, depth, withdrawal, u, w, OPEN)[0]:
        for step in before_the_pass(reading, outline[0]):
            if step.kind is Kind.FEED:
                at_exit = step.profile == -1 and step.end[0] == outline[-1][0]
                assert at_exit or line.distance(Point(step.end)) < 1e-7


NO_LEVEL_FROM_S = profile((0.0, 100.0), (0.0, 94.2), (0.0, 94.2), (-1.0, 94.2))
"""With u 0.3 the moved entry lies 5.65 below S and 5.8 below S': of levels 5.7 deep, one counted
from S' and none counted from S."""


@settings(max_examples=60)
@given(calls())
@example((NO_LEVEL_FROM_S, 5.7, 0.0, 0.3, 0.1, -1, -1))
def test_the_metal_above_the_last_level_is_thinner_than_a_level(
    call: tuple[Profile, float, float, float, float, int, int],
) -> None:
    part, depth, withdrawal, u, w, _, across = call
    entry = moved_points(part, u, w)[0]
    control = OPEN.model_copy(update={"level_end": "45-degrees"})
    for reading in rough_along(part, depth, withdrawal, u, w, control)[0]:
        begin = part.start[0] + w
        infeeds = [s.end[1] for s in reading.steps if s.end[0] == begin and s.profile == -1]
        # S' lies u / 2 outside S: levels counted from S may leave that much more below S' when
        # there is no level at all.
        base = part.start[1] if "levels_from=start" in reading.values else part.start[1] + u / 2
        deepest = max(across * r for r in [base, *infeeds])
        rest = across * entry[1] - deepest
        assert rest < depth + 1e-6
        if "last_level=own-level" in reading.values or "last_level=equalised" in reading.values:
            assert rest < 1e-9


def axes_exchanged(call_profile: Profile) -> Profile:
    """The profile mirrored in the line z = r."""
    return Profile(
        (call_profile.start[1], call_profile.start[0]),
        tuple(
            replace(
                move,
                points=tuple((r, z) for z, r in move.points),
                has_x=move.has_z,
                has_z=move.has_x,
            )
            for move in call_profile.moves
        ),
    )


@settings(max_examples=60)
@given(calls())
def test_roughing_across_is_roughing_along_with_axes_exchanged(
    call: tuple[Profile, float, float, float, float, int, int],
) -> None:
    part, depth, withdrawal, u, w, _, _ = call
    along, _ = rough_along(part, depth, withdrawal, u, w, OPEN)
    # u is diametral in both: the allowance along X is u / 2.
    across, _ = rough_across(axes_exchanged(part), depth, withdrawal, 2 * w, u / 2, OPEN)
    assert [r.values for r in across] == [r.values for r in along]
    for one, other in zip(along, across, strict=True):
        assert [(s.kind, s.end[::-1], s.path, s.profile) for s in other.steps] == [
            (s.kind, s.end, s.path, s.profile) for s in one.steps
        ]


@settings(max_examples=60)
@given(calls(), signs, signs)
def test_mirrored_profile_gives_mirrored_steps(
    call: tuple[Profile, float, float, float, float, int, int], flip_z: int, flip_r: int
) -> None:
    part, depth, withdrawal, u, w, _, _ = call
    mirrored = Profile(
        (flip_z * part.start[0], flip_r * part.start[1]),
        tuple(
            replace(move, points=tuple((flip_z * z, flip_r * r) for z, r in move.points))
            for move in part.moves
        ),
    )
    plain, faults = rough_along(part, depth, withdrawal, u, w, OPEN)
    turned, turned_faults = rough_along(mirrored, depth, withdrawal, flip_r * u, flip_z * w, OPEN)
    assert faults == turned_faults
    for one, other in zip(plain, turned, strict=True):
        assert [(flip_z * s.end[0], flip_r * s.end[1]) for s in other.steps] == [
            s.end for s in one.steps
        ]


@settings(max_examples=60)
@given(calls())
def test_following_the_profile_upwards_never_moves_back_towards_the_start(
    call: tuple[Profile, float, float, float, float, int, int],
) -> None:
    part, depth, withdrawal, u, w, along, across = call
    control = OPEN.model_copy(update={"level_end": "along-profile"})
    line = LineString(moved_points(part, u, w))
    for reading in rough_along(part, depth, withdrawal, u, w, control)[0]:
        here = part.start
        for step in reading.steps:
            if step.kind is Kind.FEED:
                assert along * (step.end[0] - here[0]) >= -1e-9
                assert across * (step.end[1] - here[1]) <= 1e-9
                if step.profile >= 0:
                    assert line.distance(Point(step.end)) < 1e-7
            if step.straight:
                assert hypot(step.end[0] - here[0], step.end[1] - here[1]) > 0
            here = step.end
