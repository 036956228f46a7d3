"""Answers by coordinates and distances against the booleans that they stand for."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from section_shop import LIMIT, REACH, SQUARE, appear, feed, rapid, table

from standclear.interval import Interval
from standclear.motions.table import Spindle
from standclear.proof.approach import Air, too_near, worth_measuring
from standclear.proof.section import boxes_apart, extent_between, grow, rectangle
from standclear.proof.shares import Shares, first_cuts, first_loosened, shares_of
from standclear.sweeps.areas import common, commons_with, on_grid
from standclear.sweeps.sweep import Tooling, sweep

tenths = st.integers(-80, 80).map(lambda n: n / 10)


@st.composite
def outlines(draw: st.DrawFn) -> shapely.Polygon:
    """A ring of some corners round a middle, slanted sides and all."""
    count = draw(st.integers(3, 9))
    far = np.array(draw(st.lists(st.floats(0.5, 5.0), min_size=count, max_size=count)))
    turn = np.linspace(0.0, 2 * np.pi, count, endpoint=False)
    middle = np.array([draw(tenths), draw(tenths)])
    ring = middle + far[:, None] * np.column_stack([np.cos(turn), np.sin(turn)])
    (polygon,) = on_grid(np.array([shapely.Polygon(ring)], dtype=object))
    return polygon


@settings(max_examples=200, derandomize=True)
@given(outlines(), tenths, st.integers(1, 60), st.sampled_from([0, 1]))
def test_the_extent_between_two_lines_is_that_of_the_strip(
    area: shapely.Polygon, low: float, width: int, axis: int
) -> None:
    high = low + width / 10
    strip = shapely.box(low, -99, high, 99) if axis == 0 else shapely.box(-99, low, 99, high)
    wanted = common(area, strip)
    found = extent_between(area, low, high, axis)
    assert (found is None) == (wanted.area == 0.0)
    if found is not None:
        assert found == pytest.approx(wanted.bounds, abs=1e-8)


@settings(max_examples=200, derandomize=True)
@given(outlines(), outlines(), st.integers(1, 40), st.integers(1, 40))
def test_too_near_is_what_the_grown_tool_covers(
    tool: shapely.Polygon, metal: shapely.Polygon, along: int, across: int
) -> None:
    air = Air(across / 10, along / 10)
    covered = common(grow(tool, air.along, air.across), metal).area
    assume(covered == 0.0 or covered > 1e-6)
    assert too_near(tool, metal, air) is (covered > 0)


def test_exactly_the_margin_is_far_enough() -> None:
    tool, metal = shapely.box(2.5, 0, 9, 4), shapely.box(-9, 0, 0, 4)
    assert not too_near(tool, metal, Air(1.25, 2.5))
    assert too_near(tool, metal, Air(1.25, 2.6))


@pytest.mark.parametrize(
    "sides", [(1, 1, 0, 5), (2, 1, 0, 5), (0, 5, 2, 2), (0, 5, 3, 2), (0, 1e-12, 0, 5)]
)
def test_a_rectangle_without_a_positive_side_is_empty(
    sides: tuple[float, float, float, float],
) -> None:
    assert rectangle(*sides).is_empty
    assert rectangle(0, 2, 1, 4).equals(shapely.box(0, 1, 2, 4))


@pytest.mark.parametrize(
    "metal",
    [
        shapely.box(6.5, 0, 9, 4),  # behind it along Z, 2.5 off
        shapely.box(-9, 0, -2.5, 4),
        shapely.box(0, 5.25, 4, 9),  # over it, 1.25 off
        shapely.box(0, -9, 4, -1.25),
    ],
)
def test_on_every_side_boxes_that_stand_off_by_the_margin_are_apart(metal: shapely.Polygon) -> None:
    """All numbers are eighths, which floats hold exactly."""
    tool = shapely.box(0, 0, 4, 4)
    assert boxes_apart(tool, metal, 2.5, 1.25)
    assert not boxes_apart(tool, metal, 2.625, 1.375)


@settings(max_examples=100, derandomize=True)
@given(st.lists(outlines(), min_size=1, max_size=6), outlines())
def test_what_lies_inside_or_apart_needs_no_boolean(
    drawn: list[shapely.Polygon], metal: shapely.Polygon
) -> None:
    areas = np.array(drawn, dtype=object)
    found = commons_with(areas, metal)
    for area, part in zip(areas, found, strict=True):
        assert part.symmetric_difference(area.intersection(metal)).area < 1e-6


class TestBurr:
    """A bar along Z, gripped at its left end; what is left of it and what was cut off last."""

    GRIP = Interval(-10.0, -8.0)
    LEFT = shapely.box(-10, 0, 0, 10)

    def loosened(self, *cuts: shapely.Polygon) -> tuple[float, float]:
        """Area of the first loose metal and of the first burr; the last cut joins nothing."""
        shares = Shares(np.array(cuts, dtype=object), np.arange(len(cuts)))
        found = first_loosened(self.LEFT, shares, self.GRIP, 0)
        return tuple(0.0 if each is None else float(each.area.area) for each in found)

    def test_foil_that_hangs_on_a_thick_piece_is_no_burr(self) -> None:
        # Cut 0 frees both; cut 1 takes the foil, cut 2 the piece that it hung on.
        joint = shapely.box(0, 0, 1, 10)
        foil, thick = shapely.box(3, 5, 8, 5.05), shapely.box(1, 0, 3, 10)
        loose, burr = self.loosened(joint, foil, thick)
        assert loose == pytest.approx(20.25, abs=1e-3)
        assert burr == 0.0

    def test_foil_by_itself_is_one(self) -> None:
        loose, burr = self.loosened(shapely.box(0, 0, 1, 10), shapely.box(1, 5, 6, 5.05))
        assert loose == 0.0
        assert burr == pytest.approx(0.25, abs=1e-6)

    def test_what_is_smaller_than_any_border_that_holds_is_neither(self) -> None:
        speck = shapely.box(1, 5, 1.0005, 5.0005)
        assert self.loosened(shapely.box(0, 0, 1, 10), speck) == (0.0, 0.0)


def test_the_first_place_of_a_tool_is_measured_however_far_off_it_is() -> None:
    """And so are the nearest few, here five of the six that the second tool stands at."""
    metal, air = shapely.box(-40, 0, 0, 20), Air(1.0, 2.0)
    places = [90.0, 80.0, 70.0, 60.0, 50.0, 40.0, 30.0]
    placed = [shapely.box(z, 0, z + 5, 20) for z in places]
    motions = table([appear((z, 0)) for z in places], tool=[0, 1, 1, 1, 1, 1, 1])
    spots = [(k, True) for k in range(7)]
    worth = worth_measuring(placed, metal, motions, spots, air)
    assert worth.tolist() == [True, True, True, True, True, True, True]
    assert worth_measuring(placed[:1], metal, motions, spots[:1], air).tolist() == [True]
    assert worth_measuring([], metal, motions, [], air).tolist() == []
    # The first of the second tool now stands nearer than the rest: of those the farthest is left.
    places[1] = 20.0
    placed = [shapely.box(z, 0, z + 5, 20) for z in places]
    motions = table([appear((z, 0)) for z in places], tool=[0, 1, 1, 1, 1, 1, 1])
    worth = worth_measuring(placed, metal, motions, spots, air)
    assert worth.tolist() == [True, True, False, True, True, True, True]


@pytest.mark.parametrize("z", [-120.0, 0.0, 120.0])
def test_whether_a_piece_hangs_on_the_bar_is_the_same_wherever_part_zero_lies(z: float) -> None:
    """A bar 10 long and 5 high, gripped at its left end. Cut 0 takes a disc off the far end; what
    cut 1 takes off hung on the bar by a border of 5 until then, what cut 2 does stood in the air
    above it, by a gap of 1."""
    bar = shapely.box(z, 0, z + 10, 5)
    hangs = shapely.box(z + 10, 0, z + 15, 5)
    apart = shapely.box(z + 4, 6, z + 8, 8)
    for taken, loose in (([hangs], 0.0), ([hangs, apart], 8.0)):
        cuts = [shapely.box(z + 15, 0, z + 16, 5), *taken]
        shares = Shares(np.array(cuts, dtype=object), np.arange(len(cuts)))
        found, burr = first_loosened(bar, shares, Interval(z, z + 2), 0)
        assert (0.0 if found is None else found.area.area) == pytest.approx(loose)
        assert burr is None


def test_what_each_motion_takes_off_a_bar_is_what_it_is_the_first_to_cut_of_it() -> None:
    """The tool is 10 by 10, its controlled point at the corner next to chuck and axis; the bar
    lies at z -40 to 0 and r 0 to 20. The first pass takes r 16 to 20 of it to z -20, the second r
    12 to 16 to z -30 and r 16 to 20 from z -20 to -30; the third runs in front of the bar."""
    rows = [
        appear((5, 16)),
        feed((5, 16), (-20, 16)),
        rapid((-20, 16), (5, 30)),
        rapid((5, 30), (5, 12)),
        feed((5, 12), (-30, 12)),
        rapid((-30, 12), (5, 40)),
        feed((5, 40), (5, 1)),
    ]
    swept = sweep(table(rows), [Tooling(SQUARE, Spindle.FORWARD)], LIMIT, REACH)
    bar = shapely.box(-40, 0, 0, 20)
    shares = shares_of(bar, swept)
    assert shares.motion.tolist() == [1, 4]
    first, second = shares.area
    assert first.symmetric_difference(shapely.box(-20, 16, 0, 20)).area < 1e-3
    step = shapely.box(-30, 12, 0, 20).difference(shapely.box(-20, 16, 0, 20))
    assert second.symmetric_difference(step).area < 1e-3
    same = first_cuts(swept).of(bar)
    assert same.motion.tolist() == [1, 4]
    for one, other in zip(shares.area, same.area, strict=True):
        assert one.symmetric_difference(other).area < 1e-6
