"""Roughing with pockets: levels and their stretches worked by hand; places are (z, r)."""

from __future__ import annotations

from itertools import pairwise

import pytest
from judge.cycles import ProfileBlock, Rough
from judge.motion import Leg
from judge.pockets import rough_pockets, spans

CONTROL = {
    "levels_from": "moved-start",
    "last_level": "left-to-profile",
    "level_end": "45-degrees",
    "home_after_cycle": "direct",
    "pocket_order": "by-level",
    "pocket_levels_begin": "moved-start",
    "pocket_infeed": "along-profile",
}
XZ = frozenset("XZ")
WAY = [(2.0, 18.0), (-5.0, 18.0), (-9.0, 14.0), (-12.0, 14.0), (-16.0, 18.0), (-20.0, 14.0),
       (-24.0, 18.0), (-30.0, 18.0), (-30.0, 22.0)]  # fmt: skip
BLOCKS = [ProfileBlock(k == 0, (place,), XZ) for k, place in enumerate(WAY)]


def call(**rows: str) -> Rough:
    """S (3, 22), levels of 2: 20, 18, 16, 14; two pockets, to r 14 at Z-9..-12 and at Z-20."""
    return Rough((3.0, 22.0), BLOCKS, (0.0, 0.0), 2.0, 0.5, False, CONTROL | rows)


@pytest.mark.parametrize(
    ("level", "found"),
    [
        (20.0, [(3, -30)]),
        (17.0, [(-6, -15), (-17, -23)]),
        (16.0, [(-7, -14), (-18, -22)]),
        (14.0, [(-9, -12)]),
    ],
)
def test_stretches_of_a_level(level: float, found: list[tuple[float, float]]) -> None:
    rounded = [(round(a, 3), round(b, 3)) for a, b in spans(call(), level, 3.0)]
    assert rounded == found


def cuts(legs: list[Leg]) -> list[tuple[float, float]]:
    """Ends of the feeds along a level, before the profile pass."""
    last = len(legs) - len(WAY) - 1
    return [
        (round(b.end[0], 3), round(b.end[1], 3))
        for a, b in pairwise(legs[:last])
        if not b.rapid and a.end[1] == b.end[1]
    ]


def test_levels_go_over_all_pockets_in_turn() -> None:
    assert cuts(rough_pockets(call())) == [
        (-30, 20), (-30, 18), (-14, 16), (-22, 16), (-12, 14),
    ]  # fmt: skip


def test_pocket_by_pocket() -> None:
    assert cuts(rough_pockets(call(pocket_order="by-pocket")))[-3:] == [
        (-14, 16), (-12, 14), (-22, 16),
    ]  # fmt: skip


def test_a_pocket_is_entered_down_its_wall_by_feed() -> None:
    legs = rough_pockets(call())
    at = next(k for k, leg in enumerate(legs) if leg.end == (-7.0, 16.0))
    assert not legs[at].rapid
    before = legs[at - 1].end
    assert before == pytest.approx((-5.0, 18.0))
    assert not legs[at - 1].rapid and legs[at - 2].rapid


def test_a_pocket_may_be_entered_straight_in() -> None:
    legs = rough_pockets(call(pocket_infeed="straight"))
    at = next(k for k, leg in enumerate(legs) if leg.end == (-7.0, 16.0))
    # Above the level before by the withdrawal of 0.5, then straight in by feed.
    assert (legs[at - 1].rapid, legs[at - 1].end) == (True, (-7.0, 18.5))
    assert not legs[at].rapid


def test_the_profile_pass_and_home_come_last() -> None:
    legs = rough_pockets(call())
    assert [leg.end for leg in legs[-len(WAY) - 1 :]] == [*WAY, (3.0, 22.0)]


def test_the_way_from_a_pocket_to_the_next_level_goes_over_the_work() -> None:
    # A step at Z-5 stands between the front and the pocket behind it.
    way = [(2.0, 12.0), (-5.0, 12.0), (-5.0, 18.0), (-7.0, 18.0), (-9.0, 14.0), (-12.0, 14.0),
           (-16.0, 18.0), (-16.0, 22.0)]  # fmt: skip
    blocks = [ProfileBlock(k == 0, (place,), XZ) for k, place in enumerate(way)]
    legs = rough_pockets(Rough((3.0, 22.0), blocks, (0.0, 0.0), 2.0, 0.5, False, CONTROL))
    at = next(k for k, leg in enumerate(legs) if leg.end == (-14.0, 16.0))
    assert [leg.end for leg in legs[at + 1 : at + 5]] == [
        (-13.5, 16.5), (-13.5, 22.0), (3.0, 22.0), (3.0, 14.0),
    ]  # fmt: skip


def test_levels_of_a_pocket_may_end_along_the_profile() -> None:
    """From where a level meets the rising wall up to the level above, and off from there.

    The walls rise at 45 degrees: from (-14, 16) to (-16, 18), from (-12, 14) to (-14, 16); at the
    exit straight up to where the levels are counted from.
    """
    legs = rough_pockets(call(level_end="along-profile"))
    found = [(leg.rapid, round(leg.end[0], 3), round(leg.end[1], 3)) for leg in legs]
    places = [b for a, b in pairwise([(True, 0.0, 0.0), *found]) if b[1:] != a[1:]]
    for met, top in (
        ((-30, 20), (-30, 22)), ((-14, 16), (-16, 18)), ((-22, 16), (-24, 18)),
        ((-12, 14), (-14, 16)),
    ):  # fmt: skip
        at = places.index((False, *met))
        assert places[at + 1] == (False, *top)
        # Off at 45 degrees by 0.5: up, and back towards S.
        assert places[at + 2] == (True, top[0] + 0.5, top[1] + 0.5)
