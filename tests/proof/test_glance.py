"""A glance beside the full proof: it never overlooks a strike that the proof finds."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from proof_shop import files_of

import standclear
from standclear.findings.finding import Verdict
from standclear.job.models import Job
from standclear.proof.glance import Ready, can_glance, glance, prepare
from standclear.proof.held import Held
from standclear.proof.prove import judge, other_blank
from standclear.proof.result import SetupProof

ROOT = Path(__file__).parents[2]
NAMES = ("demo-pin", "hexagon-fitting", "inch-flange", "jaws-too-near", "sleeve", "threaded-stud")


@cache
def opened(name: str) -> tuple[Held, Ready]:
    held = standclear.hold(standclear.read_job(ROOT / "examples" / name))
    blank = held.files.job.blank
    return held, prepare(held, held.files.job, 1.3 * blank.size, blank.length + 15)


def other(job: Job, bar: float, longer: float, face: float) -> Job:
    zero = job.setup[0].zero
    allowance = (zero.face_allowance or 0.0) + face
    return other_blank(
        job,
        bar=job.blank.size * bar,
        length=job.blank.length + longer,
        face=allowance if zero.way != "stop" else None,
    )


@given(
    st.sampled_from(NAMES),
    st.floats(0.9, 1.3),
    st.floats(-2, 15),
    st.floats(-1, 4),
)
@settings(max_examples=12, phases=[Phase.reuse, Phase.generate])
def test_no_strike_of_the_proof_is_overlooked(
    name: str, bar: float, longer: float, face: float
) -> None:
    held, ready = opened(name)
    job = other(held.files.job, bar, longer, face)
    seen, proof = glance(held, ready, job), judge(held, job)
    assert all(each.verdict is not Verdict.CLEAR for each in seen.setups)
    for number, (glanced, proved) in enumerate(zip(seen.setups, proof.setups, strict=True)):
        if number and _came_loose(seen.setups[number - 1], proof.setups[number - 1]):
            # What goes on is then known to the full proof alone.
            break
        one, other_metal = glanced.metal_before, proved.metal_before
        # Slivers that booleans leave may differ with the reach, and a slide gives them a width.
        assert one.difference(other_metal).area < 0.05
        assert other_metal.difference(one).area < 0.05
        if proved.verdict is Verdict.CONTACT:
            assert glanced.verdict is Verdict.CONTACT
        if glanced.verdict is Verdict.CONTACT:
            assert proved.verdict is not Verdict.CLEAR
    assert seen.struck == any(p.verdict is Verdict.CONTACT for p in seen.setups)


def _came_loose(glanced: SetupProof, proved: SetupProof) -> bool:
    """The full proof credits no cut after metal came loose unforeseen, so it has more left."""
    return bool(proved.metal_after.difference(glanced.metal_after).area >= 0.05)


def nearest(setup: SetupProof) -> list[float]:
    return sorted(near.gap for near in setup.approaches)[:2]


@pytest.mark.parametrize("name", NAMES)
def test_its_nearest_gaps_are_those_of_the_proof(name: str) -> None:
    held, ready = opened(name)
    for bar in (1.0, 0.98):
        job = other(held.files.job, bar, 0.0, 0.0)
        for glanced, proved in zip(
            glance(held, ready, job).setups, judge(held, job).setups, strict=True
        ):
            assert nearest(glanced) == pytest.approx(nearest(proved), abs=1e-6)


def test_a_blank_beyond_what_was_prepared_is_seen_as_well() -> None:
    held, _ = opened("demo-pin")
    job = held.files.job
    small = prepare(held, job, 0.0, 0.0)
    # 120 across and 60 longer: far outside the reach in which the keep-out was known.
    large = other_blank(job, bar=120.0, length=job.blank.length + 60, face=None)
    seen, proof = glance(held, small, large), judge(held, large)
    assert seen.struck and proof.verdict is Verdict.CONTACT
    for glanced, proved in zip(seen.setups, proof.setups, strict=True):
        assert [s.motion for s in glanced.strikes] == [s.motion for s in proved.strikes]


def test_the_bar_at_which_the_demo_pin_strikes() -> None:
    # By hand: the tool comes down at X51, 25.5 on radius, with half the run-out 0.1: 50.8 touches,
    # and the contact limit 0.005 allows 50.81.
    held, ready = opened("demo-pin")
    job = held.files.job
    for bar, struck in ((50.75, False), (50.85, True)):
        moved = other_blank(job, bar=bar, length=None, face=None)
        assert glance(held, ready, moved).struck is struck


def test_metal_that_falls_is_left_to_the_full_proof() -> None:
    parted = standclear.read_job(ROOT / "examples" / "parted-collar").job
    assert any(setup.falls_at for setup in parted.setup)
    assert not can_glance(parted)
    assert can_glance(opened("demo-pin")[0].files.job)


def test_jaws_that_only_a_worn_tool_meets_round_their_corner_are_seen() -> None:
    # The tool's corner stands 0.4 beyond the jaws' outer corner, Z-44. and r 40, both ways: 0.566
    # away. Off by its bound along both axes it comes 0.566 nearer for 0.4 and meets it beyond.
    program = "G00 X100. Z-43.6\nX80.8\nX100."
    for wear, struck in ((0.39, False), (0.41, True), (0.55, True)):
        files = files_of(
            program, margin="x = 2.0, z = 2.0, jaws = 0.0", more_of_tools=f"wear = {wear}"
        )
        held = standclear.hold(files)
        blank = files.job.blank
        seen = glance(held, prepare(held, files.job, blank.size, blank.length), files.job)
        assert (judge(held, files.job).verdict is Verdict.CONTACT) is struck
        assert seen.struck is struck
