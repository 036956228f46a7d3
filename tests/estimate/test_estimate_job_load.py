"""The load of whole small jobs: bar 40 x 60, raw face 1 in front, sharp tools."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.proof.proof_shop import files_of

import standclear
from standclear.estimate.engagement import engagements
from standclear.estimate.load import JobLoad, job_load, peak_to_valley_um
from standclear.estimate.solids import volumes
from standclear.estimate.taken import all_taken
from standclear.sweeps.areas import less

C45 = 'size = 40.0\nlength = 60.0\nmaterial = "C45"'
MACHINE = 'home = "beyond"\nrapid_path = "straight"\n'
PASS = "G00 X36. Z3.\nG01 Z-20. F0.25\nG00 X44.\nG28 U0 W0\n"


def loaded(program: str, **job: Any) -> JobLoad:
    files = files_of(program, **({"blank": C45} | job))
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    return job_load(files.job, proof, all_taken(held, files.job, proof))


def test_a_pass_by_hand() -> None:
    """800 rpm, depth 2, feed 0.25: pi (40 - 2) 2 0.25 800 / 1000 = 47.75 cm3/min and 100.5 m/min
    at the raw diameter; pi (20^2 - 18^2) 21 = 5.01 cm3 in all. The leaning edge leaves some of it
    at the foot of the shoulder, less than a hundredth."""
    found = loaded(PASS)
    (tool,) = found.setups[0].tools
    assert tool.depth == pytest.approx(2.0, abs=0.002)
    assert tool.rate == pytest.approx(47.75, rel=0.01)
    assert tool.speed.hi == pytest.approx(100.53, abs=0.01)
    assert found.setups[0].volume == pytest.approx(5.014, rel=0.01)


def test_a_thicker_bar_makes_the_first_cut_deeper() -> None:
    """Bar 43: 3.5 deep in place of 2, whatever the program meant."""
    thick = loaded(PASS.replace("X44.", "X48."), blank=C45.replace("40.0", "43.0"))
    assert thick.setups[0].tools[0].depth == pytest.approx(3.5, abs=0.002)


def test_power_above_the_spindles_is_a_limit_with_its_line() -> None:
    """C45 at depth 2, feed 0.25, 100 m/min asks for 2 to 4 kW over the constants: far above 0.5,
    perhaps above 2.5."""
    below = loaded(PASS, machine=MACHINE + "spindle_power = 9.0\n")
    maybe = loaded(PASS, machine=MACHINE + "spindle_power = 2.5\n")
    above = loaded(PASS, machine=MACHINE + "spindle_power = 0.5\n")
    assert below.limits == ()
    assert [(x.what, x.line, x.sure) for x in maybe.limits] == [("spindle power", 6, False)]
    assert [(x.what, x.line, x.sure) for x in above.limits] == [("spindle power", 6, True)]


@pytest.mark.parametrize(
    ("clamping", "expected"),
    [
        ("force = 90000, jaw_mass = 1.0, jaw_centre = 60.0, top_speed = 3000", []),
        ("force = 90000, jaw_mass = 1.0, jaw_centre = 60.0, top_speed = 700", ["chuck speed"]),
        ("force = 3000, jaw_mass = 1.0, jaw_centre = 60.0, top_speed = 3000", ["grip"]),
    ],
)
def test_the_chuck_has_its_limits(clamping: str, expected: list[str]) -> None:
    jaws = "{ profile = [[0, 0], [15, 0], [15, 20], [0, 20]], clamping = { " + clamping + " } }"
    assert [x.what for x in loaded(PASS, jaws=jaws).limits] == expected


def test_without_constants_nothing_is_claimed() -> None:
    found = loaded(PASS, blank=C45.replace("C45", "unobtainium"))
    (tool,) = found.setups[0].tools
    assert (tool.force, tool.power, tool.bend) == (None, None, None)
    assert any("unobtainium" in sentence for sentence in found.left_out)


def test_peak_to_valley_by_feed_and_nose() -> None:
    """f2 / (8 r): 6.25 um at 0.2 and 0.8, 3.125 at 0.1 and 0.4; closed form."""
    assert peak_to_valley_um(0.2, 0.8) == pytest.approx(6.25)
    assert peak_to_valley_um(0.1, 0.4) == pytest.approx(3.125)


def test_what_is_taken_agrees_with_meshes_of_revolution() -> None:
    """Metal before less metal after as meshes of N sides, which hold sin(2 pi / N) / (2 pi / N) of
    their solids, closed form."""
    files = files_of(
        "G00 X36. Z3.\nG01 Z-20. F0.25\nG00 X44.\nZ3.\nX24.\nG01 Z0. F0.2\nX32. Z-8.\n"
        "G02 X38. Z-11. R3.\nG00 X44.\nG28 U0 W0\n",
        jaws=None,
    )
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    taken = engagements(all_taken(held, files.job, proof)[0][0]).volume.sum()
    before = proof.setups[0].metal_before
    after = less(before, held.readings[0][0].keep.most_cut)
    share = np.sin(2 * np.pi / 64) / (2 * np.pi / 64)
    meshes = []
    for metal in (before, after):
        ring = np.array(metal.exterior.coords)[:, ::-1]
        meshes.append(abs(float(trimesh.creation.revolve(ring, sections=64).volume)) / share)
    assert taken == pytest.approx(meshes[0] - meshes[1], rel=1e-6)


@settings(max_examples=25)
@given(
    st.lists(st.tuples(st.integers(10, 39), st.integers(-40, 0)), min_size=1, max_size=6),
)
def test_what_the_motions_take_is_what_is_missing(passes: list[tuple[int, int]]) -> None:
    """Volume before less volume after, to 1e-9 of the whole."""
    blocks = "".join(f"G00 X{x}. Z3.\nG01 Z{z}. F0.2\nX44.\nG00 Z3.\n" for x, z in passes)
    files = files_of(blocks + "G28 U0 W0\n", jaws=None)
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    setup, reading = proof.setups[0], held.readings[0][0]
    taken = engagements(all_taken(held, files.job, proof)[0][0]).volume
    before = setup.metal_before
    after = less(before, reading.keep.most_cut)
    whole, left = volumes(np.array([before, after], dtype=object))
    assert taken.sum() == pytest.approx(whole - left, abs=1e-9 * whole)
