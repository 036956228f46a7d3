"""Force of drills, taps and threading passes: closed forms, worked values, small jobs by hand."""

from __future__ import annotations

from math import pi, radians, sin, sqrt, tan
from typing import Any

import numpy as np
import pytest
from tests.proof.proof_shop import CONTROL, TOOLS, files_of

import standclear
from standclear.estimate.chips import Engagements
from standclear.estimate.clock import clock_of
from standclear.estimate.engagement import engagements
from standclear.estimate.force import DRILLED, cutting_force, thrust, torque
from standclear.estimate.load import JobLoad, ToolLoad, job_load
from standclear.estimate.materials import Material, material_of
from standclear.estimate.taken import all_taken
from standclear.estimate.timing import setup_time

C45 = 'size = 40.0\nlength = 60.0\nmaterial = "C45"'
CONSTANTS = ((2220, 0.14), (1500, 0.22), (1659, 0.2165))
"""kc1.1 and m of C45 over the tables."""
ROWS = CONTROL + ', drilling_r = "absolute", drilling_return = "initial"'
SHOP = {
    **TOOLS,
    6: "tap = { diameter = 14.0, hole = 12.0, length = 40.0, holder_diameter = 30.0 }",
    7: "threading = { angle = 60.0, width = 4.0, reach = 20.0 }",
}
FACE = "G00 X44. Z3.\nG94 X-0.6 Z0. F0.2\nG28 U0 W0\n"
DRILL = "T0303\nG00 X0 Z5.\nG83 Z-25. R2. F0.1\nG80\nG28 U0 W0\n"
TAP = "T0606\nG97 S300 M03\nG00 X0 Z5.\nG84 Z-18. R2. F1.5\nG80\nG28 U0 W0\n"
INCH_POUND, POUND = 0.1129848, 4.4482216
"""N m and N."""


def loaded(program: str, **job: Any) -> JobLoad:
    files = files_of(program, **({"blank": C45, "tools": SHOP, "control": ROWS} | job))
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    return job_load(files.job, proof, all_taken(held, files.job, proof))


def of_station(found: JobLoad, station: int) -> ToolLoad:
    (tool,) = [t for t in found.setups[0].tools if t.station == station]
    return tool


def kc(thickness: float) -> list[float]:
    """Kienzle's kc of C45 over the tables, least first."""
    return sorted(kc11 * thickness**-m for kc11, m in CONSTANTS)


def lips(material: Material, diameter: float, feed: float) -> tuple[float, float, float, float]:
    """Torque and thrust, least and most, of a 118-degree drill into solid metal."""
    sine = sin(radians(59))
    chip, edge = np.array([diameter / 2 * feed]), np.array([diameter / sine])
    force = cutting_force(material, chip, (chip / edge, chip / edge), DRILLED)
    lever = np.array([diameter / 4])
    push = thrust(force, chip, edge, np.array([feed]))
    turning = [torque(f, lever)[0] for f in force]
    return turning[0], turning[1], push[0][0], push[1][0]


def test_a_drill_into_solid_metal_by_the_closed_form() -> None:
    """Both lips: M = kc f D2 / 8, chip f / 2 sin 59 thick. D12, feed 0.1, 800 rpm: P = M w."""
    tool = of_station(loaded(FACE + DRILL), 3)
    least, *_, most = kc(0.05 * sin(radians(59)))
    assert tool.torque is not None and tool.power is not None and tool.thrust is not None
    one = 0.1 * 12.0**2 / 8000.0
    assert tool.torque.lo == pytest.approx(least * one, rel=1e-3)
    assert tool.torque.hi == pytest.approx(1.794 * most * one, rel=1e-3)
    assert tool.power.hi == pytest.approx(tool.torque.hi * 800 * pi / 30 / 1000, rel=1e-6)
    # Half and all of kc D f / 2 sin 59.
    push = 12.0 * 0.1 / 2 * sin(radians(59))
    assert tool.thrust.lo == pytest.approx(0.5 * least * push, rel=1e-3)
    assert tool.thrust.hi == pytest.approx(1.794 * most * push, rel=1e-3)
    assert tool.speed.lo == tool.speed.hi == pytest.approx(pi * 12 * 0.8)
    assert tool.bend is None


def test_a_drill_that_opens_a_hole_turns_by_what_is_left_of_its_lips() -> None:
    """Blank with a hole of 8: M = kc f (D2 - d2) / 8."""
    tube = 'shape = "tube"\nbore = 8.0\n' + C45
    tool = of_station(loaded("T0303\nG00 X0 Z5.\nG01 Z-25. F0.1\nG28 U0 W0\n", blank=tube), 3)
    least = kc(0.05 * sin(radians(59)))[0]
    assert tool.torque is not None
    assert tool.torque.lo == pytest.approx(least * 0.1 * (144.0 - 64.0) / 8000.0, rel=0.01)


def test_a_drill_of_the_handbook_lies_in_the_range() -> None:
    """Machinery's Handbook, torque and thrust of drilling (edition not looked up, from memory): a
    7/8 in drill at 0.008 in a turn in steel of 200 Bhn takes 430 in-lb and 1779 lb."""
    material = material_of("C45")
    assert material is not None
    least, most, push_least, push_most = lips(material, 0.875 * 25.4, 0.008 * 25.4)
    assert least < 430 * INCH_POUND < most
    assert push_least < 1779 * POUND < push_most
    assert most < 3 * least


def test_a_tap_by_the_form_of_tap_tables() -> None:
    """M = kc P2 D / 8 with chips 0.05 to 0.1 thick: lead 1.5, diameter 14."""
    tool = of_station(loaded(FACE + DRILL + TAP), 6)
    one = 1.5**2 * 14.0 / 8000.0
    assert tool.torque is not None and tool.power is not None
    assert tool.torque.lo == pytest.approx(kc(0.1)[0] * one, rel=1e-6)
    assert tool.torque.hi == pytest.approx(1.5 * kc(0.05)[-1] * one, rel=1e-6)
    assert tool.power.hi == pytest.approx(tool.torque.hi * 300 * pi / 30 / 1000, rel=1e-6)
    assert tool.thrust is None


def test_a_tap_is_in_metal_from_the_face_on_and_in_air_on_its_way_out() -> None:
    """From Z2 to Z-18 at 300 rpm, lead 1.5: 20 mm take 2.667 s each way, 18 of them in metal."""
    files = files_of(FACE + DRILL + TAP, blank=C45, tools=SHOP, control=ROWS)
    held = standclear.hold(files)
    taken = all_taken(held, files.job, standclear.judge(held, files.job))
    time = setup_time("one", taken[0], clock_of(files.job))
    (tap,) = [tool for tool in time.tools if tool.station == 6]
    assert tap.metal.hi == pytest.approx(18 / 1.5 / 300 * 60)
    assert tap.air.hi == pytest.approx((2 + 20) / 1.5 / 300 * 60)


def thread_chips(program: str) -> Engagements:
    """The passes of T7 alone."""
    files = files_of(program, blank=C45, tools=SHOP, control=ROWS)
    held = standclear.hold(files)
    (taken,) = all_taken(held, files.job, standclear.judge(held, files.job))[0]
    found = engagements(taken)
    own = np.array([use.station == 7 for use in taken.reading.trace.tools])
    rows = np.flatnonzero(own[taken.motions.tool[found.motion]])
    return Engagements(**{name: getattr(found, name)[rows] for name in vars(found)})


CREST = "G00 X20. Z3.\nG01 Z-30. F0.2\nX44.\nG28 U0 W0\nT0707\nG97 S500 M03\nG00 X24. Z6.\n"


def test_passes_of_even_area_have_even_chips_and_a_spring_pass_none() -> None:
    """M20 x 1.5 in six passes, h_n = h sqrt(n / 6) with h 0.9202: the diameters of the worked
    table. Of a sharp V each then takes tan 30 h2 / 6."""
    more = "\n".join(f"X{d:.3f}" for d in (18.938, 18.699, 18.497, 18.320, 18.160, 18.160))
    found = thread_chips(f"{CREST}G92 X19.249 Z-20. F1.5\n{more}\nG00 X44.\nG28 U0 W0\n")
    even = tan(radians(30)) * 0.9202**2 / 6
    assert found.chip.tolist() == pytest.approx([even] * 6, rel=0.006)
    # Straight in both flanks cut: h = A cos 30 / (2 D); along a flank one does.
    thin, thick = found.thickness
    assert thin[0] == pytest.approx(even * sqrt(3) / 2 / 2 / 0.3757, rel=0.003)
    assert thick == pytest.approx(2 * thin)
    assert found.speed[0] == pytest.approx(pi * 20 * 0.5, rel=1e-3)


def test_a_threading_pass_has_force_by_kienzle() -> None:
    """One pass 0.4 deep: A = tan 30 0.16, chip 0.4 sin 30 / 2 thick at least, twice that at most;
    the mean over a V that begins at nothing is half of what its last bit is."""
    found = loaded(CREST + "G92 X19.2 Z-20. F1.5\nG00 X44.\nG28 U0 W0\n")
    tool = of_station(found, 7)
    area, thin = tan(radians(30)) * 0.16, 0.1
    assert tool.force is not None
    assert tool.force.lo == pytest.approx(kc(2 * thin)[0] * area, rel=0.002)
    assert tool.force.hi == pytest.approx(1.5 * kc(thin)[-1] * area, rel=0.002)


@pytest.mark.parametrize("bore", [16, 20])
def test_an_inside_thread_counts_from_its_bore(bore: int) -> None:
    inside = {**SHOP, 7: SHOP[7].replace("reach", 'where = "inside", body = 6.0, reach')}
    tube = f'shape = "tube"\nbore = {bore}\n' + C45
    program = f"T0707\nG97 S500 M03\nG00 X{bore - 4}. Z6.\nG92 X{bore + 0.8} Z-20. F1.5\n"
    files = files_of(program + "G28 W0\nG28 U0\n", blank=tube, tools=inside, control=ROWS)
    held = standclear.hold(files)
    (taken,) = all_taken(held, files.job, standclear.judge(held, files.job))[0]
    found = engagements(taken)
    assert found.depth.tolist() == pytest.approx([0.4], abs=1e-6)
