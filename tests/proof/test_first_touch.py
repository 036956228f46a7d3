"""First touch and the keep-out against a plain loop, motion by motion."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from section_shop import (
    LIMIT,
    REACH,
    SQUARE,
    TOOLS,
    Row,
    appear,
    feed,
    keep_out_of,
    rapid,
    shape,
    table,
)
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Spindle
from standclear.proof.clock import MetalClock
from standclear.proof.first_touch import first_cut, keep_tree, owners
from standclear.proof.keep_out import keep_out
from standclear.proof.strikes import cut_in_reading
from standclear.sweeps.areas import on_grid
from standclear.sweeps.sweep import Sweeps, Tooling, sweep

NOTHING = shapely.Polygon()
wholes = st.integers(0, 12)
boxes = st.builds(
    lambda z, r, w, h: shapely.box(z, r, z + w, r + h),
    wholes,
    wholes,
    st.integers(1, 8),
    st.integers(1, 8),
)
slanted = st.builds(
    lambda z, r, w, h, lean: shapely.Polygon(
        [(z, r), (z + w, r + lean / 3), (z + w + lean / 7, r + h)]
    ),
    wholes,
    wholes,
    st.integers(1, 8),
    st.integers(3, 8),
    st.integers(0, 5),
)
areas = st.one_of(boxes, slanted, st.just(NOTHING))
items = st.lists(st.tuples(areas, areas), min_size=1, max_size=9)


def array(shapes: list[BaseGeometry]) -> np.ndarray:
    """The shapes, their corners on the grid, as sweeps give them."""
    made = np.empty(len(shapes), dtype=object)
    made[:] = shapes
    return on_grid(made)


def first_touch(strikes: np.ndarray, cuts: np.ndarray) -> np.ndarray:
    """For each item the area it is the first to strike and nothing cut before, by the tree."""
    tree = keep_tree(strikes, cuts)
    return owners(tree, tree[-1][0], len(strikes))


def one_by_one(pairs: list[tuple[BaseGeometry, BaseGeometry]]) -> list[BaseGeometry]:
    """For each item what it is the first to strike and nothing cut before."""
    cut = struck = NOTHING
    owned = []
    for strike, own_cut in pairs:
        owned.append(strike.difference(cut).difference(struck))
        struck = struck.union(owned[-1])
        cut = cut.union(own_cut)
    return owned


@settings(max_examples=150, derandomize=True)
@given(items)
def test_each_item_owns_what_a_plain_loop_gives_it(
    pairs: list[tuple[BaseGeometry, BaseGeometry]],
) -> None:
    strikes, cuts = array([s for s, _ in pairs]), array([c for _, c in pairs])
    found = first_touch(strikes, cuts)
    for area, expected in zip(
        found, one_by_one(list(zip(strikes, cuts, strict=True))), strict=True
    ):
        assert area.symmetric_difference(expected).area == pytest.approx(0.0, abs=1e-6)


@settings(max_examples=50, derandomize=True)
@given(st.lists(areas, min_size=1, max_size=9))
def test_shares_of_a_cut_add_up_to_it(cuts: list[BaseGeometry]) -> None:
    both = array(cuts)
    shares = first_cut(both)
    assert sum(s.area for s in shares) == pytest.approx(shapely.union_all(both).area, abs=1e-6)


@settings(max_examples=150, derandomize=True)
@given(st.lists(areas, min_size=1, max_size=20))
def test_each_item_cuts_first_what_none_before_it_has_cut(cuts: list[BaseGeometry]) -> None:
    both = array(cuts)
    wanted = one_by_one(list(zip(both, both, strict=True)))
    for area, expected in zip(first_cut(both), wanted, strict=True):
        assert area.symmetric_difference(expected).area == pytest.approx(0.0, abs=1e-6)


def test_no_item_cuts_nothing() -> None:
    assert len(first_cut(array([]))) == 0


def test_in_one_item_the_strike_comes_before_the_cut() -> None:
    whole = shapely.box(0, 0, 4, 4)
    (own,) = first_touch(array([whole]), array([whole]))
    assert own.equals(whole)
    first, second = first_touch(array([NOTHING, whole]), array([whole, NOTHING]))
    assert first.is_empty and second.is_empty


def random_rows(rng: np.random.Generator, count: int) -> list[Row]:
    here = (20.0, 30.0)
    rows = [appear(here)]
    for _ in range(count):
        there = (float(rng.integers(-20, 30)), float(rng.integers(3, 35)))
        rows.append((feed if rng.random() < 0.7 else rapid)(here, there))
        here = there
    return rows


def plain_keep_out(swept: Sweeps) -> BaseGeometry:
    """R of each motion less every cut before it, one motion after the other."""
    kept = cut = NOTHING
    for motion in range(swept.count):
        for piece in swept.strike[swept.strike_motion == motion]:
            kept = kept.union(piece.difference(cut))
        cut = shapely.union_all([cut, *swept.cut[swept.cut_motion == motion]])
    return kept


def plain_replay(swept: Sweeps, blank: BaseGeometry) -> float:
    """Area of a blank that is struck when it is cut motion by motion; struck metal stays."""
    left, struck = blank, NOTHING
    for motion in range(swept.count):
        for piece in swept.strike[swept.strike_motion == motion]:
            struck = struck.union(piece.intersection(left))
        left = left.difference(shapely.union_all(swept.cut[swept.cut_motion == motion]))
    return float(struck.area)


@pytest.mark.parametrize("name", TOOLS)
@pytest.mark.parametrize("seed", range(3))
def test_keep_out_is_that_of_a_plain_loop(name: str, seed: int) -> None:
    rows = random_rows(np.random.default_rng([seed, 7, *name.encode()]), 14)
    swept = sweep(table(rows), [Tooling(TOOLS[name], Spindle.FORWARD)], LIMIT, REACH)
    (area,) = keep_out_of(TOOLS[name], rows).areas
    plain = plain_keep_out(swept)
    assert area.area == pytest.approx(plain.area, abs=1e-7)
    assert area.symmetric_difference(plain).area == pytest.approx(0.0, abs=1e-7)


@settings(max_examples=60, derandomize=True)
@given(
    st.integers(0, 10_000),
    st.sampled_from(sorted(TOOLS)),
    st.integers(5, 30),
    st.integers(-5, 20),
    st.integers(0, 3),
)
def test_contact_if_and_only_if_the_blank_overlaps_the_keep_out(
    seed: int, name: str, radius: int, face: int, bore: int
) -> None:
    rows = random_rows(np.random.default_rng(seed), 6)
    blank = shapely.box(-40, bore, face, radius)
    keep = keep_out_of(TOOLS[name], rows)
    overlap = keep.areas[0].intersection(blank).area
    swept = sweep(table(rows), [Tooling(TOOLS[name], Spindle.FORWARD)], LIMIT, REACH)
    assert plain_replay(swept, blank) == pytest.approx(overlap, abs=1e-7)
    found = keep.layers[0].first_strikes(blank)
    assert (found != []) is (overlap > 1e-7)
    # A larger blank at the same zero meets all that a smaller one meets.
    larger = keep.layers[0].first_strikes(shapely.box(-45, 0, face + 3, radius + 3))
    assert bool(larger) >= bool(found)


def test_who_strikes_first_owns_the_metal() -> None:
    # The second rapid along the bar goes 1 deeper than the first, the third stays between the two:
    # it only enters what they have struck.
    rows = [appear((30, 18))]
    for r in (18.0, 17.0, 17.5):
        rows += [
            rapid((30, rows[-1][3][1]), (30, r)),
            rapid((30, r), (0, r)),
            rapid((0, r), (30, r)),
        ]
    keep = keep_out_of(SQUARE, rows)
    assert keep.layers[0].first_strikes(shapely.box(-40, 0, 20, 20)) == [2, 5]


def test_small_steps_add_up() -> None:
    # Four hundred rapids in front of the face, each 5 micrometres deeper than the last: the first
    # touches within the contact limit, the second is 10 deep and counts.
    rows = [appear((30, 0))]
    for k in range(1, 401):
        z = 20 - 0.005 * k
        rows += [rapid(rows[-1][3], (z, 0)), rapid((z, 0), (30, 0))]
    found = keep_out_of(SQUARE, rows).layers[0].first_strikes(shapely.box(-40, 0, 20, 9))
    assert found[0] == 3
    assert found == list(range(3, 801, 2))


def test_readings_of_a_call_strike_together_and_cut_what_all_of_them_cut() -> None:
    # One call read in two ways: to radius 15 or to 16, both 20 long; then along 15.5 and 16.5.
    rows = [
        appear((30, 15)),
        feed((30, 15), (0, 15)),
        rapid((0, 15), (30, 15)),
        rapid((30, 15), (30, 16)),
        feed((30, 16), (0, 16)),
        rapid((0, 16), (30, 15)),
        rapid((30, 15), (30, 16.5)),
        rapid((30, 16.5), (0, 16.5)),
        rapid((0, 16.5), (30, 15.5)),
        rapid((30, 15.5), (0, 15.5)),
    ]
    motions = table(
        rows, call=[-1, 0, 0, 0, 0, 0, -1, -1, -1, -1], variant=[0, 0, 0, 1, 1, 1, 0, 0, 0, 0]
    )
    tools = [Tooling(SQUARE, Spindle.FORWARD)]
    keep = keep_out(motions, tools, [0.0], LIMIT, REACH)
    bar = shapely.box(-40, 0, 20, 20)
    # Row 5 goes slanting from (0, 16) to (30, 15): within its own reading through metal that only
    # the other one cut. Row 9 strikes what only the first reading cuts.
    assert keep.layers[0].first_strikes(bar) == [5, 9]
    assert keep.surely_cut.bounds[1] == pytest.approx(16.0)
    assert keep.most_cut.bounds[1] == pytest.approx(15.0)


def test_a_reading_has_cut_before_what_its_own_motions_of_the_same_call_have() -> None:
    """Two calls, each read in two ways. Every row cuts a strip 5 high of its own, 10 above the one
    before; of the second call's second reading, rows 6 and 7, row 7 has row 6 before it."""
    rows = [feed((0, 10.0 * k), (-10, 10.0 * k)) for k in range(8)]
    motions = table(rows, call=[0, 0, 0, 0, 1, 1, 1, 1], variant=[0, 0, 1, 1, 0, 0, 1, 1])
    strips = array([shapely.box(-10, 10.0 * k, 0, 10.0 * k + 5) for k in range(8)])
    none = np.empty(0, dtype=object)
    swept = Sweeps(none, np.empty(0, dtype=np.int64), strips, np.arange(8), 8)
    for row, before in ((7, [6]), (6, []), (5, [4]), (3, [2]), (1, [0]), (0, [])):
        wanted = shapely.union_all(strips[before])
        assert cut_in_reading(swept, motions, row).equals(wanted)
    plain = table(rows, call=[-1, -1, -1, -1, 1, 1, 1, 1])
    assert all(cut_in_reading(swept, plain, row).is_empty for row in (3, 7))


def test_one_tool_must_clear_what_another_may_leave() -> None:
    # DESIGN of the proof: one turns r 20.0 +/- 0.1, the next passes at 20.15 +/- 0.1: not clear.
    # It is from 20.2 on; the contact limit takes 0.005 off that.
    bar = shapely.box(-40, 0, 20, 25)
    for passes, hit in ((20.15, True), (20.19, True), (20.21, False)):
        rows = [
            appear((30, 20)),
            feed((30, 20), (0, 20)),
            appear((30, passes)),
            rapid((30, passes), (5, passes)),
        ]
        motions = table(rows, tool=[0, 0, 1, 1])
        tools = [Tooling(SQUARE, Spindle.FORWARD)] * 2
        keep = keep_out(motions, tools, [0.1, 0.1], LIMIT, REACH)
        struck = [
            layer.first_strikes(bar.buffer(layer.grow, join_style="mitre")) for layer in keep.layers
        ]
        assert any(struck) is hit, passes
        # Neither of them wanders, or both as one: nothing to strike.
        for wear, who in (([0.0, 0.0], [0, 0, 1, 1]), ([0.1], [0, 0, 0, 0])):
            same = keep_out(table(rows, tool=who), tools[: len(wear)], wear, LIMIT, REACH)
            assert not any(layer.first_strikes(bar) for layer in same.layers)


def test_wear_along_both_axes_moves_a_slanting_edge_by_their_sum() -> None:
    # Two tools, 0.1 each way: along the normal of an edge at 45 degrees 2 x 0.1 x sqrt 2 = 0.283.
    tool = shape([(0, 0), (10, 10), (10, 40), (-10, 40), (-10, 10)], [0, 4])
    tools = [Tooling(tool, Spindle.FORWARD)] * 2
    bar = shapely.box(-60, 0, 40, 18)
    for off, hit in ((0.27, True), (0.29, False)):
        along = off * 2**0.5 - 0.5
        rows = [
            appear((70, 10)),
            feed((70, 10), (0, 10)),
            appear((70, 10.5)),
            rapid((70, 10.5), (along, 10.5)),
        ]
        keep = keep_out(table(rows, tool=[0, 0, 1, 1]), tools, [0.1, 0.1], LIMIT, REACH)
        grown = [bar.buffer(layer.grow, join_style="mitre") for layer in keep.layers]
        struck = [layer.first_strikes(g) for layer, g in zip(keep.layers, grown, strict=True)]
        assert any(struck) is hit, off


class TestMetalClock:
    def swept(self) -> Sweeps:
        rows = [appear((30, 15)), feed((30, 15), (0, 15)), feed((0, 15), (0, 10))]
        return sweep(table(rows), [Tooling(SQUARE, Spindle.FORWARD)], LIMIT, REACH)

    def test_metal_before_each_motion(self) -> None:
        bar = shapely.box(-40, 0, 20, 20)
        clock = MetalClock(bar, self.swept())
        assert clock.before(1).area == pytest.approx(60 * 20)
        assert clock.before(1).area == pytest.approx(60 * 20)
        # 20 long and 5 deep; then 5 deeper and 10 wide.
        assert clock.before(2).area == pytest.approx(60 * 20 - 20 * 5)
        assert clock.at_end().area == pytest.approx(60 * 20 - 20 * 5 - 10 * 5)

    def test_it_runs_forward_only(self) -> None:
        clock = MetalClock(shapely.box(-40, 0, 20, 20), self.swept())
        clock.at_end()
        with pytest.raises(ValueError, match="motion 1 lies before"):
            clock.before(1)
