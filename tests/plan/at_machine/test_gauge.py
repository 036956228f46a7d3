"""Where to stand with the spindle stopped, and the gauges, against hand sums in both units."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
import shapely
from shapely.affinity import translate
from typer.testing import CliRunner

import standclear
from standclear.cli import app
from standclear.plan.at_machine.approach_order import order_to
from standclear.plan.at_machine.gauge import Check, MachineCheck, machine_check

EXAMPLES = Path(__file__).parents[3] / "examples"
FINE = 2e-3
"""mm: sections are known within 0.001 a side."""
INCH = 25.4


def checked(path: Path, **blank: float) -> tuple[MachineCheck, standclear.JobProof]:
    held = standclear.hold(standclear.read_job(path, **blank))
    proof = standclear.judge(held, held.files.job)
    return machine_check(held, held.files.job, proof), proof


def gap(check: Check, axis: str) -> tuple[float, float, float]:
    found = next(g for g in check.gaps if g.axis == axis)
    return found.gap, found.passes, found.refused


def test_a_pin_in_millimetres() -> None:
    """Front end, X51. Z5.: raw face touched at Z2. +/- 0.05, so 5 - 2 = 3.0, 2.9 goes in, 3.1 not.
    Over the diameter: 51/2 - (47.84/2 to 48/2 + 0.1 of run-out, 24.01 in the middle) = 1.49.

    Back end: high spot between 82.8 - 2.05 - 79 = 1.75 and 83.2 + 0.2 - 1.95 - 79 = 2.45, 2.1 in
    the middle: 5 - 2.1 = 2.9, and what the saw may do, 0.35, is more than 0.1.
    """
    found, _ = checked(EXAMPLES / "demo-pin")
    first = found.checks[0]
    assert (first.x, first.z) == pytest.approx((51.0, 5.0))
    assert [p.line for p in first.places] == [11, 12, 15]
    assert gap(first, "Z") == pytest.approx((3.0, 2.9, 3.1), abs=FINE)
    assert gap(first, "X") == pytest.approx((1.49, 1.39, 1.59), abs=FINE)
    assert first.blocks == (
        "M05", "G21", "G40", "G28 U0. W0.", "G54", "T0101", "G00 X51.", "G00 Z5.",
    )  # fmt: skip
    back = next(c for c in found.checks if c.setup == "back end")
    assert gap(back, "Z") == pytest.approx((2.9, 2.55, 3.25), abs=FINE)
    assert "G55" in back.blocks
    assert found.within is standclear.Verdict.CLEAR


def test_a_flange_in_inches() -> None:
    """Z.16 before a raw face at .05: .110, .106 goes in, .114 does not. X3.12 over 3.000 -.005/0:
    3.12 - 2.9975 = .1225 on diameter, .06125 between tool and metal."""
    found, _ = checked(EXAMPLES / "inch-flange")
    first = found.checks[0]
    assert [v / INCH for v in gap(first, "Z")] == pytest.approx([0.110, 0.106, 0.114], abs=1e-4)
    assert gap(first, "X")[0] / INCH == pytest.approx(0.06125, abs=1e-4)
    assert first.blocks[1] == "G20"
    assert first.blocks[-2:] == ("G00 X3.12", "G00 Z0.16")


def test_a_gap_wider_than_gauges_is_a_sum_of_what_is_measured(tmp_path: Path) -> None:
    """Back end, tip at Z5., zero 79 in front of the stop: 84 less the part as measured. Bar
    48 -1/+1, run-out 0.2, at X51.: half of 51 less the diameter, and 0.1 less where it runs out."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "job.toml").read_text()
    (folder / "job.toml").write_text(text.replace("[-0.16, 0.0]", "[-1.0, 1.0]"))
    found, _ = checked(folder)
    back = next(c for c in found.checks if c.setup == "back end")
    along, across = back.gaps
    assert along.measured is not None and across.measured is not None
    assert along.measured.whole == pytest.approx(84.0, abs=FINE)
    assert (along.measured.share, along.measured.under, along.measured.over) == (1.0, 0.1, 0.1)
    assert 2 * across.measured.whole == pytest.approx(51.0, abs=2 * FINE)
    assert (across.measured.share, across.measured.over) == (0.5, 0.1)
    assert across.measured.under == pytest.approx(0.2)
    # The front face was touched: it lies there whatever the length.
    assert found.checks[0].gaps[0].measured is None
    said = CliRunner().invoke(app, ["check", str(folder)]).stdout
    assert "gap = 84.0 - length at its longest; 0.1 mm under that goes in, 0.1 mm over" in said
    assert "gap = (51.0 - diameter) / 2; 0.2 mm under that goes in, 0.1 mm over" in said


def test_the_holder_over_the_blank_is_in_front_of_nothing() -> None:
    """The threading insert, 4 wide, at Z6.: 4 in front of part zero; its body, 20 wide, stands
    12 further out and is over the bar."""
    found, _ = checked(EXAMPLES / "threaded-stud")
    thread = next(c for c in found.checks if c.tool.startswith("T4"))
    setup = next(s for s in checked(EXAMPLES / "threaded-stud")[1].setups if s.name == thread.setup)
    face = setup.metal_before.bounds[2]
    along = next(g for g in thread.gaps if g.axis == "Z")
    assert along.passes == pytest.approx(4.0 - face, abs=FINE)


def test_a_tool_off_within_the_gauges_that_strikes_is_told(tmp_path: Path) -> None:
    """Faced to Z0. by T1, passed by T2 at Z0.15 with the spindle stopped: clear, and not with both
    off by 0.1."""
    old = "G00 X51. Z5.\nG70 P100"
    new = "G00 X51. Z0.15\nX20.\nX51.\nG00 X51. Z5.\nG70 P100"
    found, proof = checked(altered(tmp_path, old, new))
    assert proof.verdict is standclear.Verdict.CLEAR
    assert found.within is standclear.Verdict.CLEAR
    assert found.within_tools is standclear.Verdict.CONTACT


def test_from_in_front_where_both_ways_keep_clear() -> None:
    found, _ = checked(EXAMPLES / "demo-pin")
    assert all(c.blocks[-2].startswith("G00 X") for c in found.checks)


def test_a_place_inside_the_blank_is_not_keyed_in() -> None:
    """The groove starts at X59., inside bar 60."""
    found, _ = checked(EXAMPLES / "sleeve")
    groove = next(c for c in found.checks if c.x == pytest.approx(59.0))
    assert groove.blocks == ()
    assert groove.gaps == ()
    assert "inside the blank" in groove.cannot
    assert groove.first_cut >= 0


@pytest.mark.parametrize("name", ["demo-pin", "sleeve", "inch-flange", "hexagon-fitting"])
def test_the_way_keyed_in_keeps_clear_step_by_step(name: str) -> None:
    """The tool set down every half millimetre along the two blocks, from 60 mm away, touches
    neither blank nor jaws."""
    found, proof = checked(EXAMPLES / name)
    keyed = [c for c in found.checks if c.blocks]
    assert keyed
    for check in keyed:
        setup = next(s for s in proof.setups if s.name == check.setup)
        tool = setup.tool_outlines[int(setup.trace.motions.tool[check.motion])]
        solid = shapely.union_all([setup.metal_before, *setup.obstacles.values()])
        x_first = check.blocks[-2].startswith("G00 X")
        end = np.array([check.z, check.x / 2])
        corner = end + ([60.0, 0.0] if x_first else [0.0, 60.0])
        for a, b in ((end + 60.0, corner), (corner, end)):
            for t in np.linspace(0.0, 1.0, 121):
                z, r = a + (b - a) * t
                assert translate(tool, z, r).distance(solid) > 0


def test_behind_a_flange_z_goes_first() -> None:
    """A flange of radius 50 stands in front of the place, radius 30 behind it: along Z the tool
    would run into it; from above it keeps clear."""
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))
    reading = held.readings[0][0]
    motions = reading.trace.motions
    motion = int(np.flatnonzero(motions.call >= 0)[0])
    motions.start[motion] = (-60.0, 30.0)
    flange = shapely.union_all([shapely.box(-5, 0, 0, 50), shapely.box(-90, 0, -5, 25)])
    order = order_to(motions, motion, reading.tools, flange)
    assert order is not None
    assert order.first == "Z"
    walled = shapely.union_all([flange, shapely.box(-90, 60, 0, 70)])
    assert order_to(motions, motion, reading.tools, walled) is None


def altered(tmp_path: Path, old: str, new: str) -> Path:
    folder = tmp_path / "job"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "pin.nc").read_text()
    assert old in text
    (folder / "pin.nc").write_text(text.replace(old, new, 1))
    return folder


def test_nothing_is_keyed_in_after_what_is_not_followed(tmp_path: Path) -> None:
    found, _ = checked(altered(tmp_path, "T0202", "G31 Z-5.\nT0202"))
    first, second = [c for c in found.checks if c.setup == "front end"][:2]
    assert first.blocks
    assert not second.blocks
    assert "could not be followed" in second.cannot


def test_nothing_is_keyed_in_where_the_program_shifts_coordinates(tmp_path: Path) -> None:
    found, _ = checked(altered(tmp_path, "G50 S2500", "G52 Z1.\nG50 S2500"))
    assert "line 8 sets or shifts" in found.checks[0].cannot
    assert not found.checks[0].blocks


def test_gauges_wider_than_the_job_allows_are_told(tmp_path: Path) -> None:
    """A rapid passes Z2.09 over a face at 2.0 + 0.05: clear by 0.04. A zero off by 0.1 has the face
    at 2.1, 0.01 into the tool."""
    at = "G00 X51. Z5. M08\n"
    found, proof = checked(altered(tmp_path, at, at + "G00 Z2.09\nX40.\nX51.\nZ5.\n"))
    assert proof.verdict is standclear.Verdict.CLEAR
    assert found.within is standclear.Verdict.CONTACT


def test_the_card_is_written_once(tmp_path: Path) -> None:
    card = tmp_path / "card.txt"
    done = CliRunner().invoke(app, ["check", str(EXAMPLES / "demo-pin"), "--card", str(card)])
    assert done.exit_code == 0
    said = card.read_text(encoding="utf-8")
    assert said.replace("[ ] ", "").split() == done.stdout.split()
    assert max(map(len, said.splitlines())) <= 78
    # Two places an end, at each a gap along Z, one along X and a first cut.
    assert said.count("[ ] gap ") == 8 and said.count("[ ] First cut") == 4
    again = CliRunner().invoke(app, ["check", str(EXAMPLES / "demo-pin"), "--card", str(card)])
    assert again.exit_code == 2
    assert "exists already" in again.stderr


def test_json_and_status() -> None:
    done = CliRunner().invoke(app, ["check", str(EXAMPLES / "demo-pin"), "--json"])
    answer = json.loads(done.stdout)
    assert answer["within"] == "clear"
    assert answer["checks"][0]["gaps"][0]["passes"] == pytest.approx(2.9, abs=FINE)
    struck = CliRunner().invoke(app, ["check", str(EXAMPLES / "demo-pin"), "--bar", "52"])
    assert struck.exit_code == 1
    assert struck.stdout.startswith("contact")
