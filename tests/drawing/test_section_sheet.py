from __future__ import annotations

import hashlib
import struct
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations

import pytest
from fixture_proof import back, clear_pin, front, pin, rapid_into_metal, tool, trace
from shapely.geometry import GeometryCollection, LineString, Polygon, box

from standclear.drawing.dimension import ring
from standclear.drawing.hatching import hatched
from standclear.drawing.inks import PENS, Ink
from standclear.drawing.labels import overlap, text_box
from standclear.drawing.section.focus import focus_of, hits, obstacle_gap
from standclear.drawing.section.sheet import sheet
from standclear.drawing.shapes import Drawing, Line, Text
from standclear.drawing.view import View, fitting
from standclear.drawing.writers.png import to_png
from standclear.drawing.writers.svg import to_svg
from standclear.findings.finding import Measure, Severity, Verdict
from standclear.motions.table import FAR, Kind
from standclear.proof.result import JobProof, Part, SizeFound, Strike
from standclear.proof.tool_place import arriving, corner_gap, tool_at


def many_strikes() -> JobProof:
    struck = tuple(
        Strike(
            motion=m,
            part=Part.TOOL_IN_RAPID,
            overlap=GeometryCollection(
                [box(-2 * m, 20, -2 * m + 1, 26), LineString([(0, 0), (1, 1)])]
            ),
            depth_x=6.0,
            depth_z=1.0,
        )
        for m in range(5)
    )
    crowded = tuple(
        SizeFound(
            f"shoulder number {i}", kind, -5.0 * i - 5, -5.0 * i, 30.0, 30.0, (0.0, 0.1), True
        )
        for i in range(12)
        for kind in ("diameter", "length")
    )
    return replace(pin(), setups=(replace(front(), strikes=struck), back()), sizes=crowded)


def nothing_known() -> JobProof:
    """Nothing left, no tool outline, first place unknown."""
    rows = [(FAR, FAR, Kind.APPEAR, 4), (FAR, FAR, Kind.RAPID, 7)]
    blind = replace(
        back(),
        verdict=Verdict.UNPROVEN,
        metal_after=Polygon(),
        metal_after_least=Polygon(),
        tool_outlines=(Polygon(),),
        trace=trace(rows),
        approaches=(),
        obstacles={},
    )
    return replace(
        pin(), verdict=Verdict.UNPROVEN, setups=(front(), blind, back(), blind), sizes=()
    )


SCENES = {
    "contact": pin,
    "clear": clear_pin,
    "many strikes": many_strikes,
    "nothing": nothing_known,
    "inch": lambda: replace(pin(), units="inch", title='pin "B" <2> & Ø ☃\x07'),
}


@pytest.fixture(params=SCENES)
def scene(request: pytest.FixtureRequest) -> JobProof:
    return SCENES[request.param]()


def words_of(drawing: Drawing) -> list[str]:
    return [s.string for s in drawing.leaves if isinstance(s, Text)]


def test_no_text_lies_on_another(scene: JobProof) -> None:
    boxes = [(t.string, text_box(t)) for t in sheet(scene).leaves if isinstance(t, Text)]
    clashes = [(a, b) for (a, ba), (b, bb) in combinations(boxes, 2) if overlap(ba, bb)]
    assert clashes == []


def test_everything_lies_on_the_sheet(scene: JobProof) -> None:
    drawing = sheet(scene)
    for shape in drawing.leaves:
        points = shape.points if isinstance(shape, Line) else ()
        if isinstance(shape, Text):
            x0, y0, x1, y1 = text_box(shape)
            points = ((x0, y0), (x1, y1))
        assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in points), shape


def test_svg_is_well_formed_accessible_and_the_same_twice(scene: JobProof) -> None:
    svg = to_svg(sheet(scene))
    assert svg == to_svg(sheet(scene))
    root = ET.fromstring(svg)
    space = "{http://www.w3.org/2000/svg}"
    title, desc = root.find(f"{space}title"), root.find(f"{space}desc")
    assert title is not None and str(scene.verdict) in (title.text or "")
    assert desc is not None and "Set-up" in (desc.text or "")
    assert root.find(f".//{space}text") is None, "lettering must not depend on fonts"


def test_png_is_whole_and_the_same_twice() -> None:
    svg = to_svg(sheet(pin()))
    png = to_png(svg)
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", png[16:24]) == (2520, 1782)
    assert hashlib.sha256(png).digest() == hashlib.sha256(to_png(svg)).digest()


def test_the_sheet_says_what_struck_and_how_deep() -> None:
    said = words_of(sheet(pin()))
    assert any("line 8: G00 X50.8 Z1.5" in w and "X 1.2 mm on diameter" in w for w in said)
    assert "X 1.2 on dia., 0.6 radial" in said
    assert "Z 1.0" in said
    assert "CONTACT" in said
    assert "off by +0.02" in said


def test_gaps_are_dimensioned_on_diameter_and_to_the_metal() -> None:
    said = words_of(sheet(clear_pin()))
    assert said.count("X 5.2 on dia., 2.6 to metal") == 2
    assert "Z 16.5 to jaws" in said
    assert "stick-out 57.5" in said


def test_a_strike_shows_by_hatching_and_number_beside_its_colour() -> None:
    shapes = list(sheet(pin()).leaves)
    inks = {s.ink for s in shapes if isinstance(s, Line)}
    assert {Ink.STRIKE, Ink.STRIKE_HATCH} <= inks
    assert Ink.STRIKE_MARK in inks
    assert any(isinstance(s, Text) and s.string == "1" for s in shapes)


def test_line_kinds_follow_iso_128() -> None:
    # ISO 128-2 (from memory): wide to narrow 2 to 1; 04 long dash short dash; 05 long dash double
    # short dash; hatching continuous and narrow.
    assert PENS[Ink.OUTLINE].width >= 2 * PENS[Ink.HATCH].width
    assert PENS[Ink.OUTLINE].dashes == PENS[Ink.HATCH].dashes == ()
    assert len(PENS[Ink.CENTRE].dashes) == 4
    assert len(PENS[Ink.RAW].dashes) == 6


def test_colours_are_from_the_okabe_ito_set() -> None:
    # Okabe and Ito, Color Universal Design (2002, revised 2008): blue 0 114 178, vermillion
    # 213 94 0; besides them black and grey.
    allowed = {"#000000", "#444444", "#0072B2", "#D55E00", "#999999"}
    assert {pen.colour for pen in PENS.values()} <= allowed


def test_one_set_up_alone_makes_a_lower_sheet() -> None:
    alone, whole = sheet(pin(), "back"), sheet(pin())
    assert alone.height < whole.height
    assert not any("Set-up front" in w for w in words_of(alone))
    with pytest.raises(KeyError):
        sheet(pin(), "middle")


def test_the_tool_is_drawn_where_it_is_deepest_not_where_it_ends() -> None:
    # It passes through a block of metal and comes out in front: the end is clear of it.
    through = replace(
        front(),
        trace=trace([(-20.0, 20.0, Kind.RAPID, 7), (40.0, 20.0, Kind.RAPID, 8)]),
        strikes=(Strike(1, Part.TOOL_IN_RAPID, box(0, 15, 2, 26), 6.0, 2.0),),
    )
    hit = hits(through)[0]
    tool = tool_at(through, hit.motion, hit.overlap)
    assert tool.intersection(hit.overlap).area > 0


def test_strikes_of_one_block_are_one_number() -> None:
    struck = front().strikes[0]
    twice = replace(front(), strikes=(struck, replace(struck, depth_x=0.7)))
    assert [(h.number, h.depth_x) for h in hits(twice)] == [(1, 0.7)]


def test_the_detail_holds_the_whole_strike() -> None:
    window = focus_of(front(), ()).window
    assert window is not None
    assert box(*window).contains(front().strikes[0].overlap)


def test_hatching_lies_in_its_area_at_its_spacing() -> None:
    area = box(0, 0, 30, 10)
    lines = [LineString(line.points) for line in hatched(area, Ink.HATCH, 3.0)]
    assert all(area.buffer(1e-9).contains(line) for line in lines)
    # Across the lines the area runs from -30/sqrt 2 = -21.2 to 10/sqrt 2 = 7.1: -21, -18 ... 6.
    assert len(lines) == 10
    assert lines[0].distance(lines[1]) == pytest.approx(3.0)


def test_a_view_puts_z_to_the_right_and_x_up_at_its_scale() -> None:
    view = View((-10.0, 0.0, 10.0, 20.0), 2.0, (5.0, 7.0))
    assert view.at(-10, 0) == (5.0, 7.0)
    assert view.at(0, 10) == (25.0, 27.0)
    assert fitting(100, 10, (160, 90), (1.0, 1.5, 2.0)) == 1.5


def test_a_section_has_no_outline_along_the_axis_nor_where_the_window_cuts_it() -> None:
    view = View((0.0, 0.0, 20.0, 20.0), 1.0, (0.0, 0.0))
    edges = view.edges(box(-10, 0, 10, 5))
    # Left of the window it is cut off: what remains is the top, 10 long, and the face, 5 high.
    assert edges.length == pytest.approx(15.0)


def test_a_circle_is_round() -> None:
    assert Polygon(ring((0, 0), 2.0, 96)).area == pytest.approx(12.566, abs=0.02)


def test_a_clearance_point_is_drawn_with_the_motion_that_leads_to_it() -> None:
    # The watch list may name the block that starts at the clearance point, as row 1 does.
    near = replace(back().approaches[0], motion=1)
    assert arriving(back(), near) == 0
    assert arriving(back(), back().approaches[0]) == 0
    assert arriving(back(), back().approaches[1]) == 3


def test_a_gap_past_the_corner_is_given_both_ways_only_where_the_outline_proves_it() -> None:
    # Tip at X57.2 Z4 before a blank 52 across with its face at Z1.5: 2.6 radial, 2.5 along, and
    # from corner to corner sqrt(2.6^2 + 2.5^2) = 3.607.
    near = replace(back().approaches[0], gap_radial=None, gap_z=None, gap=3.607)
    assert corner_gap(back(), near) == pytest.approx((2.6, 2.5))
    assert corner_gap(back(), replace(near, gap=9.0)) is None
    said = words_of(sheet(replace(clear_pin(), setups=(replace(back(), approaches=(near,)),))))
    assert "X 5.2 on dia., 2.6 radial" in said
    assert "Z 2.5" in said


def test_jaws_too_near_are_drawn_instead_of_the_nearest_metal() -> None:
    # Jaws of the back end reach to Z-54; the tip goes to Z-53.7 outside them: 0.3 along.
    rows = [(4.0, 28.6, Kind.RAPID, 7), (-53.7, 28.6, Kind.FEED, 10)]
    close = replace(back(), trace=trace(rows))
    too_near = replace(
        rapid_into_metal(),
        code="jaws-near",
        severity=Severity.MEND,
        setup="back",
        motion=1,
        message="the tool passes {gap} from the jaws",
        measures=(Measure("gap", 0.3),),
    )
    gap = obstacle_gap(close, (too_near,))
    assert gap is not None
    assert gap.obstacle == "jaws"
    assert gap.here[0] - gap.there[0] == pytest.approx(0.3)
    job = replace(clear_pin(), setups=(close,), findings=(too_near,))
    assert "0.3 to jaws" in words_of(sheet(job))


def test_clear_with_findings_does_not_stamp_plain_clear() -> None:
    mend = replace(rapid_into_metal(), severity=Severity.MEND)
    said = words_of(sheet(replace(clear_pin(), findings=(mend,))))
    assert "CLEAR, BUT" in said and "CLEAR" not in said
    assert "Set-up front: clear, but see below" in said
    assert "CLEAR" in words_of(sheet(clear_pin()))


def test_what_comes_out_is_drawn_in_the_frame_of_its_sizes() -> None:
    # The part turned round again: its 30 diameter now lies at the front, z 0 to -30.
    own = Polygon([(0, 0), (0, 15), (-30, 15), (-30, 24), (-82.5, 24), (-82.5, 0)])
    size = SizeFound("journal", "diameter", -15.0, -15.0, 30.0, 30.0, (-0.1, 0.1), True)
    here = sheet(replace(clear_pin(), outcome=own, sizes=(size,)))
    elsewhere = sheet(replace(clear_pin(), sizes=(size,)))
    assert words_of(here).count("1") == 2, "once in the table, once at the part"
    assert words_of(elsewhere).count("1") == 1, "a size that is not in the view is not pointed at"


def test_the_tool_of_a_motion_from_home_stands_at_its_end() -> None:
    assert tool_at(front(), 0, None).equals_exact(
        tool_at(replace(front(), trace=trace([(1.5, 25.4, Kind.FEED, 7)])), 0, None), 1e-9
    )
    assert tool_at(front(), 4, None).is_empty
    assert not tool().is_empty
