"""Numbers at the edges: no motion, borders that only touch, arcs that hardly close, places far
away, steps finer than any control's.

What is promised stands in the docstrings of `standclear.sweeps.sweep.sweep` and
`standclear.motions.way.arcs.chords`; the jobs are those of `proof_shop`: bar 40, raw face at Z1,
contact from 0.005 mm on.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from proof_shop import codes, files_of, proof_of
from shapely.affinity import translate

import standclear
from standclear.findings.finding import Verdict
from standclear.proof.keep_out import keep_out
from standclear.sweeps.areas import less, union

PASSES = "G00 X44. Z2.\nG00 X36.\nG01 Z-20. F0.2\nG01 X44.\nG00 Z2.\n"
SHAPE = "G00 X30. Z2.\nG01 Z-10. F0.2\nG02 X38. Z-14. I4. K0.\nG01 X44.\nG00 Z5.\n"
"""Turned to 30, then an inside radius of 4 whose tangents are that diameter and a shoulder."""


def same_but_lines(one: standclear.JobProof, other: standclear.JobProof) -> bool:
    areas = [union(p.setups[0].keep_areas) for p in (one, other)]
    return (
        one.verdict is other.verdict
        and codes(one) == codes(other)
        and bool(shapely.equals_exact(*(shapely.normalize(a) for a in areas), tolerance=1e-9))
    )


@pytest.mark.parametrize("again", ["U0 W0\n", "G00 U0 W0\n", "G01 U0 F0.2\n"])
@pytest.mark.parametrize("after", [1, 2, 3, 4, 5])
def test_a_block_that_does_not_move_changes_nothing(again: str, after: int) -> None:
    lines = PASSES.splitlines(keepends=True)
    with_it = "".join(lines[:after]) + again + "".join(lines[after:])
    assert same_but_lines(proof_of(PASSES), proof_of(with_it))


@pytest.mark.parametrize(
    ("along", "verdict"),
    [
        (36.0, Verdict.CLEAR),  # exactly where the cut ran
        (35.992, Verdict.CLEAR),  # 0.004 deep: touching
        (35.988, Verdict.CONTACT),  # 0.006 deep
    ],
)
def test_a_rapid_along_an_earlier_cut(along: float, verdict: Verdict) -> None:
    rapid = f"G00 X{along}\nG00 Z-19.\nG00 X44.\nG00 Z2.\n"
    assert proof_of(PASSES + rapid).verdict is verdict


def test_a_cut_made_twice_takes_nothing_the_second_time() -> None:
    once, twice = (proof_of(PASSES + SHAPE * n) for n in (1, 2))
    assert (once.verdict, twice.verdict) == (Verdict.CLEAR, Verdict.CLEAR)
    left = [p.setups[0].metal_after for p in (once, twice)]
    assert shapely.equals_exact(*(shapely.normalize(a) for a in left), tolerance=2e-9)


@pytest.mark.parametrize(
    ("z", "x", "verdict"),
    [
        (1.0, 40.0, Verdict.CLEAR),  # tip against the corner of the bar
        (0.9955, 39.991, Verdict.CLEAR),  # within the contact limit along both axes
        (0.98, 39.96, Verdict.CONTACT),
    ],
)
def test_a_tip_at_a_corner(z: float, x: float, verdict: Verdict) -> None:
    # T1 has its tip lowest and furthest left: in front of the face only the tip can touch.
    assert proof_of(f"G00 X60. Z9.\nG00 X{x} Z{z}\nG00 X60. Z9.\n").verdict is verdict


def test_a_blank_of_the_finished_size_is_clear_with_nothing_to_cut() -> None:
    along = "G00 X44. Z2.\nG00 X40.\nG01 Z-20. F0.2\nG00 X44.\nG00 Z0.\nG01 X-1. F0.2\nG00 Z2.\n"
    proof = proof_of(
        along, blank="size = 40.0\nlength = 58.0", zero='way = "touch", face_allowance = 0.0'
    )
    assert proof.verdict is Verdict.CLEAR
    setup = proof.setups[0]
    assert less(setup.metal_before, setup.metal_after).area < 1e-6


@pytest.mark.parametrize(
    ("end", "verdict", "said"),
    [
        ("X38. Z-14.", Verdict.CLEAR, ""),
        ("X38. Z-14.0005", Verdict.CLEAR, ""),  # 0.0005 apart: a rounding
        ("X38. Z-14.005", Verdict.CLEAR, "radii"),  # taken on trust, and said
        ("X38. Z-14.5", Verdict.UNPROVEN, ""),  # no arc
    ],
)
def test_an_arc_whose_radii_disagree(end: str, verdict: Verdict, said: str) -> None:
    proof = proof_of(PASSES + SHAPE.replace("X38. Z-14.", end))
    assert proof.verdict is verdict
    assert any("radii" in sentence for sentence in proof.trusted) is bool(said)


@settings(max_examples=20)
@given(far=st.sampled_from([-1e5, -12345.678, 1e5]), shape=st.sampled_from([PASSES, SHAPE]))
def test_far_from_zero_nothing_is_lost(far: float, shape: str) -> None:
    held = standclear.hold(files_of(shape)).readings[0][0]
    motions = held.trace.motions
    by = np.array([far, 0.0])
    away = replace(motions, start=motions.start + by, end=motions.end + by)
    z_min, r_min, z_max, r_max = held.keep.reach
    there = keep_out(away, held.tools, held.wear, 0.005, (z_min + far, r_min, z_max + far, r_max))
    here = translate(union([held.keep.most_cut]), far)
    assert less(here, there.most_cut).buffer(-1e-8).is_empty
    assert less(there.most_cut, here).buffer(-1e-8).is_empty
    assert there.most_cut.area == pytest.approx(here.area, rel=1e-9)


def test_steps_of_a_tenth_of_a_micrometre_are_the_way_they_add_up_to() -> None:
    fine = "G00 X44. Z2.\nG00 X36.\nG01 Z0. F0.2\n" + "W-0.0001\n" * 500 + "G01 X44.\nG00 Z2.\n"
    whole = "G00 X44. Z2.\nG00 X36.\nG01 Z0. F0.2\nZ-0.05\nG01 X44.\nG00 Z2.\n"
    left = [proof_of(each).setups[0].metal_after for each in (fine, whole)]
    assert np.isclose(left[0].area, left[1].area, rtol=0, atol=1e-6)
    assert proof_of(fine).verdict is Verdict.CLEAR
