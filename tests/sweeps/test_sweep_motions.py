"""Motions of whole tools: order inside a motion, the axis, the spindle, corners, the reach.

Verdicts are plain from the section; common practice of turning where no sum is given.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely
from section_shop import (
    BORING,
    DRILL,
    GROOVING,
    HOOKED,
    LIMIT,
    REACH,
    SQUARE,
    TURNING,
    Point,
    Row,
    anyhow,
    appear,
    feed,
    keep_out_area,
    rapid,
    shape,
    strikes,
    table,
)

from standclear.motions.table import Spindle
from standclear.proof.keep_out import keep_out
from standclear.sweeps.fold import Fold
from standclear.sweeps.outline import Outline
from standclear.sweeps.sweep import Tooling, least_contact_limit, sweep
from standclear.tools.shape import ToolShape

THIN = shape([(0, 0), (0.1, 0), (0.1, 40), (0, 40)], [0])
BAR = shapely.box(-60, 0, 20, 20)


def block(z_from: float, z_to: float, r_from: float = 0.0, r_to: float = 20.0) -> shapely.Polygon:
    return shapely.box(z_from, r_from, z_to, r_to)


class TestInsideOneMotion:
    def test_turning_along_the_bar_is_clear(self) -> None:
        rows = [appear((30, 30)), rapid((30, 30), (30, 15)), feed((30, 15), (-20, 15))]
        assert strikes(TURNING, rows, BAR) == []

    def test_the_same_pass_back_rubs_nothing_but_a_deeper_return_strikes(self) -> None:
        rows = [appear((30, 15)), feed((30, 15), (-20, 15)), feed((-20, 15), (30, 15))]
        assert strikes(TURNING, rows, BAR) == []
        rows[2] = feed((-20, 15), (30, 12))
        assert strikes(TURNING, rows, BAR) == [2]

    def test_a_shoulder_higher_than_the_edge_meets_the_holder(self) -> None:
        # The edge reaches 12 up; the bar of radius 20 turned to 5 stands 15 over it.
        rows = [appear((30, 5)), feed((30, 5), (-20, 5))]
        assert strikes(TURNING, rows, BAR) == [1]
        assert strikes(TURNING, rows, block(-60, 20, 0, 17)) == []

    def test_grooving_deeper_than_the_blade_meets_the_body(self) -> None:
        # The body begins 12 above the edge.
        for depth, hit in ((11.9, []), (12.1, [1])):
            rows = [appear((0, 25)), feed((0, 25), (0, 20 - depth))]
            assert strikes(GROOVING, rows, BAR) == hit

    def test_a_groove_tool_fed_sideways_cuts_with_its_sides_only_as_high_as_they_are(self) -> None:
        # Its sides cut 2 high.
        for wall, hit in ((1.9, []), (2.1, [2])):
            rows = [
                appear((30, 20)),
                rapid((30, 20), (30, 20 - wall)),
                feed((30, 20 - wall), (0, 20 - wall)),
            ]
            assert strikes(GROOVING, rows, BAR) == hit

    def test_touching_within_the_contact_limit_is_not_striking(self) -> None:
        for depth, hit in ((0.0, []), (0.0049, []), (0.0051, [1])):
            rows = [appear((30, 20 - depth)), rapid((30, 20 - depth), (0, 20 - depth))]
            assert strikes(SQUARE, rows, BAR) == hit

    def test_a_cut_counts_after_its_own_motion_only(self) -> None:
        # The hook of the holder stands before the edge: it strikes what the edge would cut later.
        early = shape([(0, 0), (5, 0), (5, 20), (-3, 20), (-3, 4), (0, 4)], [0, 5])
        rows = [appear((30, 10)), feed((30, 10), (0, 10))]
        assert strikes(early, rows, block(-60, 20, 0, 15)) == [1]
        assert strikes(early, rows, block(-60, 20, 0, 13.9)) == []


class TestTheSpindle:
    @pytest.mark.parametrize("spindle", [Spindle.STOPPED, Spindle.REVERSE])
    def test_a_feed_that_cannot_cut_strikes_and_opens_nothing(self, spindle: Spindle) -> None:
        rows = [appear((30, 15)), feed((30, 15), (0, 15)), rapid((0, 15), (30, 15))]
        motions = table(rows, spindle=spindle)
        keep = keep_out(motions, [Tooling(SQUARE, Spindle.FORWARD)], [0.0], LIMIT, REACH)
        assert keep.layers[0].first_strikes(BAR) == [1]
        assert keep.most_cut.is_empty

    def test_a_left_hand_tool_cuts_with_the_spindle_reversed(self) -> None:
        motions = table([appear((30, 15)), feed((30, 15), (0, 15))], spindle=Spindle.REVERSE)
        keep = keep_out(motions, [Tooling(SQUARE, Spindle.REVERSE)], [0.0], LIMIT, REACH)
        assert keep.layers[0].first_strikes(BAR) == []

    def test_a_feed_that_may_not_be_made_cuts_nothing(self) -> None:
        rows = [appear((30, 15)), feed((30, 15), (0, 15)), rapid((0, 15), (30, 15))]
        motions = table(rows, credited=[True, False, True])
        keep = keep_out(motions, [Tooling(SQUARE, Spindle.FORWARD)], [0.0], LIMIT, REACH)
        assert keep.most_cut.is_empty
        assert keep.layers[0].first_strikes(BAR) == [2]


class TestTheAxis:
    def test_facing_past_the_centre_is_clear(self) -> None:
        rows = [appear((0, 25)), feed((0, 25), (0, -1.6))]
        assert strikes(TURNING, rows, block(-60, 5)) == []

    def test_a_rapid_past_the_centre_strikes_on_the_far_side(self) -> None:
        # In front of the face the tool drops to r -6, then runs into the bar below the axis; above
        # it there is a bore of radius 10 for all of it that is 6 high.
        bored = block(-60, 20, 10, 20)
        low = shape([(0, 0), (5, 0), (5, 4), (0, 4)], [0])
        for r, hit in ((-6, []), (-12, [2])):
            rows = [appear((30, 0)), rapid((30, 0), (30, r)), rapid((30, r), (0, r))]
            assert strikes(low, rows, bored) == hit

    def test_a_drill_on_the_axis_is_clear_and_off_it_strikes(self) -> None:
        for r, hit in ((0, []), (-0.2, [1])):
            rows = [appear((30, r)), feed((30, r), (-5, r))]
            assert strikes(DRILL, rows, block(-60, 20)) == hit

    @pytest.mark.parametrize("r", [0.2, -0.2, 8.0])
    def test_a_drill_known_as_one_cuts_nowhere_but_on_the_axis(self, r: float) -> None:
        rows = [appear((30, r)), feed((30, r), (-5, r))]
        assert strikes(replace(DRILL, kind="drill"), rows, block(-60, 20)) == [1]
        on_axis = [appear((30, 0)), feed((30, 0), (-5, 0))]
        assert strikes(replace(DRILL, kind="drill"), on_axis, block(-60, 20)) == []

    def test_a_drill_deeper_than_its_flutes_meets_its_holder(self) -> None:
        # The holder begins 40 behind the point: the face is at 20.
        for z, hit in ((-19.9, []), (-20.1, [1])):
            rows = [appear((30, 0)), feed((30, 0), (z, 0))]
            assert strikes(DRILL, rows, block(-60, 20)) == hit

    def test_the_back_of_a_boring_bar_strikes_the_far_side(self) -> None:
        # The bar reaches 13 behind its edge: in a bore of radius r with the edge at r it reaches
        # r - 13 on the far side, so radius 6.5 is the least that it goes into.
        for bore, hit in ((7.0, []), (6.0, [1])):
            rows = [appear((30, bore)), feed((30, bore), (0, bore))]
            assert strikes(BORING, rows, block(-60, 20, bore, 20)) == hit

    def test_what_sinks_on_the_far_side_counts_from_where_shade_ends(self) -> None:
        # Fed slanting towards the axis in a finished bore of 8: at r 4 the back stands at -9.
        rows = [appear((30, 8)), feed((30, 8), (10, 8)), feed((10, 8), (5, 4))]
        assert strikes(BORING, rows, block(-60, 20, 8, 20)) == [2]

    @pytest.mark.parametrize("tool", [SQUARE, TURNING, GROOVING, BORING, HOOKED])
    def test_where_shade_ends_lies_between_probes_on_either_side(self, tool: ToolShape) -> None:
        body = Outline(tool.outer, tool.outer_cuts)
        ends = Fold((body,), (body,), tool.outer)._whole.ends
        assert _far_side_bare(body.polygon, ends - 1e-3)
        assert not _far_side_bare(body.polygon, ends + 1e-3)
        assert not any(_far_side_bare(body.polygon, r) for r in np.linspace(ends + 1e-3, 70, 300))

    def test_a_slot_near_the_far_side_opens_the_shade_again(self) -> None:
        # A foot from r -60 to -59.8, a slot to -59.6: with the tip at 59.8 the foot's image lies in
        # the slot; the solid body above shades it all the way from r 59.7 down to 30.
        slotted = shape(
            [(0, 0), (0, -60), (4, -60), (4, -59.8), (1, -59.8), (1, -59.6), (4, -59.6), (4, 0)],
            [7],
        )
        body = Outline(slotted.outer, slotted.outer_cuts)
        ends = Fold((body,), (body,), slotted.outer)._whole.ends
        # Foot's underside -60 and the slot's roof -59.6 at the highest: (60 + 59.8) / 2 to
        # (59.8 + 59.6) / 2; the first is where it begins.
        assert ends == pytest.approx(59.9, abs=1e-9)


def _far_side_bare(tool: shapely.Polygon, r: float) -> bool:
    """Whether some of the tool, tip at `r`, lies past the axis with its image outside the tool."""
    placed = shapely.transform(tool, lambda p: p + np.array([0.0, r]))
    past = placed.intersection(shapely.box(-1e3, -1e3, 1e3, 0))
    image = shapely.transform(past, lambda p: p * (1.0, -1.0))
    return bool(image.difference(placed).area > 1e-12)


class TestRapids:
    def test_the_whole_rectangle_counts_where_the_way_is_not_known(self) -> None:
        corner = block(-60, 0)
        for way, hit in ((rapid, []), (anyhow, [1])):
            rows = [appear((15, 10)), way((15, 10), (-10, 35))]
            assert strikes(SQUARE, rows, corner) == hit

    def test_a_rounded_corner_is_cut_off(self) -> None:
        # Along r 25 to z 0, then down: rounded within 4 the foot runs from (-4, 25) to (0, 21) and
        # passes z -2 at r 23; without rounding it goes there at r 25 only.
        rows = [appear((-20, 25)), rapid((-20, 25), (0, 25)), rapid((0, 25), (0, 10))]
        for corner, r, hit in ((0.0, 24.9, []), (4.0, 23.1, [2]), (4.0, 22.9, [])):
            keep = keep_out(
                table(rows), [Tooling(THIN, Spindle.FORWARD)], [0.0], LIMIT, REACH, corner
            )
            assert keep.layers[0].first_strikes(shapely.Point(-2, r).buffer(0.02)) == hit

    @pytest.mark.parametrize(
        ("second", "tool", "within", "r", "hit"),
        [
            # Rounded within 0.8 it passes z -0.4 at r 24.6.
            (rapid, [0, 0, 0], 0.8, 24.7, [2]),
            (rapid, [0, 0, 0], 0.8, 24.5, []),
            # Only corners between rapids of one tool are.
            (feed, [0, 0, 0], 0.8, 24.7, []),
            (rapid, [0, 0, 1], 0.8, 24.7, []),
        ],
    )
    def test_only_between_two_rapids_of_one_tool_is_a_corner_rounded(
        self,
        second: Callable[[Point, Point], Row],
        tool: list[int],
        within: float,
        r: float,
        hit: list[int],
    ) -> None:
        rows = [appear((-20, 25)), rapid((-20, 25), (0, 25)), second((0, 25), (0, 10))]
        tools = [Tooling(THIN, Spindle.FORWARD)] * 2
        motions = table(rows, tool=tool)
        keep = keep_out(motions, tools, [0.0, 0.0], LIMIT, REACH, within)
        assert keep.layers[0].first_strikes(shapely.Point(-0.4, r).buffer(0.02)) == hit

    def test_a_corner_between_two_ways_not_known_is_a_square(self) -> None:
        # The way comes down along r 40's end and leaves along r 40: at (2, 38) it is outside both
        # rectangles, and within 5 of the corner.
        rows = [appear((0, 30)), anyhow((0, 30), (10, 40)), anyhow((10, 40), (20, 50))]
        tools = [Tooling(THIN, Spindle.FORWARD)]
        point = shapely.Point(12, 38).buffer(0.01)
        for corner, hit in ((0.0, []), (5.0, [2])):
            keep = keep_out(table(rows), tools, [0.0], LIMIT, REACH, corner)
            assert keep.layers[0].first_strikes(point) == hit

    def test_a_corner_after_a_short_leg_of_a_bent_rapid_is_a_square(self) -> None:
        # The second rapid bends after 1; rounded within 4 the tool may cut across the bend.
        rows = [
            appear((0, 30)),
            rapid((0, 30), (20, 30)),
            rapid((20, 30), (21, 29)),
            rapid((21, 29), (21, 10)),
        ]
        point = shapely.Point(19, 28).buffer(0.01)
        tools = [Tooling(THIN, Spindle.FORWARD)]
        keep = keep_out(table(rows), tools, [0.0], LIMIT, REACH, 4.0)
        assert keep.layers[0].first_strikes(point) != []

    def test_every_reading_of_a_call_leads_on_and_follows_on(self) -> None:
        # A call read in two ways ends at (10, 30), coming along r or along z; the rapid after it
        # leaves along r. Only the reading that comes along z has a corner to cut off, and it is
        # not the last one in the table.
        rows = [
            appear((30, 20)),
            rapid((30, 20), (30, 30)),
            rapid((30, 30), (10, 30)),
            rapid((30, 20), (10, 20)),
            rapid((10, 20), (10, 30)),
            rapid((10, 30), (10, 15)),
        ]
        motions = table(rows, call=[-1, 0, 0, 0, 0, -1], variant=[0, 0, 0, 1, 1, 0])
        swept = sweep(motions, [Tooling(THIN, Spindle.FORWARD)], LIMIT, REACH, rapid_corner=4.0)
        last = shapely.union_all(swept.strike[swept.strike_motion == 5])
        assert last.covers(shapely.Point(12, 28.1))


class TestTables:
    @pytest.mark.parametrize(
        ("start", "end"),
        [
            ((-20, 15), (-50, 15)),
            ((30, 15), (-8, 15)),
            ((-20, 40), (-20, 15)),
            ((-20, 9), (-20, 1)),
        ],
    )
    def test_pieces_are_cut_off_at_the_border_that_they_cross(
        self, start: Point, end: Point
    ) -> None:
        # The reach is 40 by 20; a square of 10 by 10 goes across each of its borders in turn.
        reach = (-40.0, 5.0, 0.0, 25.0)
        rows = [feed(start, end), rapid(start, end)]
        swept = sweep(table(rows), [Tooling(SQUARE, Spindle.FORWARD)], LIMIT, reach)
        box = shapely.box(*reach)
        (z0, r0), (z1, r1) = start, end
        way = shapely.box(min(z0, z1), min(r0, r1), max(z0, z1) + 10, max(r0, r1) + 10)
        for pieces in (swept.strike, swept.cut):
            covered = shapely.union_all(pieces)
            assert not covered.is_empty and box.buffer(2e-9).covers(covered)
            # But for the square where it starts, and the contact limit.
            rest = way.intersection(box).difference(covered.buffer(2 * LIMIT))
            assert rest.difference(shapely.box(z0, r0, z0 + 10, r0 + 10)).is_empty

    def test_pieces_stand_in_order_of_motion_and_inside_the_reach(self) -> None:
        rows = [appear((30, 30)), feed((30, 30), (-80, 10)), rapid((-80, 10), (90, 70))]
        reach = (-40.0, 0.0, 10.0, 25.0)
        swept = sweep(table(rows), [Tooling(TURNING, Spindle.FORWARD)], LIMIT, reach)
        for pieces, motion in ((swept.strike, swept.strike_motion), (swept.cut, swept.cut_motion)):
            assert (np.diff(motion) >= 0).all()
            assert shapely.box(*reach).buffer(2e-9).covers(shapely.union_all(pieces))
        wide = sweep(table(rows), [Tooling(TURNING, Spindle.FORWARD)], LIMIT, REACH)
        clipped = shapely.union_all(wide.cut).intersection(shapely.box(*reach))
        assert shapely.union_all(swept.cut).symmetric_difference(clipped).area < 1e-6

    def test_until_leaves_out_what_comes_later(self) -> None:
        rows = [appear((30, 15)), feed((30, 15), (0, 15)), rapid((0, 15), (30, 30))]
        swept = sweep(table(rows), [Tooling(TURNING, Spindle.FORWARD)], LIMIT, REACH)
        early = swept.until(2)
        assert early.count == 2
        assert set(early.strike_motion) | set(early.cut_motion) == {0, 1}

    def test_a_tool_that_is_not_known_sweeps_nothing(self) -> None:
        swept = sweep(table([appear((0, 0)), rapid((0, 0), (9, 9))]), [None], LIMIT, REACH)
        assert len(swept.strike) == len(swept.cut) == 0

    def test_arcs_by_chords_strike_more_and_cut_less(self) -> None:
        # A chord that the arc may leave by 0.001: R is inset by 0.004 in place of 0.005, the edge
        # by 0.001 in place of nothing.
        rows = [appear((30, 15)), feed((30, 15), (0, 15))]
        straight = table(rows)
        arc = replace(straight, sagitta=np.array([0.0, 0.001]))
        tools = [Tooling(SQUARE, Spindle.FORWARD)]
        one, other = (sweep(m, tools, LIMIT, REACH) for m in (straight, arc))
        assert shapely.union_all(one.cut).bounds[1] == pytest.approx(15.0)
        assert shapely.union_all(other.cut).bounds[1] == pytest.approx(15.001)
        # As a rapid, so that all of it sweeps.
        stopped = [replace(m, spindle=np.zeros(2, dtype=np.int8)) for m in (straight, arc)]
        lows = [
            shapely.union_all(sweep(m, tools, LIMIT, REACH).strike[1:]).bounds[1] for m in stopped
        ]
        assert lows == pytest.approx([15.005, 15.004])

    def test_a_contact_limit_finer_than_the_arcs_is_refused(self) -> None:
        motions = replace(table([appear((0, 9))]), sagitta=np.array([0.002]))
        # Twice 0.0005 of outlines and 0.002 of chords.
        assert least_contact_limit(motions) == pytest.approx(0.005)
        with pytest.raises(ValueError, match=r"limit 0\.005 mm: give more than 0\.0050 mm"):
            sweep(motions, [Tooling(SQUARE, Spindle.FORWARD)], 0.005, REACH)

    def test_an_empty_table_keeps_nothing_out(self) -> None:
        assert keep_out_area(SQUARE, []).is_empty
