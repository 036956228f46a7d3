"""Force, power, grip and bending against worked values."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
import shapely

from standclear.estimate.bending import bar_bend, bend
from standclear.estimate.boring_bars import boring_bar, is_boring_bar
from standclear.estimate.engagement import engaged_edge
from standclear.estimate.force import cutting_force, cutting_power, specific_force, torque
from standclear.estimate.holding import (
    centrifugal_loss,
    grip_left,
    grip_needed,
    permitted_speed,
)
from standclear.estimate.materials import GERMAN, MATERIALS, Constant, material_of
from standclear.estimate.starting_values import usual_values
from standclear.interval import Interval
from standclear.job.models import Clamping, Shop, Tool
from standclear.tools.build import tool_shape

C45 = Constant(2220, 0.14, GERMAN)


@pytest.mark.parametrize(
    ("angle", "kc", "force", "power"),
    [(95, 2629.0, 2366.1, 7.887), (75, 2640.4, 2376.3, 7.921), (45, 2758.2, 2482.4, 8.275)],
)
def test_force_and_power_by_the_entering_angle(
    angle: float, kc: float, force: float, power: float
) -> None:
    """C45, v 200, depth 3, feed 0.3: Kienzle's form, worked apart from this code."""
    thickness = np.array([0.3 * np.sin(np.radians(angle))])
    found = specific_force(C45, thickness)
    assert found[0] == pytest.approx(kc, abs=0.05)
    assert found[0] * 3 * 0.3 == pytest.approx(force, abs=0.05)
    assert cutting_power(found * 0.9, np.array([200.0]))[0] == pytest.approx(power, abs=5e-4)


def test_torque_and_power_of_the_worked_cut() -> None:
    """2366.1 N at diameter 50: 59.15 N m; times 133.333 rad/s 7.887 kW; worked values."""
    turning = torque(np.array([2366.1]), np.array([25.0]))[0]
    assert turning == pytest.approx(59.15, abs=0.005)
    assert turning * 133.333 / 1000 == pytest.approx(7.887, abs=5e-4)


def test_a_published_example_of_drive_power() -> None:
    """Depth 3, feed 0.2, 120 m/min, kc 3100, of which 0.8 reach the spindle: 4.65 kW (example of a
    public reference page, from memory)."""
    found = cutting_power(np.array([3100 * 3 * 0.2]), np.array([120.0]))[0] / 0.8
    assert found == pytest.approx(4.65, abs=5e-3)


def test_the_unit_power_of_the_handbook_lies_in_the_range() -> None:
    """Machinery's Handbook 31st ed. p. 1147 table 1b, as recorded: plain carbon steel of 180 to 200
    HB takes 0.82 hp/(in3/min) at a feed of 0.012 in, which is 2239 N/mm2."""
    thickness = np.array([0.012 * 25.4])
    material = material_of("1045")
    assert material is not None
    least, most = cutting_force(material, np.array([1.0]), (thickness, thickness))
    assert least[0] < 2239 < most[0]


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        # kc at h 0.25 over the tables, N/mm2: from memory, digits as recorded.
        ("C45", 2035, 2696),
        ("16MnCr5", 2148, 3011),
        ("42CrMo4", 2244, 3585),
        ("S275JR", 1806, 2253),
        ("brass CuZn39Pb3", 1001, 1018),
        ("EN-GJL-250", 1442, 1990),
        ("6061-T6", 990, 1131),
        ("304", 2837, 2837),
        ("E335", 2671, 2671),
    ],
)
def test_published_constants_make_a_range(name: str, low: float, high: float) -> None:
    """A sharp edge makes the least, a worn one half as much again the most."""
    material = material_of(name)
    assert material is not None
    thickness = np.array([0.25])
    least, most = cutting_force(material, np.array([1.0]), (thickness, thickness))
    assert least[0] == pytest.approx(low, abs=0.6)
    assert most[0] == pytest.approx(1.5 * high, abs=1.0)


def test_a_material_that_no_table_names_is_not_guessed() -> None:
    assert material_of("unobtainium") is None
    assert material_of("") is None


def test_every_material_is_found_by_its_own_name() -> None:
    for material in MATERIALS:
        assert material_of(material.name) is material


@pytest.mark.parametrize(("insert", "depth"), [("CNMG120408", 3.0), ("CNMG120404", 2.0)])
def test_the_edge_at_work_is_the_arc_of_the_nose_and_the_straight_above_it(
    insert: str, depth: float
) -> None:
    """Closed form, turning along Z towards the chuck at an entering angle k of 95 degrees: from the
    lowest point of the nose its arc turns by k, which takes r (1 - cos k) of the depth; the rest
    over sin k is straight."""
    tool = Tool.model_validate({"station": 1, "insert": insert, "holder": "PCLNR2525M12"})
    shape = tool_shape(tool)
    radius, angle = shape.nose_radius_mm, np.radians(95)
    found = engaged_edge(
        shape,
        np.array([[-1.0, 0.0]]),
        np.array([[0.0, -1.0]]),
        np.array([-depth]),
        np.array([0.0]),
    )
    straight = (depth - radius * (1 - np.cos(angle))) / np.sin(angle)
    assert found[0] == pytest.approx(radius * angle + straight, abs=0.01)


THREE = Clamping(force=60_000, jaw_mass=1.2, jaw_centre=70.0)


@pytest.mark.parametrize(("rpm", "loss"), [(1000, 921.0), (2000, 3684.7), (3000, 8290.5)])
def test_one_jaw_loses_by_the_square_of_the_speed(rpm: float, loss: float) -> None:
    """Closed form, one jaw of 1.2 kg at 70 mm; three lose three times as much."""
    assert centrifugal_loss(THREE, rpm) / 3 == pytest.approx(loss, rel=2e-4)


def test_what_is_left_of_sixty_kilonewtons() -> None:
    """35.13 kN at 3000 rpm, nothing at 4659.6; worked values."""
    assert grip_left(THREE, 3000) == pytest.approx(35_130, abs=5)
    assert permitted_speed(THREE, 0.0) == pytest.approx(4659.6, abs=0.05)
    assert permitted_speed(THREE, 70_000) == 0.0


def test_permitted_speed_by_the_form_of_the_guideline() -> None:
    """F0 60 kN, 10 kN needed, factors 1.5 both: 60/1.5 - 1.5 x 10 = 25 kN are left for the jaws:
    3007.7 rpm. Here the need counts with its own factors: 60 - 35 = 25 kN."""
    assert permitted_speed(THREE, 35_000) == pytest.approx(3007.7, abs=0.05)


def test_grip_that_turning_asks_for() -> None:
    """Fc 2366.1, cut 60, gripped 50, friction 0.2, factor 2: 28.39 kN in all; worked value."""
    found = grip_needed(Interval(2366.1, 2366.1), 60, 50)
    assert found.lo * 0.25 / 0.2 == pytest.approx(28_390, abs=5)
    assert found.hi * 0.1 / 0.2 == pytest.approx(28_390, abs=5)


@pytest.mark.parametrize(
    ("ratio", "expected"),
    [(2, 0.00517), (3, 0.01746), (4, 0.04139), (5, 0.08084), (6, 0.13969), (8, 0.33112)],
)
def test_a_bar_in_the_chuck_bends_by_the_closed_form(ratio: float, expected: float) -> None:
    """F L3 / (3 E I): diameter 25, 500 N, E 210 GPa, by length over diameter; worked values."""
    bar = shapely.box(-50, 0, 25 * ratio, 12.5)
    assert bend(bar, 0.0, 25.0 * ratio, 500, 210_000) == pytest.approx(expected, abs=6e-6)


def test_a_tube_bends_more_and_a_step_by_its_parts() -> None:
    """25 by 12, 100 long, 500 N: 0.04371; worked value. A step by superposition: each part's own
    integral of x2 / I."""
    tube = shapely.box(-10, 6, 100, 12.5)
    assert bend(tube, 0.0, 100.0, 500, 210_000) == pytest.approx(0.04371, abs=6e-6)
    stepped = shapely.union(shapely.box(0, 0, 40, 20), shapely.box(40, 0, 100, 10))
    thick, thin = pi * 20**4 / 4, pi * 10**4 / 4
    by_hand = 300 / 200_000 * ((100**3 - 60**3) / 3 / thick + 60**3 / 3 / thin)
    assert bend(stepped, 0.0, 100.0, 300, 200_000) == pytest.approx(by_hand, rel=1e-9)


def test_nothing_bends_at_the_jaws_and_no_metal_holds_nothing() -> None:
    bar = shapely.box(0, 0, 50, 10)
    assert bend(bar, 30.0, 30.0, 500, 210_000) == 0.0
    assert bend(shapely.union(shapely.box(0, 0, 20, 10), shapely.box(30, 0, 50, 10)), 0, 50, 500,
                210_000) == float("inf")  # fmt: skip


@pytest.mark.parametrize(
    ("diameter", "overhang", "elastic", "expected"),
    [
        (20.0, 80.0, 210_000.0, 0.03104),
        (20.0, 100.0, 210_000.0, 0.06063),
        (20.0, 100.0, 600_000.0, 0.02122),
    ],
)
def test_a_boring_bar_bends_by_the_closed_form(
    diameter: float, overhang: float, elastic: float, expected: float
) -> None:
    """F L3 / (3 E I) under 300 N; worked values."""
    assert bar_bend(300.0, overhang, diameter, elastic) == pytest.approx(expected, abs=6e-6)


def bar(holder: str, overhang: float | None) -> Tool:
    raw = {"station": 4, "insert": "CCMT09T304", "holder": holder}
    return Tool.model_validate(raw | ({} if overhang is None else {"overhang": overhang}))


def test_a_bar_is_known_by_its_designation() -> None:
    """S20R steel, E12Q carbide; a shank across the turret is none. ISO 6261, from memory."""
    steel, carbide = boring_bar(bar("S20R-SCLCR09", 90.0)), boring_bar(bar("E12Q-SCLCR06", 60.0))
    assert steel is not None and carbide is not None
    assert (steel.diameter, steel.carbide, steel.slenderness) == (20.0, False, 4.5)
    assert (carbide.diameter, carbide.carbide, carbide.slenderness) == (12.0, True, 5.0)
    assert boring_bar(bar("S20R-SCLCR09", None)) is None
    assert is_boring_bar(bar("S20R-SCLCR09", None))
    assert boring_bar(bar("PCLNR2525M12", 90.0)) is None


def test_the_shops_own_values_go_first_and_a_station_of_its_own_before_all() -> None:
    shop = Shop.model_validate(
        {
            "values": [
                {"material": "C45", "station": 2, "speed": [200.0, 240.0], "feed": [0.05, 0.1]},
                {"material": "c45", "speed": [150.0, 180.0], "feed": [0.1, 0.3]},
            ]
        }
    )
    steel = material_of("C45")
    second = usual_values(shop, "C45", steel, 2, "turning", 0.0)
    other = usual_values(shop, "C45", steel, 1, "turning", 0.0)
    assert second is not None and other is not None
    assert (second.speed.lo, other.speed.lo) == (200.0, 150.0)
    table = usual_values(shop, "16MnCr5", material_of("16MnCr5"), 1, "turning", 0.0)
    assert table is not None and "no source" in table.source
    assert usual_values(shop, "unobtainium", None, 1, "turning", 0.0) is None
