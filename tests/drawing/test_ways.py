"""Every motion of a program can be pointed at in its picture."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import numpy as np
import pytest
from numpy.typing import NDArray
from reading import proved_example

from standclear.drawing.inks import Ink
from standclear.drawing.section.alone import section_drawing
from standclear.drawing.section.ways import runs, ways
from standclear.drawing.shapes import Drawing, Group, Line, Shape
from standclear.drawing.view import View
from standclear.drawing.writers.svg import inline_svg
from standclear.motions.table import FAR, Kind
from standclear.proof.at_motion import metal_at, reading_shown
from standclear.proof.held import Held
from standclear.proof.result import JobProof, SetupProof
from standclear.sweeps.areas import less, union

WIDE = View((-500.0, -50.0, 500.0, 500.0), 1.0, (0.0, 0.0))
"""Shows every motion whole: paper x is z + 500, y is r + 50."""


@pytest.fixture(scope="module", params=["demo-pin", "sleeve", "bent-rapid"])
def proved(request: pytest.FixtureRequest) -> tuple[Held, JobProof]:
    return proved_example(request.param)


def every_one(setup: SetupProof) -> NDArray[np.bool_]:
    return np.ones(len(setup.trace.motions), dtype=np.bool_)


def ends_of(group: Group) -> tuple[tuple[float, float], ...]:
    return tuple(p for s in group.shapes if isinstance(s, Line) for p in s.points)


def test_every_motion_between_known_places_belongs_to_one_way(
    proved: tuple[Held, JobProof],
) -> None:
    for setup in proved[1].setups:
        motions = setup.trace.motions
        near = (np.abs(np.hstack([motions.start, motions.end])) < FAR / 2).all(axis=1)
        wanted = set(np.flatnonzero(near & (motions.kind != Kind.APPEAR)).tolist())
        covered = [row for first, last in runs(motions) for row in range(first, last + 1)]
        assert len(covered) == len(set(covered))
        assert set(covered) == wanted


def test_a_way_ends_where_its_motion_does_and_names_its_block(
    proved: tuple[Held, JobProof],
) -> None:
    for setup in proved[1].setups:
        motions = setup.trace.motions
        for group in ways(WIDE, setup, every_one(setup)):
            data = dict(group.data)
            row = int(data["motion"])
            z, r = motions.end[row]
            at = (z + 500.0, r + 50.0)
            assert any(np.allclose(at, p, atol=0.03) for p in ends_of(group)), data
            assert data["kind"] == ("rapid" if motions.kind[row] == Kind.RAPID else "feed")
            block = setup.program.blocks[int(motions.block[row])]
            assert data["line"] == str(block.line)


def test_rapids_and_feeds_have_lines_of_their_own(proved: tuple[Held, JobProof]) -> None:
    for setup in proved[1].setups:
        for group in ways(WIDE, setup, every_one(setup)):
            ink = Ink.RAPID_WAY if dict(group.data)["kind"] == "rapid" else Ink.FEED_WAY
            assert {s.ink for s in group.shapes if isinstance(s, Line)} <= {ink}


def test_the_ways_of_a_page_can_be_found_by_motion_and_by_line(
    proved: tuple[Held, JobProof],
) -> None:
    proof = proved[1]
    name = proof.setups[0].name
    svg = inline_svg(section_drawing(proof, name, with_ways=True), "first")
    found = [e for e in ET.fromstring(svg).iter() if e.get("data-part") == "way"]
    assert found
    assert all({"data-motion", "data-line", "data-kind"} <= set(e.attrib) for e in found)
    parts = {e.get("data-part") for e in ET.fromstring(svg).iter()}
    assert {"metal", "holding", "tool", "ways", "sizes", "names"} <= parts
    assert 'data-part="ways"' not in inline_svg(section_drawing(proof, name), "first")


def test_a_section_at_a_motion_shows_its_tool_and_the_metal_then(
    proved: tuple[Held, JobProof],
) -> None:
    held, proof = proved
    setup = proof.setups[0]
    count = len(setup.trace.motions)
    reading = reading_shown(held, 0, setup)
    first, last = metal_at(reading, setup, [0, count - 1])
    assert first.equals(setup.metal_before)
    cut = reading.keep.cut
    before = cut.cut[cut.cut_motion < count - 1]
    assert last.area == pytest.approx(less(setup.metal_before, union(before)).area)
    drawing = section_drawing(proof, setup.name, motion=count // 2, metal=last)
    assert isinstance(drawing, Drawing)
    with pytest.raises(IndexError):
        section_drawing(proof, setup.name, motion=count)
    with pytest.raises(KeyError):
        section_drawing(proof, "no such set-up")


def test_what_a_program_does_far_from_the_window_is_left_out() -> None:
    _, proof = proved_example("demo-pin")
    small = View((-1.0, 0.0, 1.0, 1.0), 1.0, (0.0, 0.0))
    shown: list[Shape] = list(ways(small, proof.setups[0], every_one(proof.setups[0])))
    everything = list(ways(WIDE, proof.setups[0], every_one(proof.setups[0])))
    assert 0 < len(shown) < len(everything)
