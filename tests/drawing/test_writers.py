"""Every writer's file read back by something that is not the writer."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from io import BytesIO, StringIO
from itertools import pairwise
from typing import Any

import ezdxf
import numpy as np
import pypdfium2
import pytest
from fixture_proof import clear_pin, pin
from PIL import Image

from standclear.drawing.hatching import hatched
from standclear.drawing.inks import LETTERING, PENS, TONES, Ink, Tone
from standclear.drawing.section.sheet import sheet
from standclear.drawing.shapes import Drawing, Fill, Group, Line, Text, rectangle
from standclear.drawing.writers.dxf import to_dxf
from standclear.drawing.writers.pdf import to_pdf
from standclear.drawing.writers.png import to_png
from standclear.drawing.writers.svg import DARK, inline_svg, style_rules, to_svg

SVG = "{http://www.w3.org/2000/svg}"
ODD = replace(pin(), title='Ø 45 ±0.1 "pin" <ü>')


def words_of(drawing: Drawing) -> list[str]:
    return [s.string for s in drawing.leaves if isinstance(s, Text)]


def read_dxf(drawing: Drawing) -> Any:
    return ezdxf.read(StringIO(to_dxf(drawing).decode("utf-8")))


def small(*shapes: Any) -> Drawing:
    return Drawing(100.0, 50.0, "small", "a small drawing", shapes)


def test_a_pdf_holds_every_word_as_text() -> None:
    drawing = sheet(ODD)
    page = pypdfium2.PdfDocument(to_pdf([drawing]))[0]
    found = "".join(page.get_textpage().get_text_range().split())
    missing = [w for w in words_of(drawing) if "".join(w.split()) not in found]
    assert missing == []


def test_a_pdf_is_its_drawings_page_by_page_at_true_size_and_the_same_twice() -> None:
    drawings = [sheet(pin()), sheet(clear_pin(), "front")]
    data = to_pdf(drawings)
    assert data == to_pdf(drawings)
    assert b"/CreationDate" not in data and b"/ModDate" not in data
    read = pypdfium2.PdfDocument(data)
    assert len(read) == 2
    for page, drawing in zip(read, drawings, strict=True):
        width, height = (value / 72 * 25.4 for value in page.get_size())
        assert (width, height) == pytest.approx((drawing.width, drawing.height), abs=0.01)


def test_a_pdf_shows_what_the_png_shows() -> None:
    # Two renderers that share no code, dots averaged over 3 mm: every cell agrees, and a page
    # without its lettering, or without its lines, does not.
    drawing = sheet(pin())
    shown = cells(dots_of_png(to_png(to_svg(drawing))))
    assert differing(shown, cells(dots_of_pdf(to_pdf([drawing])))) == 0
    for left_out in (Text, Line):
        bare = replace(
            drawing, shapes=tuple(s for s in drawing.leaves if not isinstance(s, left_out))
        )
        assert differing(shown, cells(dots_of_pdf(to_pdf([bare])))) > 0.01


def dots_of_pdf(data: bytes) -> Any:
    page = pypdfium2.PdfDocument(data)[0]
    return page.render(scale=6 * 25.4 / 72).to_numpy()[..., :3].mean(axis=2)[:1782, :2520]


def dots_of_png(data: bytes) -> Any:
    return np.asarray(Image.open(BytesIO(data)).convert("RGB"), dtype=float).mean(axis=2)


def cells(dots: Any, size: int = 18) -> Any:
    rows, columns = (n // size for n in dots.shape)
    grid = dots[: rows * size, : columns * size].reshape(rows, size, columns, size)
    return grid.mean(axis=(1, 3))


def differing(one: Any, other: Any) -> float:
    return float((np.abs(one - other) > 45).mean())


def test_characters_beyond_one_font_are_still_text() -> None:
    strange = "".join(chr(0x4E00 + i) for i in range(300)) + "end"
    drawing = small(Text(strange[:150], (1, 40), 2.5), Text(strange[150:], (1, 30), 2.5))
    page = pypdfium2.PdfDocument(to_pdf([drawing]))[0]
    found = page.get_textpage().get_text_range()
    assert "".join(found.split()) == strange


def test_a_dxf_is_sound_in_millimetres_with_a_layer_for_each_meaning() -> None:
    read = read_dxf(sheet(ODD))
    audit = read.audit()
    assert not audit.errors and not audit.fixes
    assert read.header["$INSUNITS"] == 4, "millimetres"
    assert {str(ink) for ink in Ink} <= {layer.dxf.name for layer in read.layers}
    assert {e.dxf.layer for e in read.modelspace()} <= {str(ink) for ink in Ink}
    assert to_dxf(sheet(pin())) == to_dxf(sheet(pin()))


def test_the_line_types_of_a_dxf_are_those_of_iso_128_by_number() -> None:
    read = read_dxf(sheet(pin()))
    kinds = {ink: read.layers.get(str(ink)).dxf.linetype for ink in Ink}
    assert kinds[Ink.CENTRE].startswith("ISO128-04")
    assert kinds[Ink.RAW].startswith("ISO128-05")
    assert kinds[Ink.PATH].startswith("ISO128-02")
    assert kinds[Ink.OPEN_EDGE].startswith("ISO128-07")
    assert kinds[Ink.OUTLINE] == "Continuous"
    for ink, kind in kinds.items():
        if PENS[ink].dashes:
            pattern = read.linetypes.get(kind).simplified_line_pattern()
            assert [abs(p) for p in pattern] == pytest.approx(PENS[ink].dashes)
    weight = {ink: read.layers.get(str(ink)).dxf.lineweight for ink in Ink}
    assert weight[Ink.OUTLINE] == 2 * weight[Ink.HATCH] == 2 * weight[Ink.CENTRE] == 50


def test_the_words_of_a_dxf_are_text_fitted_to_their_room() -> None:
    drawing = sheet(ODD)
    texts = read_dxf(drawing).modelspace().query("TEXT")
    assert sorted(t.dxf.text for t in texts) == sorted(words_of(drawing))
    assert all(t.dxf.halign == 5 for t in texts), "5: fitted between two points"


def test_circles_and_arcs_of_a_dxf_are_circles_and_arcs() -> None:
    turn = np.linspace(0.0, np.pi / 2, 19)
    quarter = tuple((30 + 10 * np.cos(a), 20 + 10 * np.sin(a)) for a in turn)
    whole = tuple((70 + 5 * np.cos(a), 20 + 5 * np.sin(a)) for a in np.arange(0, 2 * np.pi, 0.2618))
    drawing = small(
        Line(((5, 20), (40, 5), *quarter, (10, 30)), Ink.OUTLINE),
        Line(whole, Ink.DETAIL, closed=True),
    )
    space = read_dxf(drawing).modelspace()
    (circle,) = space.query("CIRCLE")
    assert (circle.dxf.center.x, circle.dxf.center.y) == pytest.approx((70, 20), abs=1e-6)
    assert circle.dxf.radius == pytest.approx(5.0, abs=1e-6)
    (line,) = space.query("LWPOLYLINE")
    bulges = [b for *_, b in line.get_points("xyb")]
    # Of a quarter the bulge is tan(90/4 degrees).
    assert bulges == pytest.approx([0, 0, np.tan(np.pi / 8), 0, 0], abs=1e-6)


def test_hatching_under_words_is_cut_away_in_a_dxf_not_covered() -> None:
    from shapely import box

    lines = tuple(hatched(box(0, 0, 60, 40), Ink.HATCH, 3.0))
    room = (20.0, 10.0, 40.0, 20.0)
    drawing = small(*lines, Fill((rectangle(room),), Tone.PAPER), Text("Ø 20", (24, 13), 2.5))
    space = read_dxf(drawing).modelspace()
    inner = box(20.01, 10.01, 39.99, 19.99)
    from shapely.geometry import LineString

    for line in space.query("LINE"):
        way = LineString([line.dxf.start.vec2, line.dxf.end.vec2])
        assert not way.intersects(inner)
    assert len(space.query("LINE")) > len(lines)


def test_svg_groups_say_what_they_are() -> None:
    line = Line(((0, 0), (10, 10)), Ink.FEED_WAY)
    drawing = small(Group("way", (line,), (("motion", "12"), ("line", '8"<'))))
    root = ET.fromstring(to_svg(drawing))
    (group,) = root.iter(f"{SVG}g")
    assert group.attrib == {"data-part": "way", "data-motion": "12", "data-line": '8"<'}
    assert len(list(group)) == 1


def test_an_inline_svg_brings_no_rules_and_only_its_own_names() -> None:
    text = inline_svg(sheet(pin()), "first-end")
    root = ET.fromstring(text)
    assert root.find(f".//{SVG}style") is None
    ids = {e.attrib["id"] for e in root.iter() if "id" in e.attrib}
    assert ids == {"first-end-title", "first-end-description"}
    classes = {e.attrib["class"] for e in root.iter() if "class" in e.attrib}
    rules = style_rules()
    assert all(f".{name}{{" in rules for name in classes)


def test_every_colour_has_one_for_a_dark_ground_that_stands_out_from_it() -> None:
    used = {pen.colour for pen in PENS.values()} | set(TONES.values())
    assert used <= set(DARK)
    for ink, pen in PENS.items():
        small = ink in LETTERING and ink is not Ink.STRIKE_TEXT
        least = 4.5 if small else 1.5 if ink is Ink.GRID else 3.0
        for colours, paper in (({c: c for c in used}, "#FFFFFF"), (DARK, DARK["#FFFFFF"])):
            assert contrast(colours[pen.colour], paper) >= least, (ink, paper)


def test_vermillion_letters_are_large() -> None:
    # Large letters may stand out by 3 to 1 (WCAG 2.1, 1.4.3); 18 pt has capitals of about 4 mm.
    texts = [s for s in sheet(pin()).leaves if isinstance(s, Text) and s.ink is Ink.STRIKE_TEXT]
    assert texts and all(text.height >= 4.0 for text in texts)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.1, 1.4.3 and 1.4.11)."""
    lights = sorted((luminance(c) for c in (one, other)), reverse=True)
    return (lights[0] + 0.05) / (lights[1] + 0.05)


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return sum(weight * c for weight, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_letters_stand_in_the_svg_where_their_strokes_are() -> None:
    from standclear.drawing.lettering import strokes

    text = Text("Z-5°", (10.0, 20.0), 3.5)
    turned = replace(text, upright=False)
    for one in (text, turned):
        (path,) = ET.fromstring(to_svg(small(one))).iter(f"{SVG}path")
        ends = pen_downs(path.attrib["d"])
        wanted = [(x, 50.0 - y) for stroke in strokes(one) for x, y in stroke]
        assert np.array(ends) == pytest.approx(np.array(wanted), abs=0.01)


def pen_downs(path: str) -> list[tuple[float, float]]:
    """Every point of a path of M, m and l."""
    import re

    points: list[tuple[float, float]] = []
    at = (0.0, 0.0)
    for letter, rest in re.findall(r"([Mml])([^Mml]*)", path):
        values = [float(v) for v in rest.split()]
        for x, y in zip(values[::2], values[1::2], strict=True):
            at = (x, y) if letter == "M" else (at[0] + x, at[1] + y)
            if letter != "M":
                points.append(at)
    return points


def test_dashes_are_whole_patterns() -> None:
    for pen in PENS.values():
        assert len(pen.dashes) % 2 == 0
    assert not any(a == b for a, b in pairwise(sorted(str(i) for i in Ink)))
