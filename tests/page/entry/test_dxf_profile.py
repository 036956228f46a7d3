"""Profiles out of DXF files; every file is drawn here with ezdxf, every outline by hand."""

from __future__ import annotations

import io
import math
from itertools import pairwise
from typing import Any

import ezdxf
import pytest

from standclear.page.entry.dxf.profile import profile_from_dxf
from standclear.page.entry.dxf.stretches import NoProfile

PIN = [(0.0, 26.0), (-1.0, 28.0), (-22.0, 28.0), (-22.0, 38.0), (-60.0, 38.0)]
"""(z, diameter) of a stepped pin."""


def drawing(unit: int = 4) -> Any:
    document = ezdxf.new("R2010", setup=True)
    document.header["$INSUNITS"] = unit
    return document


def saved(document: Any) -> bytes:
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8")


def half(points: list[tuple[float, float]], at: float = 100.0) -> list[tuple[float, float]]:
    return [(at + z, d / 2) for z, d in points]


def close(outline: Any, wanted: list[tuple[float, float]]) -> bool:
    return len(outline) == len(wanted) and all(
        math.dist(a, b) < 1e-6 for a, b in zip(outline, wanted, strict=True)
    )


def test_an_open_polyline() -> None:
    document = drawing()
    document.modelspace().add_lwpolyline(half(PIN))
    profile = profile_from_dxf(saved(document), "mm")
    assert close(profile.outline, PIN)
    assert profile.length == 60.0
    assert profile.notes == ()


def test_an_open_polyline_drawn_from_the_back() -> None:
    document = drawing()
    document.modelspace().add_lwpolyline(half(PIN)[::-1])
    assert close(profile_from_dxf(saved(document), "mm").outline, PIN)


def test_a_closed_half_with_a_bore() -> None:
    document = drawing()
    bore = [(-60.0, 12.0), (-30.0, 12.0), (-30.0, 16.0), (0.0, 16.0)]
    document.modelspace().add_lwpolyline(half([*PIN, *bore]), close=True)
    assert close(profile_from_dxf(saved(document), "mm").outline, PIN)


def test_loose_lines_in_any_order_and_direction() -> None:
    document = drawing()
    points = [(0.0, 0.0), *half(PIN, 0.0), (-60.0, 0.0)]
    pairs = list(pairwise(points))
    for index in (3, 0, 5, 1, 4, 2):
        start, end = pairs[index]
        if index % 2:
            start, end = end, start
        document.modelspace().add_line(start, end)
    assert close(profile_from_dxf(saved(document), "mm").outline, PIN)


def test_a_whole_outline_is_cut_at_the_axis() -> None:
    document = drawing()
    upper = half(PIN, 0.0)
    lower = [(x, -y) for x, y in reversed(upper)]
    document.modelspace().add_lwpolyline([*upper, *lower], close=True)
    assert close(profile_from_dxf(saved(document), "mm").outline, PIN)


def test_centre_lines_dimensions_and_words_are_left_out_and_named() -> None:
    document = drawing()
    space = document.modelspace()
    space.add_lwpolyline(half(PIN))
    space.add_line((90.0, 0.0), (180.0, 0.0), dxfattribs={"linetype": "CENTER"})
    space.add_text("pin")
    profile = profile_from_dxf(saved(document), "mm")
    assert close(profile.outline, PIN)
    assert profile.notes == ("Left out: 1 LINE, 1 TEXT.",)


def test_units_of_the_drawing_and_of_the_job() -> None:
    inches = drawing(1)
    inches.modelspace().add_lwpolyline([(0.0, 0.5), (-2.0, 0.5)])
    assert profile_from_dxf(saved(inches), "inch").outline == ((0.0, 1.0), (-2.0, 1.0))
    # 1 in is 25.4 mm by definition.
    assert profile_from_dxf(saved(inches), "mm").outline == ((0.0, 25.4), (-50.8, 25.4))
    bare = drawing(0)
    bare.modelspace().add_lwpolyline([(0.0, 0.5), (-2.0, 0.5)])
    profile = profile_from_dxf(saved(bare), "inch")
    assert profile.outline == ((0.0, 1.0), (-2.0, 1.0))
    assert profile.notes == ("The drawing states no unit: inch was taken.",)


def test_a_front_face_drawn_to_the_left() -> None:
    document = drawing()
    document.modelspace().add_lwpolyline([(-x, y) for x, y in half(PIN)])
    assert close(profile_from_dxf(saved(document), "mm", front_left=True).outline, PIN)


def test_arcs_leave_their_circle_by_a_thousandth_at_most() -> None:
    """A quarter of radius 5 at the front: every point lies on it, every chord within 0.001."""
    document = drawing()
    space = document.modelspace()
    space.add_arc((-5.0, 10.0), 5.0, 0.0, 90.0)
    space.add_line((-5.0, 15.0), (-40.0, 15.0))
    outline = profile_from_dxf(saved(document), "mm").outline
    assert outline[0] == (0.0, 20.0)
    assert outline[-1] == (-40.0, 30.0)
    arc = [(z, d / 2) for z, d in outline[:-1]]
    for z, r in arc:
        assert abs(math.hypot(z + 5.0, r - 10.0) - 5.0) < 1e-6
    for (z0, r0), (z1, r1) in pairwise(arc):
        middle = math.hypot((z0 + z1) / 2 + 5.0, (r0 + r1) / 2 - 10.0)
        assert 5.0 - middle <= 0.001 + 1e-9


@pytest.mark.parametrize("bulge", [math.tan(math.pi / 8), -math.tan(math.pi / 8)])
def test_a_polyline_with_a_bulge(bulge: float) -> None:
    """The bulge of a quarter turn is tan(90/4 degrees); to the left when positive."""
    document = drawing()
    points = [(0.0, 10.0, bulge), (-5.0, 15.0, 0.0), (-40.0, 15.0, 0.0)]
    document.modelspace().add_lwpolyline(points, format="xyb")
    outline = profile_from_dxf(saved(document), "mm").outline
    centre = (-5.0, 10.0) if bulge > 0 else (0.0, 15.0)
    assert outline[0] == (0.0, 20.0)
    for z, d in outline[:-1]:
        assert abs(math.hypot(z - centre[0], d / 2 - centre[1]) - 5.0) < 1e-6


def test_a_gap_names_both_lines_and_the_place() -> None:
    document = drawing()
    one = document.modelspace().add_line((0.0, 10.0), (-20.0, 10.0))
    other = document.modelspace().add_line((-20.2, 10.0), (-50.0, 10.0))
    with pytest.raises(NoProfile) as error:
        profile_from_dxf(saved(document), "mm")
    text = str(error.value)
    assert f"LINE {one.dxf.handle}" in text and f"LINE {other.dxf.handle}" in text
    assert "X-20.000 Y10.000" in text and "0.200 mm away" in text


def test_three_lines_that_meet_are_named() -> None:
    document = drawing()
    space = document.modelspace()
    space.add_line((0.0, 10.0), (-20.0, 10.0))
    space.add_line((-20.0, 10.0), (-20.0, 0.0))
    space.add_line((-20.0, 10.0), (-50.0, 10.0))
    with pytest.raises(NoProfile, match=r"meet at X-20\.000 Y10\.000 mm: keep the outline alone"):
        profile_from_dxf(saved(document), "mm")


def test_an_axis_elsewhere() -> None:
    document = drawing()
    document.modelspace().add_lwpolyline([(0.0, -10.0), (-20.0, -10.0)])
    with pytest.raises(NoProfile, match="axis along Y0"):
        profile_from_dxf(saved(document), "mm")


def test_a_block_is_named() -> None:
    document = drawing()
    document.blocks.new("PART")
    block = document.modelspace().add_blockref("PART", (0.0, 0.0))
    with pytest.raises(NoProfile, match=rf"INSERT {block.dxf.handle} is a block: explode it"):
        profile_from_dxf(saved(document), "mm")


@pytest.mark.parametrize("data", [b"", b"G00 X50.\n", b"\x00\x01\x02" * 50, b"0\nSECTION\n2\nEN"])
def test_what_is_no_dxf_file(data: bytes) -> None:
    with pytest.raises(NoProfile):
        profile_from_dxf(data, "mm")
