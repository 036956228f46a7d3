"""Lines after ISO 128, colours from a published set, and nothing told by colour alone."""

from __future__ import annotations

from itertools import combinations

import pytest
from fixture_proof import clear_pin, pin
from reading import proved_example
from shapely import box
from shapely.geometry import LineString

from standclear.drawing.inks import CUES, LETTERING, LINE_TYPES, PENS, TONES, Ink, stroke_of
from standclear.drawing.kinds import Subject
from standclear.drawing.section.alone import section_drawing
from standclear.drawing.section.sheet import sheet
from standclear.drawing.shapes import Drawing, Line, Text
from standclear.drawing.subject import drawings_of

# Okabe and Ito, Color Universal Design (2002, revised 2008): blue 0 114 178, vermillion 213 94 0.
OKABE_ITO = {"#0072B2", "#D55E00"}
GREYS = {"#000000", "#444444", "#999999"}
LINES = [ink for ink in Ink if ink not in LETTERING]


@pytest.fixture(scope="module")
def drawings() -> list[Drawing]:
    held, proof = proved_example("thicker-bar")
    found = [sheet(pin()), sheet(clear_pin())]
    found += [section_drawing(proof, s.name, with_ways=True) for s in proof.setups]
    for subject in Subject:
        found += drawings_of(subject, held, held.files.job, proof)
    return found


def inks_of(drawing: Drawing) -> set[Ink]:
    return {s.ink for s in drawing.leaves if isinstance(s, Line)}


def test_line_types_are_those_of_iso_128_for_their_meaning() -> None:
    # ISO 128-24 and 128-2 (from memory): 01.2 visible outlines, 01.1 dimensions, leaders, hatching
    # and roots of threads, 04.1 centre lines, 05.1 outlines before forming, 02 not visible.
    for ink in (Ink.OUTLINE, Ink.OBSTACLE):
        assert (PENS[ink].line_type, PENS[ink].width) == (1, 0.5)
    for ink in (Ink.DIMENSION, Ink.LEADER, Ink.HATCH, Ink.STRIKE_HATCH, Ink.THREAD):
        assert (PENS[ink].line_type, PENS[ink].width) == (1, 0.25)
    assert (PENS[Ink.CENTRE].line_type, PENS[Ink.CENTRE].width) == (4, 0.25)
    assert (PENS[Ink.RAW].line_type, PENS[Ink.RAW].width) == (5, 0.25)


def test_wide_is_twice_narrow_and_there_is_nothing_between() -> None:
    # ISO 128-2: of a line group two widths, 2 to 1. The frame is that of ISO 5457; a grid to read
    # off is no line of the part.
    widths = {PENS[ink].width for ink in LINES if ink not in (Ink.FRAME, Ink.GRID)}
    assert widths == {0.25, 0.5}
    assert PENS[Ink.FRAME].width == 0.7


def test_patterns_are_as_long_as_the_standard_has_them() -> None:
    # ISO 128-20 (from memory), in widths: long dash 24, dash 12, short dash 6, gap 3, dot at most a
    # half; round ends make a dot longer by one.
    assert LINE_TYPES[4][1] == (24, 3, 1.5, 3)
    assert LINE_TYPES[5][1] == (24, 3, 1.5, 3, 1.5, 3)
    assert LINE_TYPES[2][1] == (12, 3)
    assert PENS[Ink.CENTRE].dashes == pytest.approx((6.0, 0.75, 0.375, 0.75))


def test_letters_are_a_tenth_of_their_height_thick() -> None:
    # ISO 3098-1, type B (from memory).
    assert stroke_of(2.5) == 0.25
    assert stroke_of(3.5) == pytest.approx(0.35)


def test_colours_are_of_the_published_set_and_each_has_a_second_cue() -> None:
    for ink, pen in PENS.items():
        assert pen.colour in OKABE_ITO | GREYS
        assert (pen.colour in OKABE_ITO) == (ink in CUES)


def test_without_colour_every_line_of_a_drawing_is_still_told_apart(
    drawings: list[Drawing],
) -> None:
    """Lines that differ in colour and meaning differ in width or dashes too, or carry letters or
    cross hatching: see CUES."""
    for drawing in drawings:
        for one, other in combinations(sorted(inks_of(drawing)), 2):
            a, b = PENS[one], PENS[other]
            if a.colour == b.colour:
                continue
            cues = {CUES.get(ink, "line") for ink in (one, other)}
            if cues == {"line"} and Ink.HATCH not in (one, other):
                assert (a.width, a.line_type) != (b.width, b.line_type), (one, other)


def test_ways_of_rapids_and_feeds_differ_by_their_dashes() -> None:
    assert PENS[Ink.RAPID_WAY].line_type != PENS[Ink.FEED_WAY].line_type
    assert len({PENS[ink].line_type for ink in Ink if ink.endswith("-edge")}) == 4


def test_where_letters_are_the_cue_they_are_there(drawings: list[Drawing]) -> None:
    for drawing in drawings:
        said = [s.string for s in drawing.leaves if isinstance(s, Text)]
        if Ink.IN_HAND in inks_of(drawing):
            assert any(w.startswith("in hand: ") for w in said)
        if Ink.STRIKE_MARK in inks_of(drawing):
            assert any(w.isdigit() for w in said)
        if Ink.TOOL in inks_of(drawing):
            named = [w for w in said if w.startswith("tool") or "rapid to" in w or "feed to" in w]
            assert named, said


def test_every_strike_is_hatched_both_ways(drawings: list[Drawing]) -> None:
    for drawing in drawings:
        if Ink.STRIKE not in inks_of(drawing):
            continue
        hatch = [
            LineString(s.points)
            for s in drawing.leaves
            if isinstance(s, Line) and s.ink is Ink.STRIKE_HATCH
        ]
        rising = [h for h in hatch if slope(h) > 0]
        assert rising and len(rising) < len(hatch)
        for line in drawing.leaves:
            if isinstance(line, Line) and line.ink is Ink.STRIKE and wide(line):
                near = box(*LineString(line.points).bounds).buffer(0.1)
                assert any(near.intersects(h) for h in hatch)


def slope(line: LineString) -> float:
    (x0, y0), (x1, y1) = line.coords[0], line.coords[-1]
    return (y1 - y0) * (x1 - x0)


def wide(line: Line) -> bool:
    x0, y0, x1, y1 = LineString(line.points).bounds
    return min(x1 - x0, y1 - y0) > 2.0


def test_areas_are_pale_enough_for_the_lines_on_them() -> None:
    for tone, colour in TONES.items():
        if tone in ("ink", "tool-ink"):
            continue
        level = sum(int(colour[i : i + 2], 16) for i in (1, 3, 5)) / 3
        assert level > 200, tone
