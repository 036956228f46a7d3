"""Air, jaws, loose metal, necks, skin: what stands near and what hangs on too little."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from proof_shop import TOOLS, codes, measured, only, proof_of
from section_shop import SQUARE, anyhow, appear, feed, rapid, shape, table

from standclear import Verdict
from standclear.interval import Interval
from standclear.motions.table import Spindle
from standclear.proof.neck import hangs_by_less
from standclear.proof.obstacles import Encounter, encounters
from standclear.proof.section import grow, rectangle, slide, surely, turned
from standclear.proof.skin import Where, raw_left
from standclear.sweeps.sweep import Tooling

JAW = shapely.box(-60, 20, -40, 40)


class TestAir:
    """Margins are 2 on diameter and 2 in Z; the bar is 40, its face at Z1."""

    @pytest.mark.parametrize(
        ("x", "z", "near"),
        [
            (44.0, 3.1, False),
            (44.0, 2.0, False),  # 2.0 over the diameter suffices
            (42.1, 2.0, False),  # 2.1 on diameter likewise
            (41.9, 2.9, True),
            (41.9, 3.1, False),  # 2.1 in front suffices
            (30.0, 2.9, True),
        ],
    )
    def test_a_clearance_point_is_far_enough_in_x_or_in_z(
        self, x: float, z: float, near: bool
    ) -> None:
        proof = proof_of(f"G00 X60. Z{z}\nX{x}\nG01 Z{z - 0.5:.1f} F0.2\nG00 X60.\n")
        assert ("start-too-near" in codes(proof)) is near, codes(proof)

    def test_gaps_are_told_in_the_trades_way(self) -> None:
        proof = proof_of("G00 X60. Z2.5\nX41.5\nG01 Z0. F0.2\nG00 X60.\n")
        finding = only(proof, "start-too-near")
        # 1.5 on diameter, 0.75 between tool and metal, 1.5 in front of a face at Z1.
        assert measured(finding, "over") == pytest.approx(1.5)
        assert measured(finding, "over_radial") == pytest.approx(0.75)
        assert measured(finding, "before") == pytest.approx(1.5)

    def test_what_is_wanted_is_told_with_where_to_stand(self) -> None:
        # 2 on diameter over a bar of 40, or 2 in front of Z1.
        finding = only(proof_of("G00 X60. Z2.5\nX41.5\nG01 Z0. F0.2\nG00 X60.\n"), "start-too-near")
        wanted = {"x": 41.5, "z": 2.5, "wanted_x": 2.0, "wanted_z": 2.0, "need_x": 42.0}
        for name, value in {**wanted, "need_z": 3.0}.items():
            assert measured(finding, name) == pytest.approx(value)
        assert {"under", "behind"}.isdisjoint(m.name for m in finding.measures)

    def test_the_way_to_a_place_too_near_is_not_told_again(self) -> None:
        # Down to X41.5 beside the bar, where a feed starts; nothing starts where the second goes.
        there = proof_of("G00 X60. Z2.5\nX41.5\nG01 Z0. F0.2\nX60.\n")
        assert "start-too-near" in codes(there) and "approach-too-near" not in codes(there)
        assert "approach-too-near" in codes(proof_of("G00 X60. Z2.5\nX41.5\nX60.\n"))

    def test_a_start_inside_is_told_with_how_far(self) -> None:
        # X36. is 4 under a bar of 40, Z0. 1 behind its face at Z1.
        finding = only(proof_of("G00 X36. Z0.\nG01 Z-5. F0.2\nX60.\n"), "start-inside-metal")
        assert measured(finding, "under") == pytest.approx(4.0)
        assert measured(finding, "behind") == pytest.approx(1.0)

    def test_a_place_to_watch_names_its_tool_as_the_job_does(self) -> None:
        # The third of the job's tools has a name, the first none.
        tools = {**TOOLS, 3: TOOLS[3] + '\nname = "short drill"'}
        program = "G00 X60. Z6.\nG28 U0 W0\nT0303\nG00 X0 Z6.\nG01 Z-5. F0.1\nG00 Z6.\nG28 U0 W0\n"
        near = proof_of(program, tools=tools).setups[0].approaches
        assert {each.tool for each in near} == {"T1", "T3 short drill"}

    def test_a_tool_that_the_job_does_not_have_hides_no_other(self) -> None:
        program = "G00 X60. Z2.5\nX41.5\nG01 Z0. F0.2\nG00 X60.\nG28 U0 W0\n"
        found = proof_of(f"G28 U0 W0\nT0909\nG00 X60. Z5.\nG28 U0 W0\nT0101\n{program}")
        assert found.verdict is Verdict.UNPROVEN
        trace, outlines = found.setups[0].trace, found.setups[0].tool_outlines
        lacking = [use.station == 9 for use in trace.tools]
        assert any(lacking) and [each.is_empty for each in outlines] == lacking
        assert measured(only(found, "start-too-near"), "over") == pytest.approx(1.5)

    def test_a_feed_that_starts_in_metal_is_worse_than_near(self) -> None:
        proof = proof_of("G00 X36. Z0.\nG01 Z-5. F0.2\nX60.\n")
        assert "start-inside-metal" in codes(proof)
        assert "start-too-near" not in codes(proof)

    def test_an_approach_owes_the_margin_along_its_way(self) -> None:
        # Passing the bar's edge at Z2.5 with X60 to X30 is 1.5 in front of it.
        near = proof_of("G00 X60. Z2.5\nX30.\nX60.\n")
        assert "approach-too-near" in codes(near)
        assert "approach-too-near" not in codes(proof_of("G00 X60. Z3.5\nX30.\nX60.\n"))

    def test_an_approach_past_the_corner_names_both_axes_that_are_short(self) -> None:
        # At X41.8 Z2.8 the point stands 1.8 over the diameter and 1.8 in front, 2.01 from the
        # corner: more than the 2 wanted either way, and too near all the same.
        proof = proof_of("G00 X60. Z2.8\nX41.8\nX60.\n")
        finding = next(f for f in proof.findings if f.code == "approach-too-near")
        assert measured(finding, "gap_x") == pytest.approx(1.8, abs=0.01)
        assert measured(finding, "gap_z") == pytest.approx(1.8, abs=0.01)
        assert "short in X and Z, where" in finding.message
        proof = proof_of("G00 X60. Z2.5\nX30.\nX60.\n")
        beside = next(f for f in proof.findings if f.code == "approach-too-near")
        assert "short in Z, where" in beside.message

    def test_a_return_close_over_fresh_metal_owes_none(self) -> None:
        program = "G00 X44. Z4.\nG94 X-0.6 Z0. F0.2\nG00 X44. Z4.\nG90 X36. Z-20. F0.2\nX34.\n"
        assert {"start-too-near", "approach-too-near"}.isdisjoint(codes(proof_of(program)))

    def test_a_margin_wider_than_what_is_swept_is_still_seen(self) -> None:
        # 15 over the diameter on radius where 20 are wanted.
        proof = proof_of(
            "G00 X70. Z30.\nZ-5.\nG01 Z-10. F0.2\nG00 X90.\n", margin="x = 40.0, z = 40.0"
        )
        assert "start-too-near" in codes(proof)


def met(
    rows: list, margin: float = 1.0, wear: float = 0.0, **more: object
) -> tuple[Encounter, ...]:
    tools = [Tooling(SQUARE, Spindle.FORWARD)]
    return encounters(table(rows), tools, [wear], {"jaws": JAW}, margin, 0.005, **more)


def test_a_strike_by_wear_alone_is_told_where_it_is() -> None:
    # 0.05 over the bar on radius, along it to Z-10.; off by 0.1 either way the tool meets it 0.05
    # deep, less the contact limit of 0.005, by which a sharp corner recedes a little more; up to
    # 0.1 in front of its face at Z1.
    program = "G00 X60. Z5.\nX40.1\nZ-10.\nX60.\n"
    assert proof_of(program, margin="x = 0.0, z = 0.0, jaws = 1.0").verdict is Verdict.CLEAR
    worn = proof_of(program, more_of_tools="wear = 0.1")
    finding = next(f for f in worn.findings if f.place is not None and f.place.words == "Z-10.")
    assert finding.code == "rapid-into-metal"
    assert measured(finding, "depth") == pytest.approx(0.045, abs=0.001)
    assert measured(finding, "z_from") == pytest.approx(-10.0, abs=0.02)
    assert measured(finding, "z_to") == pytest.approx(1.1, abs=1e-4)


class TestJaws:
    """Jaws from z -60 to -40, from r 20; the tool's corner towards both is programmed."""

    @pytest.mark.parametrize(
        ("z", "distance", "strikes"),
        [(-38.9, None, False), (-39.1, 0.9, False), (-39.9, 0.1, False), (-40.1, 0.0, True)],
    )
    def test_distance_is_that_of_the_whole_tool(
        self, z: float, distance: float | None, strikes: bool
    ) -> None:
        found = met([appear((0, 25)), feed((0, 25), (z, 25))])
        if distance is None:
            assert found == ()
        else:
            (one,) = found
            assert (one.motion, one.strikes) == (1, strikes)
            assert one.distance == pytest.approx(distance)

    def test_edges_count_as_much_as_the_holder(self) -> None:
        (one,) = met([appear((0, 25)), feed((0, 25), (-45, 25))])
        assert one.strikes and one.overlap.equals(shapely.box(-45, 25, -40, 35))

    def test_without_a_margin_they_are_still_struck(self) -> None:
        assert [e.strikes for e in met([appear((0, 25)), feed((0, 25), (-45, 25))], margin=0)] == [
            True
        ]
        assert met([appear((0, 25)), feed((0, 25), (-39.9, 25))], margin=0) == ()
        proof = proof_of("G00 X60. Z-43.\nZ-45.\nZ3.\n", margin="x = 2.0, z = 2.0, jaws = 0.0")
        assert proof.verdict is Verdict.CONTACT and "jaws-struck" in codes(proof)

    def test_touching_within_the_contact_limit_is_near_and_no_strike(self) -> None:
        (one,) = met([appear((0, 25)), rapid((0, 25), (-40.004, 25))])
        assert not one.strikes and one.distance == 0.0
        (other,) = met([appear((0, 25)), rapid((0, 25), (-40.006, 25))])
        assert other.strikes

    @pytest.mark.parametrize(("z", "distance"), [(-38.6, None), (-38.8, 0.9), (-39.6, 0.1)])
    def test_wear_is_taken_off_the_distance(self, z: float, distance: float | None) -> None:
        # In front of the jaws, Z-40., less the wear of 0.3; a margin of 1 is wanted beyond it.
        found = met([appear((0, 25)), feed((0, 25), (z, 25))], wear=0.3)
        assert [e.distance for e in found] == (
            [] if distance is None else [pytest.approx(distance)]
        )

    def test_wear_reaches_round_a_corner(self) -> None:
        # The corner of the jaw at (-40, 20), a tool with its corner at (-z, ...) diagonal to it:
        # 0.12 along both axes is 0.17 away; a wear of 0.15 each way closes that.
        corner = shape([(0, 0), (5, 0), (5, -30), (0, -30)][::-1], [0])
        tools = [Tooling(corner, Spindle.FORWARD)]
        motions = table([appear((0, 19.88)), rapid((0, 19.88), (-39.88, 19.88))])
        for wear, strikes in ((0.1, False), (0.15, True)):
            found = encounters(motions, tools, [wear], {"jaws": JAW}, 1.0, 0.005)
            assert [e.strikes for e in found] == [strikes]
            if not strikes:
                assert found[0].distance == pytest.approx(0.02 * 2**0.5)

    def test_a_way_known_by_its_rectangle_may_meet_them(self) -> None:
        assert met([appear((0, 15)), anyhow((0, 15), (-45, 41))])[0].strikes
        assert met([appear((0, 41)), rapid((0, 41), (-45, 41.5))]) == ()

    def test_the_far_side_counts(self) -> None:
        # Down past the axis beside the jaws: the tool's lower edge at r -25 meets their far side.
        assert met([appear((-30, 0)), rapid((-30, 0), (-45, -25))])[0].strikes

    def test_corners_are_rounded_here_too(self) -> None:
        rows = [appear((0, 45)), rapid((0, 45), (-36, 45)), rapid((-36, 45), (-36, 10))]
        assert met(rows) == ()
        # Along r 41 to z -30 and down: no nearer than 5.
        assert met([appear((-60, 41.5)), rapid((-60, 41.5), (-30, 41.5)),
                    rapid((-30, 41.5), (-30, 10))]) == ()  # fmt: skip
        cut = met([appear((-60, 41.5)), rapid((-60, 41.5), (-30, 41.5)),
                   rapid((-30, 41.5), (-30, 10))], rapid_corner=20.0)  # fmt: skip
        assert any(e.strikes for e in cut)

    def test_an_empty_table_and_empty_obstacles(self) -> None:
        assert met([]) == ()
        tools = [Tooling(SQUARE, Spindle.FORWARD)]
        motions = table([appear((0, 25)), rapid((0, 25), (-45, 25))])
        assert encounters(motions, tools, [0.0], {"jaws": shapely.Polygon()}, 1.0, 0.005) == ()


class TestLooseMetal:
    TREPAN = (
        "G00 X60. Z3.\nG28 U0 W0\nT0606\nG00 X20. Z3.\nG01 Z-10. F0.1\nZ3.\nG28 U0 W0\n"
        "T0202\nG00 X44. Z-12.\nG01 X18. F0.1\nX44.\n"
    )
    """A face groove from 20 outwards, 4 wide and 10 deep, then a groove from outside into it."""
    FACE_TOOL = "outline = { points = [[0, 0], [60, 0], [60, 4], [0, 4]], cutting = [3] }"

    def test_a_ring_cut_free_is_loose(self) -> None:
        proof = proof_of(self.TREPAN, tools={**TOOLS, 6: self.FACE_TOOL})
        assert proof.verdict is Verdict.UNPROVEN
        finding = only(proof, "loose-metal")
        assert finding.place is not None and finding.place.words == "G01 X18. F0.1"
        # What follows the cut is not proved.
        motions = proof.setups[0].trace.motions
        assert finding.motion > 0 and motions.end[finding.motion - 1].tolist() == [-12.0, 9.0]
        # The ring between the face groove's outside, 28, and the bar's 40; from the face at Z1 to
        # the outer groove's tail side, which is 4 in front of its programmed corner.
        assert measured(finding, "d_from") == pytest.approx(28.0, abs=0.01)
        assert measured(finding, "d_to") == pytest.approx(40.0, abs=0.01)
        assert measured(finding, "z_from") == pytest.approx(-8.0, abs=0.01)
        assert measured(finding, "z_to") == pytest.approx(1.0, abs=0.01)

    def test_what_follows_may_strike_it_and_is_unproven(self) -> None:
        after = "G00 X60.\nZ3.\nX30.\nZ-5.\nZ3.\n"
        proof = proof_of(self.TREPAN + after, tools={**TOOLS, 6: self.FACE_TOOL})
        assert proof.verdict is Verdict.UNPROVEN
        assert any("may run" in f.message for f in proof.findings if f.code == "rapid-into-metal")

    def test_a_groove_that_leaves_a_wall_leaves_it_held(self) -> None:
        program = self.TREPAN.replace("G01 X18.", "G01 X30.")
        proof = proof_of(program, tools={**TOOLS, 6: self.FACE_TOOL})
        assert "loose-metal" not in codes(proof)
        assert proof.verdict is Verdict.CLEAR

    PART_OFF = (
        "G28 U0 W0\nT0202\nG00 X44. Z-20.\nG01 X-0.5 F0.1\nX44.\nG00 X60.\nZ3.\nX20.\nZ-10.\n"
    )

    def test_parting_off_without_a_word_is_unproven(self) -> None:
        assert proof_of(self.PART_OFF).verdict is Verdict.UNPROVEN

    def test_where_it_falls_the_way_is_free_from_there_on(self) -> None:
        # The program's fourth line is the third of HEAD and START; the cut is line 8.
        proof = proof_of(self.PART_OFF, more_of_setup="falls_at = [8]")
        assert proof.verdict is Verdict.CLEAR
        elsewhere = proof_of(self.PART_OFF, more_of_setup="falls_at = [7]")
        assert elsewhere.verdict is Verdict.UNPROVEN


class TestNecks:
    """A bar of 40 with a neck of 6 in diameter, gripped at the chuck side."""

    METAL = shapely.union_all(
        [shapely.box(-60, 0, -20, 20), shapely.box(-20, 0, -15, 3), shapely.box(-15, 0, 0, 20)]
    )
    GRIP = Interval(-60, -45)

    @pytest.mark.parametrize(("least", "hangs"), [(0.0, False), (6.0, False), (6.1, True)])
    def test_a_neck_is_its_diameter(self, least: float, hangs: bool) -> None:
        found = hangs_by_less(self.METAL, self.GRIP, least)
        assert found.is_empty is not hangs
        if hangs:
            # All in front of the neck, and some of the neck.
            assert found.covers(shapely.box(-14, 1, -1, 19)) and found.bounds[0] >= -20

    @pytest.mark.parametrize(("least", "hangs"), [(1.9, False), (2.1, True)])
    def test_of_a_tube_it_is_the_wall(self, least: float, hangs: bool) -> None:
        tube = self.METAL.difference(shapely.box(-61, 0, 1, 1))
        # The wall at the neck is 3 - 1 = 2.
        assert hangs_by_less(tube, self.GRIP, least).is_empty is not hangs

    def test_nothing_hangs_where_nothing_is(self) -> None:
        assert hangs_by_less(shapely.Polygon(), self.GRIP, 5.0).is_empty

    def test_a_thin_neck_leaves_the_job_unproven(self) -> None:
        program = "G28 U0 W0\nT0202\nG00 X44. Z-20.\nG01 X6. F0.1\nX44.\n"
        part = "length = 58.0\nleast_neck = {}"
        thin = proof_of(program, part=part.format(6.5))
        assert thin.verdict is Verdict.UNPROVEN
        (finding,) = [f for f in thin.findings if f.code == "loose-metal"]
        assert finding.unproven and "least neck" in finding.message
        assert proof_of(program, part=part.format(5.5)).verdict is Verdict.CLEAR


class TestSkin:
    RAW = shapely.box(-60, 0, 1, 20)

    @pytest.mark.parametrize(
        ("left", "where"),
        [
            (shapely.box(-59, 0, 0, 19), []),
            (shapely.box(-59, 0, 1, 19), [Where.OUTER_FACE]),
            (shapely.box(-60, 0, 0, 19), [Where.CHUCK_FACE]),
            (shapely.box(-59, 0, 0, 20), [Where.DIAMETER]),
            # Raw as far as one end of the bar is no band.
            (shapely.box(-59, 0, -30, 20) | shapely.box(-59, 0, 0, 19), [Where.DIAMETER]),
            (shapely.box(-30, 0, 0, 20) | shapely.box(-59, 0, 0, 19), [Where.DIAMETER]),
            # A rub of less than a hundredth is no cut.
            (shapely.box(-59, 0, 0, 19.995), [Where.DIAMETER]),
            (
                shapely.union_all([shapely.box(-59, 0, 0, 19), shapely.box(-30, 0, -20, 20)]),
                [Where.BAND],
            ),
        ],
    )
    def test_what_stays_raw(self, left: shapely.Polygon, where: list[Where]) -> None:
        found = raw_left(left, self.RAW, self.RAW, 0.0, None)
        assert [r.where for r in found] == where

    def test_a_band_has_a_width(self) -> None:
        left = shapely.union_all([shapely.box(-59, 0, 0, 19), shapely.box(-30, 0, -20, 20)])
        (band,) = raw_left(left, self.RAW, self.RAW, 0.0, None)
        assert (band.z_from, band.z_to) == (-30.0, -20.0)

    def test_where_the_part_reaches_the_bars_own_surface_it_may_stay(self) -> None:
        left = shapely.box(-59, 0, 0, 20)
        assert raw_left(left, self.RAW, self.RAW, 0.0, left) == ()

    def test_nothing_left_leaves_no_skin(self) -> None:
        assert raw_left(shapely.Polygon(), self.RAW, self.RAW, 0.0, None) == ()


class TestMovingAreas:
    L = shapely.union_all([shapely.box(0, 0, 4, 1), shapely.box(0, 0, 1, 4)])

    def test_a_slide_covers_every_place_between(self) -> None:
        slid = slide(self.L, Interval(0, 3), Interval(0, 2))
        for dz in np.linspace(0, 3, 7):
            for dr in np.linspace(0, 2, 5):
                placed = shapely.transform(self.L, lambda p, by=(dz, dr): p + np.array(by))
                assert slid.buffer(1e-9).covers(placed)
        # The foot 4 + 3 long and 1 + 2 high, the post 1 + 3 wide and 3 above that.
        assert slid.area == pytest.approx(7 * 3 + 4 * 3)

    def test_what_is_surely_covered_is_covered_at_every_place(self) -> None:
        sure = surely(self.L, Interval(0, 0.5))
        for dz in (0.0, 0.25, 0.5):
            assert shapely.transform(self.L, lambda p, by=dz: p + np.array([by, 0])).covers(sure)
        assert sure.area == pytest.approx(3.5 * 1 + 0.5 * 3)
        assert surely(self.L, Interval(0, 2)).area == pytest.approx(2.0)

    def test_grown_by_a_box(self) -> None:
        assert grow(shapely.box(0, 0, 4, 1), 0.5, 0.25).equals(shapely.box(-0.5, -0.25, 4.5, 1.25))

    def test_turned_round(self) -> None:
        assert turned(shapely.box(0, 0, 4, 1), 10).equals(shapely.box(6, 0, 10, 1))

    def test_no_rectangle_without_sides(self) -> None:
        assert rectangle(1, 1, 0, 2).is_empty and rectangle(0, 1, 2, 0).is_empty
        assert rectangle(0, 1, 0, 2).area == 2.0


def test_the_first_approach_of_a_tool_is_watched_however_far_off_it_stays() -> None:
    # At X44 Z31 the sharp corner is 30 in front of the face at Z1 and 2 over the bar of 40 on
    # radius, far beyond the margin of 2; the way there comes from further out. What follows, near
    # the metal, is not the first approach.
    proof = proof_of("G00 X44. Z31.\nG94 X-0.6 Z0. F0.2\nG28 U0 W0\n")
    watched = proof.setups[0].approaches
    (first,) = [a for a in watched if a.first_of_tool]
    assert first.position == pytest.approx((31.0, 22.0))
    assert first.gap == pytest.approx((30.0**2 + 2.0**2) ** 0.5, abs=0.002)
