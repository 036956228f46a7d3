from __future__ import annotations

import pytest
from reading import ROOT, stumbles

import standclear
from standclear.drawing.inks import Ink
from standclear.drawing.section.strips import motion_that_matters, passage, strips
from standclear.drawing.shapes import Drawing, Group, Line, Text, leaves
from standclear.proof.held import Held
from standclear.proof.result import JobProof


@pytest.fixture(scope="module")
def struck() -> tuple[Held, JobProof]:
    held = standclear.hold(standclear.read_job(ROOT / "examples" / "demo-pin"))
    return held, standclear.ask(held, bar=52.0, length=86.5)


def frames(drawing: Drawing) -> list[Group]:
    found = []
    for shape in drawing.shapes:
        for inner in getattr(shape, "shapes", ()):
            if isinstance(inner, Group) and inner.part == "frame":
                found.append(inner)
    return found


def inks(group: Group) -> set[Ink]:
    return {s.ink for s in leaves(group.shapes) if isinstance(s, Line)}


def test_the_passage_leads_up_to_the_first_strike_in_time(
    struck: tuple[Held, JobProof],
) -> None:
    held, proof = struck
    for number, setup in enumerate(proof.setups):
        motion = motion_that_matters(setup)
        assert motion == min(strike.motion for strike in setup.strikes)
        steps = passage(held, setup, number, motion)
        assert [step.matters for step in steps].count(True) == 1
        assert all(not s.hits for s in steps if s.last < motion), "nothing strikes before the first"


def test_the_strike_is_hatched_in_its_frame_alone_or_later(
    struck: tuple[Held, JobProof],
) -> None:
    held, proof = struck
    drawing = strips(held, proof, "front end")
    drawn = [Ink.STRIKE_HATCH in inks(frame) for frame in frames(drawing)]
    # Line 10 stands the tool off, line 11 brings it down into the bar.
    assert drawn[:2] == [False, True]
    lines = [dict(frame.data)["line"] for frame in frames(drawing)]
    assert lines[:2] == ["10", "11"]
    said = [s.string for s in drawing.leaves if isinstance(s, Text)]
    assert "2. line 11: G94 X-1.6 Z1. F0.2" in said
    assert "rapid to X51.0 Z1.0" in said
    # 51/2 = 25.5 under a bar of 26 with 0.1 of run-out.
    assert "strikes metal, 0.6 mm deep" in said
    assert stumbles(drawing) == []


def test_each_frame_shows_the_metal_as_its_motion_finds_it(
    struck: tuple[Held, JobProof],
) -> None:
    held, proof = struck
    setup = proof.setups[0]
    steps = passage(held, setup, 0, motion_that_matters(setup))
    areas = [step.metal.area for step in steps]
    assert areas == sorted(areas, reverse=True)
    assert areas[0] == pytest.approx(setup.metal_before.area), "the first cut comes later"
    # Frame 3 faces the bar, 26.1 on radius, from Z2.05 down to Z1, starting 25.5 on radius; the
    # nose of 0.8 reaches a little further out. What frame 4 finds lacks that.
    lost = areas[2] - areas[3]
    assert (25.5 - 0.8) * 1.05 < lost < 26.1 * 1.05


def test_a_clear_job_shows_its_nearest_approach() -> None:
    held = standclear.hold(standclear.read_job(ROOT / "examples" / "demo-pin"))
    proof = standclear.judge(held, held.files.job)
    drawing = strips(held, proof, "back end")
    assert not any(Ink.STRIKE_HATCH in inks(frame) for frame in frames(drawing))
    assert any(Ink.TOOL in inks(frame) for frame in frames(drawing))


def test_a_set_up_that_is_not_there_is_no_drawing(struck: tuple[Held, JobProof]) -> None:
    held, proof = struck
    with pytest.raises(KeyError):
        strips(held, proof, "middle")
