"""Estimates in both units: an inch job and its metric twin agree, and what is shown in inches is
what a general-purpose units library makes of it."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.proof.proof_shop import files_of

import standclear
from standclear import JobFiles
from standclear.estimate.force import cutting_force, cutting_power, torque
from standclear.estimate.holding import grip_needed
from standclear.estimate.job_time import JobTime, job_time
from standclear.estimate.load import JobLoad, SetupLoad, ToolLoad, job_load
from standclear.estimate.materials import material_of
from standclear.estimate.rapids import axes_of
from standclear.estimate.taken import all_taken
from standclear.estimate.timing import NOTHING, SetupTime, ToolTime
from standclear.interval import Interval
from standclear.job.models import Job, Machine
from standclear.plan.cost.cost import job_cost
from standclear.report.plan.load import load_lines

UNITS = pint.UnitRegistry()


def estimated(files: JobFiles) -> tuple[float, ToolLoad]:
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    taken = all_taken(held, files.job, proof)
    total = job_time(files.job, taken).total.hi
    return total, job_load(files.job, proof, taken).setups[0].tools[0]


def test_an_inch_job_and_its_metric_twin_take_the_same_time_and_load() -> None:
    """Bar 1.6 in is 40.64 mm; every length of one is 25.4 times that of the other."""
    metric = estimated(
        files_of(
            "G00 X35.56 Z2.54\nG01 Z-20.32 F0.254\nG00 X45.72\nG28 U0 W0\n",
            blank='size = 40.64\nlength = 60.96\nmaterial = "C45"',
            jaws=None,
        )
    )
    small = {
        1: "outline = { points = [[0, 0], [0.2362204724, 0.0196850394], [0.9448818898, "
        "0.157480315], [0.9448818898, 3.5433070866], [0.0590551181, 3.5433070866], "
        "[0.0590551181, 0.4724409449]], cutting = [0, 5] }"
    }
    files = files_of(
        "G00 X1.4 Z0.1\nG01 Z-0.8 F0.01\nG00 X1.8\nG28 U0 W0\n",
        units="inch",
        tools=small,
        blank='size = 1.6\nlength = 2.4\nmaterial = "C45"',
        part="length = 2.3",
        zero='way = "touch", face_allowance = 0.0393700787',
        jaws=None,
        margin="x = 0.05, z = 0.05",
        machine='home = "beyond"\nrapid_path = "straight"\n',
    )
    # The head of every program of the tests says G21; an inch program says G20.
    programs = {n: d.replace(b"G21", b"G20") for n, d in files.programs.items()}
    inch = estimated(replace(files, programs=programs))
    assert inch[0] == pytest.approx(metric[0], rel=1e-6)
    assert inch[1].depth == pytest.approx(metric[1].depth, rel=1e-3)
    assert inch[1].rate == pytest.approx(metric[1].rate, rel=1e-3)
    assert inch[1].speed.hi == pytest.approx(metric[1].speed.hi, rel=1e-6)


@given(st.floats(10, 5000), st.floats(20, 500))
def test_power_is_force_times_speed(force: float, speed: float) -> None:
    expected = (force * UNITS.newton * speed * UNITS.meter / UNITS.minute).to(UNITS.kilowatt)
    found = cutting_power(np.array([force]), np.array([speed]))[0]
    assert found == pytest.approx(expected.magnitude, rel=1e-12)


@given(st.floats(100, 40_000), st.floats(0.1, 10))
def test_rapid_rates_a_minute_and_metres_a_second_squared(rate: float, up: float) -> None:
    machine = Machine.model_validate(
        {"rapid_rates": {"x": rate, "z": rate}, "rapid_acceleration": {"x": up, "z": up}}
    )
    axes = axes_of(machine)
    assert axes is not None
    speed = (rate * UNITS.millimeter / UNITS.minute).to(UNITS.millimeter / UNITS.second)
    rise = (up * UNITS.meter / UNITS.second**2).to(UNITS.millimeter / UNITS.second**2)
    assert axes.speed == pytest.approx((speed.magnitude,) * 2)
    assert axes.acceleration == pytest.approx((rise.magnitude,) * 2)


def test_what_an_inch_job_shows_is_what_the_units_make_of_it() -> None:
    """16.387064 cm3 are a cubic inch, 0.3048 m a foot, 25.4 um a thousandth of an inch."""
    tool = ToolLoad(
        1, 1, "T1", 5, 2.54, Interval(0.254, 0.254), 0.2, 100.0, Interval(150.0, 150.0), 900.0,
        None, None, None, None, None, Interval(6.25, 6.25),
        None, None,
    )  # fmt: skip
    told = "\n".join(
        line.text
        for line in load_lines(
            JobLoad(
                (SetupLoad("one", (tool,), 50.0, None, None, None),), (), True, None, None, (), ()
            ),
            "inch",
        )
    )
    rate = (100 * UNITS.centimeter**3 / UNITS.minute).to(UNITS.inch**3 / UNITS.minute).magnitude
    speed = (150 * UNITS.meter / UNITS.minute).to(UNITS.foot / UNITS.minute).magnitude
    ridge = (6.25 * UNITS.micrometer).to(UNITS.microinch).magnitude
    assert f"{rate:.2f} in3/min" in told
    assert f"{speed:.0f} ft/min" in told
    assert f"{ridge:.1f} uin" in told


@given(st.floats(1, 5000), st.floats(1, 100))
def test_torque_is_force_times_lever_in_either_unit(force: float, lever: float) -> None:
    """N and mm to N m; the same in pounds and inches."""
    found = torque(np.array([force]), np.array([lever]))[0]
    exact = (force * UNITS.newton) * (lever * UNITS.millimeter)
    assert found == pytest.approx(exact.to(UNITS.newton * UNITS.meter).magnitude, rel=1e-12)
    pounds, inches = (force * UNITS.newton).to("lbf"), (lever * UNITS.millimeter).to("inch")
    assert found == pytest.approx((pounds * inches).to("N * m").magnitude, rel=1e-12)


@given(
    force=st.floats(0.05, 5.0), thickness=st.floats(0.02, 0.6), speed=st.floats(20, 400),
    seed=st.integers(0, 999),
)  # fmt: skip
def test_the_ranges_of_a_load_hold_every_draw_and_are_no_wider(
    force: float, thickness: float, speed: float, seed: float
) -> None:
    """Monte Carlo: constants out of the tables, wear from none to half as much again, thickness of
    the chip, friction 0.1 to 0.25; the ends of each are drawn too."""
    draw = random.Random(seed)
    material = material_of("C45")
    assert material is not None
    chip, thick = np.array([force]), np.array([thickness])
    forces = cutting_force(material, chip, (thick, 2 * thick))
    powers = [float(cutting_power(f, np.array([speed]))[0]) for f in forces]
    grips = grip_needed(Interval(float(forces[0][0]), float(forces[1][0])), 60.0, 40.0)
    drawn = []
    for _ in range(400):
        constant = draw.choice(material.constants)
        h = draw.choice((thickness, 2 * thickness, draw.uniform(thickness, 2 * thickness)))
        worn = draw.choice((1.0, 1.5, draw.uniform(1.0, 1.5)))
        friction = draw.choice((0.1, 0.25, draw.uniform(0.1, 0.25)))
        one = constant.kc11 * h**-constant.m * force * worn
        drawn.append((one, one * speed / 60_000, 2.0 * one * 60.0 / (friction * 40.0)))
    ends = ((forces[0][0], forces[1][0]), tuple(powers), (grips.lo, grips.hi))
    for k, (least, most) in enumerate(ends):
        values = [each[k] for each in drawn]
        assert least * (1 - 1e-9) <= min(values) and max(values) <= most * (1 + 1e-9)
        assert min(values) < 1.1 * least and max(values) > 0.9 * most


def test_the_range_of_a_cost_holds_every_draw_and_is_no_wider() -> None:
    """Monte Carlo: times and lives of edges drawn from their ranges, 4,000 times."""
    draw = random.Random(7)
    times = [(60.0, 90.0), (20.0, 20.0), (110.0, 190.0)]
    lives = [(10.0, 20.0), (5.0, 8.0), (15.0, 15.0)]
    prices = [2.0, 4.0, 3.0]
    rate = 55.0
    tools = tuple(
        ToolTime(k, k, "", Interval(*span), NOTHING, NOTHING, NOTHING, NOTHING)
        for k, span in enumerate(times)
    )
    time = JobTime((SetupTime("one", tools, 3, (), 0, ()),), 7.5, 0.0, 20.0, (), True)
    shop = {
        "machine_rate": rate,
        "edges": [{"station": k, "price": prices[k], "minutes": list(lives[k])} for k in range(3)],
    }
    job = Job.model_validate(
        {
            "units": "mm",
            "blank": {"size": 20.0, "length": 50.0},
            "part": {"length": 48.0},
            "shop": shop,
        }
    )
    part = job_cost(job, time).part
    drawn = []
    for _ in range(4000):
        seconds = [draw.choice((low, high, draw.uniform(low, high))) for low, high in times]
        minutes = [draw.choice((low, high, draw.uniform(low, high))) for low, high in lives]
        edges = sum(s / 60 / m * p for s, m, p in zip(seconds, minutes, prices, strict=True))
        drawn.append((sum(seconds) + 27.5) / 3600 * rate + edges)
    assert part.lo - 1e-9 <= min(drawn) and max(drawn) <= part.hi + 1e-9
    assert min(drawn) == pytest.approx(part.lo, rel=1e-6)
    assert max(drawn) == pytest.approx(part.hi, rel=1e-6)
