"""Turning tools and boring bars as drawn from their designations."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box
from tool_authority import authority

from standclear.job.models import Tool
from standclear.tools.build import tool_findings, tool_shape
from standclear.tools.errors import MismatchError, ToolError
from standclear.tools.holder import read_holder
from standclear.tools.insert import read_insert
from standclear.tools.insert_outline import PlacedInsert, place_insert
from standclear.tools.outline import counter_clockwise, rounded
from standclear.tools.shape import OUTLINE_ERROR_MM, ToolShape

INSERTS = authority("inserts.toml")
HOLDERS = authority("holders.toml")
DECODED = [(row["code"], row["insert"]) for row in HOLDERS["decoded"]]
MORE = [
    ("SRDCN2525M12", "RCMT1204M0"),
    ("SRGCR2525M12", "RCMT1204M0"),
    ("PCKNR2525M12", "CNMG120416"),
    ("PDUNR2525M15", "DNMG150600"),
    ("PSSNR2525M12", "SNMG120412"),
    ("SVPBR2525M16", "VBMT160402"),
    ("S20R-SDUCR11", "DCMT11T304"),
    ("S25T-SDQCR11", "DCMT11T308"),
    ("PTFNR0808K11", "TNMG110304"),
    ("MCLNR-164D", "CNMG432"),
    ("A16T-MCLNR4", "CNMG432"),
    ("S50W-SCLCR12", "CCMT120408"),
]
PAIRS = DECODED + MORE
pairs = st.sampled_from(PAIRS)


def turning(holder: str, insert: str, **more: object) -> Tool:
    return Tool.model_validate({"station": 1, "holder": holder, "insert": insert, **more})


def natural(holder: str, insert: str) -> ToolShape:
    """The shape with the spindle direction that the hand goes with."""
    return tool_shape(
        turning(holder, insert, cuts_with="M04" if read_holder(holder).hand == "L" else "M03")
    )


def edges(points: np.ndarray, cuts: np.ndarray) -> list[LineString]:
    ends = np.roll(points, -1, axis=0)
    return [LineString([a, b]) for a, b, c in zip(points, ends, cuts, strict=True) if c]


def drawn(placed: PlacedInsert) -> tuple[Polygon, Polygon]:
    args = placed.corners, placed.radii, placed.cuts
    return rounded(*args, "outer").polygon, rounded(*args, "inner").polygon


def all_inserts() -> list[str]:
    rows = [(s, code) for s, sizes in INSERTS["edges"].items() for _, _, code in sizes]
    return [f"{shape}NMG{code}0404" for shape, code in rows] + ["RCMT1204M0", "RCMT120400"]


@pytest.mark.parametrize("code", all_inserts())
def test_largest_circle_in_the_insert_is_its_inscribed_circle(code: str) -> None:
    # ISO 1832: size is the inscribed circle; shapely finds it in the polygon on its own.
    insert = read_insert(code)
    angle = insert.included_angle
    placed = place_insert(insert, 90.0 if angle is None else (180.0 - angle) / 2, False)
    for polygon in drawn(placed):
        found = shapely.maximum_inscribed_circle(polygon, tolerance=1e-5).length
        assert 2 * found == pytest.approx(insert.circle_mm, abs=0.001)


@pytest.mark.parametrize(("code", "height"), INSERTS["corner_heights"].items())
def test_corner_height_over_the_inscribed_circle(code: str, height: float) -> None:
    insert = read_insert(code)
    inch_made = replace(insert, corner_radius_mm=round(insert.corner_radius_mm * 2.5) / 64 * 25.4)
    placed = place_insert(inch_made, 90 - (insert.included_angle or 0) / 2, False)
    for polygon in drawn(placed):
        centre = Point(shapely.maximum_inscribed_circle(polygon, tolerance=1e-5).coords[0])
        nose = Point(0, 0).buffer(insert.circle_mm / 2)
        reach = centre.hausdorff_distance(polygon.boundary.intersection(nose))
        across = insert.circle_mm / 2 if insert.shape == "T" else -insert.circle_mm / 2
        assert reach + across == pytest.approx(height, abs=0.0012)


@pytest.mark.parametrize("row", HOLDERS["nose_shifts"], ids=lambda row: row["code"])
@pytest.mark.parametrize("radius", [0.397, 0.794])
def test_tip_lies_inside_the_sharp_corner_by_the_published_shift(
    row: dict[str, object], radius: float
) -> None:
    holder = read_holder(str(row["code"]))
    insert = replace(read_insert(str(row["insert"])), corner_radius_mm=radius)
    axial, radial = place_insert(insert, holder.entering_angle, holder.hand == "N").corners[0]
    assert -radial == pytest.approx(row["radial"] * radius, abs=5e-6)
    assert -axial == pytest.approx(row.get("axial", 0.0) * radius, abs=5e-6)


@pytest.mark.parametrize("row", HOLDERS["decoded"], ids=lambda row: row["code"])
def test_edges_stand_at_entering_and_trailing_angle(row: dict[str, object]) -> None:
    shape = natural(str(row["code"]), str(row["insert"]))
    longest = sorted(edges(shape.outer, shape.outer_cuts), key=lambda e: -e.length)[:2]
    bar = shape.kind == "boring"
    angles = []
    for edge in longest:
        away = sorted(edge.coords, key=lambda p: math.hypot(*p))
        z, r = np.subtract(away[1], away[0])
        angles.append(math.degrees(math.atan2(-r if bar else r, z)))
    trailing, main = sorted(angles)
    assert trailing == pytest.approx(row["trailing"], abs=0.01)
    assert main == pytest.approx(180 - row["entering"], abs=0.01)


@pytest.mark.parametrize(("holder", "insert"), PAIRS)
@pytest.mark.parametrize("direction", ["M03", "M04"])
def test_outlines_keep_their_contract(holder: str, insert: str, direction: str) -> None:
    tool = turning(holder, insert, cuts_with=direction)
    if read_holder(holder).kind == "bar" and direction == "M04":
        with pytest.raises(MismatchError, match="far side of the axis"):
            tool_shape(tool)
        return
    shape = tool_shape(tool)
    outer, inner, part = map(Polygon, (shape.outer, shape.inner, shape.cutting_part))
    for polygon, points in ((outer, shape.outer), (inner, shape.inner)):
        assert polygon.is_valid
        assert counter_clockwise(points)
        lengths = np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1)
        assert lengths.min() > 1e-7
    assert outer.buffer(1e-9).covers(inner)
    assert outer.buffer(1e-9).covers(part)
    assert part.convex_hull.area == pytest.approx(part.area, rel=1e-9)
    # Cutting edges of both drawings are the same edges within the error of the arcs.
    cut_out = shapely.union_all(edges(shape.outer, shape.outer_cuts))
    cut_in = shapely.union_all(edges(shape.inner, shape.inner_cuts))
    assert shapely.hausdorff_distance(cut_out, cut_in) <= 3 * OUTLINE_ERROR_MM
    # Every cutting edge bounds the whole tool: nothing of the holder lies on or over it.
    assert outer.exterior.buffer(1e-6).covers(cut_out)


@pytest.mark.parametrize(("holder", "insert"), PAIRS)
def test_tip_is_where_the_tangents_of_the_nose_meet(holder: str, insert: str) -> None:
    shape = natural(holder, insert)
    read = read_holder(holder)
    if read.entering_angle < 90 and read.hand != "N" and read.shape != "R":
        pytest.skip("the main edge leads the nose")
    up = -1.0 if shape.kind == "boring" else 1.0
    for points, low, high in (
        (shape.outer, -OUTLINE_ERROR_MM, 0.0),
        (shape.cutting_part, 0.0, OUTLINE_ERROR_MM),
    ):
        assert low - 1e-9 <= (up * points[:, 1]).min() <= high + 1e-9
        if read.hand != "N":
            assert low - 1e-9 <= points[:, 0].min() <= high + 1e-9


@given(pair=pairs)
def test_the_other_hand_is_the_mirror_image(pair: tuple[str, str]) -> None:
    holder, insert = pair
    read = read_holder(holder)
    if read.hand == "N":
        return
    hand_at = holder.index("-") + 5 if read.kind == "bar" else 4
    other = {"R": "L", "L": "R"}[read.hand]
    mirrored = holder[:hand_at] + other + holder[hand_at + 1 :]
    own = natural(holder, insert)
    # With its own spindle direction either hand cuts towards the chuck.
    assert Polygon(natural(mirrored, insert).outer).equals(Polygon(own.outer))
    if read.kind == "external":
        away = tool_shape(turning(mirrored, insert, cuts_with="M04" if read.hand == "L" else "M03"))
        image = Polygon(away.outer * [-1, 1])
        assert image.symmetric_difference(Polygon(own.outer)).area < 1e-9
        assert away.outer_cuts.sum() == own.outer_cuts.sum()


def test_right_hand_cuts_towards_the_chuck_with_m03() -> None:
    # Common practice, no source: holder to the tail side of the tip.
    shape = tool_shape(turning("PCLNR2525M12", "CNMG120408"))
    assert shape.outer[:, 0].min() >= -OUTLINE_ERROR_MM
    # Insert up in a turret behind the axis: left-hand tools and M04 (common practice, no source).
    rear = tool_shape(turning("PCLNL2525M12", "CNMG120408", cuts_with="M04"))
    assert Polygon(rear.outer).equals(Polygon(shape.outer))
    wrong = tool_shape(turning("PCLNR2525M12", "CNMG120408", cuts_with="M04"))
    assert wrong.outer[:, 0].max() <= OUTLINE_ERROR_MM
    assert any("away from the chuck" in sentence for sentence in wrong.assumed)


@pytest.mark.parametrize(
    ("holder", "insert", "edge", "far_corner"),
    [("PCLNR2525M12", "CNMG120408", 12.896, 100.0), ("MWLNR2525M08", "WNMG080408", 8.687, None)],
)
def test_length_of_the_cutting_edges(
    holder: str, insert: str, edge: float, far_corner: float | None
) -> None:
    # Two edges less the tangents of a nose of 80 degrees and, where it is rounded, of the far
    # corner, and the nose's arc of 100 degrees. The trigon's corners of 160 degrees stay sharp.
    straight = edge - 0.8 / math.tan(math.radians(40))
    if far_corner is not None:
        straight -= 0.8 / math.tan(math.radians(far_corner / 2))
    expected = 2 * straight + 0.8 * math.radians(100)
    shape = tool_shape(turning(holder, insert))
    for points, cuts in ((shape.outer, shape.outer_cuts), (shape.inner, shape.inner_cuts)):
        assert sum(e.length for e in edges(points, cuts)) == pytest.approx(expected, abs=0.002)


def test_a_round_insert_cuts_along_its_lower_half() -> None:
    shape = tool_shape(turning("SRDCN2525M12", "RCMT1204M0"))
    cutting = edges(shape.outer, shape.outer_cuts)
    assert sum(e.length for e in cutting) == pytest.approx(6 * math.pi, abs=0.005)
    assert max(p[1] for e in cutting for p in e.coords) == pytest.approx(6.0)
    assert shape.nose_radius_mm == 6.0
    # Neutral, its lowest point the controlled one: even on both sides of it.
    assert shape.nose_centre == pytest.approx((0.0, 6.0))
    sides = [p[0] for e in cutting for p in e.coords]
    assert (min(sides), max(sides)) == pytest.approx((-6.0, 6.0))


def test_shank_lies_where_f_says() -> None:
    # PCLNR2525M12: f 32 (ISO 5610 from memory), b 25, so from z 7 to 32; l1 150.
    whole = Polygon(tool_shape(turning("PCLNR2525M12", "CNMG120408")).outer)
    assert whole.covers(box(7, 20, 32, 150))
    assert whole.bounds[2:] == pytest.approx((32, 150))
    # S20R-SCLCR09: f 13 (ISO 6261 from memory), bar 20: from r -3 to -23 below the tip.
    bar = Polygon(tool_shape(turning("S20R-SCLCR09", "CCMT09T304")).outer)
    assert bar.covers(box(15, -23, 200, -3))
    assert bar.bounds[1:3] == pytest.approx((-23, 200))
    # SDNCN1616H11 stands neutral in the middle of its shank.
    middle = Polygon(tool_shape(turning("SDNCN1616H11", "DCMT11T304")).outer)
    assert middle.covers(box(-8, 30, 8, 100))
    assert middle.bounds[0::2] == pytest.approx((-8, 8))


def test_unlisted_shank_is_drawn_for_every_likely_offset() -> None:
    tool = turning("PTFNR0808K11", "TNMG110304")
    shape = tool_shape(tool)
    # Shares 1.15 and 1.4 of an 8 mm shank: its sides at 9.2 - 8 and at 11.2.
    assert Polygon(shape.outer).covers(box(1.2, 20, 11.2, 125))
    assert Polygon(shape.outer).bounds[2] == pytest.approx(11.2)
    (told,) = (s for s in shape.assumed if "no table gives the tip offset" in s)
    assert "from 9.2 mm" in told and "to 11.2 mm" in told


def test_unlisted_bar_is_drawn_for_every_likely_offset() -> None:
    # Shares 0.6 and 0.8 of a 50 mm bar put its axis 30 to 40 over the tip: it lies from
    # -(40 + 25) to -(30 - 25).
    bar = Polygon(tool_shape(turning("S50W-SCLCR12", "CCMT120408")).outer)
    assert bar.covers(box(20, -65, 450, -5))
    assert bar.bounds[1] == pytest.approx(-65)
    behind = bar.intersection(box(300, -100, 450, 100))
    assert behind.bounds == pytest.approx((300, -65, 450, -5))


@pytest.mark.parametrize(("holder", "insert"), PAIRS)
def test_seat_stays_behind_the_nose(holder: str, insert: str) -> None:
    shape = natural(holder, insert)
    part = Polygon(shape.cutting_part)
    near = Point(0, 0).buffer(3)
    head = Polygon(shape.outer).difference(part.buffer(2 * OUTLINE_ERROR_MM))
    assert not head.intersects(near)


@pytest.mark.parametrize(("holder", "insert"), PAIRS)
def test_envelope_leaves_the_whole_cutting_edge_free(holder: str, insert: str) -> None:
    shape = natural(holder, insert)
    read = read_holder(holder)
    placed = place_insert(read_insert(insert), read.entering_angle, read.hand == "N")
    alone = rounded(placed.corners, placed.radii, placed.cuts, "inner")
    free = sum(e.length for e in edges(shape.inner, shape.inner_cuts))
    assert free == pytest.approx(sum(e.length for e in edges(alone.points, alone.cuts)))


def test_envelope_leans_out_beyond_the_far_corners() -> None:
    # Trailing angle 32, our lean 3: 18 mm beyond the far corner of an edge of 15.504 the head
    # reaches 18 tan 3 - 0.2 = 0.743 under the edge's line.
    whole = Polygon(tool_shape(turning("PDJNR2525M15", "DNMG150608")).outer)
    along = np.array([math.cos(math.radians(32)), math.sin(math.radians(32))])
    down = np.array([along[1], -along[0]])
    sharp = place_insert(read_insert("DNMG150608"), 93.0, False).corners[0]
    beyond = np.array(sharp) + (15.504 + 18) * along
    assert whole.covers(Point(beyond + 0.72 * down))
    assert not whole.covers(Point(beyond + 0.76 * down))
    # On the main side it goes straight on across the feed from the corner, 15.504 sin 3 = 0.81
    # behind the sharp corner, the seat 0.2 further.
    side = sharp[0] + 0.81 + 0.2
    assert whole.covers(Point(side + 0.05, 60))
    assert not whole.covers(Point(side - 0.05, 60))


def test_turning_and_boring_leave_the_holder_free() -> None:
    # A finished cylinder behind the tip and a square shoulder in front of it are not touched.
    outside = Polygon(tool_shape(turning("PCLNR2525M12", "CNMG120408")).outer)
    assert not outside.intersects(box(-50, -20, 200, -0.001))
    assert not outside.intersects(box(-50, -20, -0.001, 200))
    # A finished bore and its flat bottom.
    bar = Polygon(tool_shape(turning("A25R-PCLNR12", "CNMG120408")).outer)
    assert not bar.intersects(box(-50, 0.001, 300, 20))
    assert not bar.intersects(box(-50, -60, -0.001, 0))


def test_measured_holder_replaces_the_envelope() -> None:
    outline = [(3.0, 3.0), (30.0, 10.0), (30.0, 120.0), (8.0, 120.0)]
    tool = turning("PCLNR2525M12", "CNMG120408", holder_outline=outline)
    shape = tool_shape(tool)
    whole = Polygon(shape.outer)
    assert whole.area == pytest.approx(
        Polygon(outline).union(Polygon(shape.cutting_part)).area, abs=0.01
    )
    assert not any("verify" in s or "tip offset" in s for s in shape.assumed)
    assert shape.outer_cuts.any() and shape.inner_cuts.any()


def test_measured_holder_over_part_of_the_edge_ends_it_there() -> None:
    outline = [(5.0, -1.0), (40.0, -1.0), (40.0, 120.0), (5.0, 120.0)]
    shape = tool_shape(turning("PCLNR2525M12", "CNMG120408", holder_outline=outline))
    for points, cuts in ((shape.outer, shape.outer_cuts), (shape.inner, shape.inner_cuts)):
        reach = max(p[0] for e in edges(points, cuts) for p in e.coords)
        assert reach == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        ([(-5, -5), (40, -5), (40, 120), (-5, 120)], "covers every cutting edge"),
        ([(50, 50), (60, 50), (60, 60)], "does not meet the cutting part"),
        ([(0, 0), (10, 10), (10, 0), (0, 10)], "crosses itself"),
    ],
)
def test_measured_holder_that_cannot_be(outline: list[tuple[int, int]], words: str) -> None:
    with pytest.raises(ToolError, match=words):
        tool_shape(turning("PCLNR2525M12", "CNMG120408", holder_outline=outline))


@pytest.mark.parametrize(
    ("holder", "insert", "words"),
    [
        ("PDJNN2525M15", "DNMG150608", "give the hand R or L"),
        ("PSLNR2525M12", "SNMG120408", "leaves its trailing edge no clearance"),
        # Entering angle 90 and a square corner: the trailing edge lies along the turned cylinder.
        ("PSGNR2525M12", "SNMG120408", "leaves its trailing edge no clearance"),
        ("PCLNR2525M12", None, "has no `insert`"),
        (None, "CNMG120408", "has no `holder`"),
    ],
)
def test_description_that_cannot_be_drawn(
    holder: str | None, insert: str | None, words: str
) -> None:
    with pytest.raises(ToolError, match=words):
        tool_shape(Tool(station=1, holder=holder, insert=insert))


def test_what_is_taken_on_trust_becomes_one_note() -> None:
    tool = turning("PCLNR2525M12", "CNMG120408", name="rougher")
    (note,) = tool_findings(tool, tool_shape(tool))
    assert note.code == "tool-outline-assumed"
    assert note.message.startswith("Tool 1 (rougher): PCLNR2525M12: shank taken to stand")
    assert "; holder from designation: verify; " in note.message
    assert note.message.endswith("tip offset f from ISO 5610, from memory.")
    assert note.cure
    doubled = turning("MTJNR2525M27", "TNMG543")
    assert any("5/32 in" in sentence for sentence in tool_shape(doubled).assumed)
