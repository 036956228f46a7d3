"""Sizes are judged over the whole range that the tolerances leave them."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely

from standclear.job.models import Part, WantedSize
from standclear.job.read import read_job
from standclear.proof.size_findings import size_findings
from standclear.proof.sizes import sizes_of, sizes_over

PART = Part(
    length=50.0, sizes=[WantedSize(name="body", diameter=40.0, at_z=-20.0, tolerance=(-0.1, 0.1))]
)

JOB = read_job(Path(__file__).parents[2] / "examples" / "demo-pin").job
"""For its tolerances of length alone."""


def bar(radius: float) -> shapely.Polygon:
    return shapely.box(-50.0, 0.0, 0.0, radius)


def test_a_size_right_in_the_middle_and_wrong_at_an_end_is_wrong() -> None:
    # 40 in the middle, 2 * 20.08 = 40.16 at most: 0.16 over, where 0.1 is allowed. Either side.
    body = sizes_over(bar(20.0), bar(20.0), bar(20.08), PART)[0]
    assert (body.right, body.least, body.most) == (
        False,
        pytest.approx(39.84, abs=1e-6),
        pytest.approx(40.16, abs=1e-6),
    )
    (finding,) = size_findings([body], JOB)
    assert finding.message.startswith("{name} may come out {off} too")
    assert "wear and touching off" in finding.cure
    assert next(m.value for m in finding.measures if m.name == "off") == pytest.approx(0.16)


def test_a_size_within_its_tolerance_all_over_is_right() -> None:
    # 2 * 20.04 = 40.08 at most.
    assert sizes_over(bar(20.0), bar(20.0), bar(20.04), PART)[0].right


def test_a_size_is_placed_where_it_is_measured() -> None:
    # A shoulder 15 behind a face that stands at Z0.5, in a part 50.5 long there.
    left = shapely.union(shapely.box(-50.0, 0.0, 0.5, 10.0), shapely.box(-50.0, 0.0, -14.5, 20.0))
    sizes = [WantedSize(name="shoulder", length=15.0), WantedSize(diameter=40.0, at_z=-20.0)]
    shoulder, body, overall = sizes_of(left, Part(length=50.5, sizes=sizes))
    assert (shoulder.z_from, shoulder.z_to, shoulder.found) == pytest.approx((-14.5, 0.5, 15.0))
    assert (body.z_from, body.z_to, body.found) == pytest.approx((-20.0, -20.0, 40.0))
    assert (overall.z_from, overall.z_to, overall.found) == pytest.approx((-50.0, 0.5, 50.5))


def test_of_an_outline_each_diameter_is_measured_in_its_middle_and_each_shoulder_counted() -> None:
    # 20 across for 20 behind the front face, then 40 to the back face, 50 behind it. What is left
    # is 0.04 thicker in the middle of each, and the shoulder stands at Z-20.03.
    outline = [(0.0, 20.0), (-20.0, 20.0), (-20.0, 40.0), (-50.0, 40.0)]
    left = shapely.union_all(
        [
            shapely.box(-50.0, 0.0, -20.03, 20.0),
            shapely.box(-50.0, 0.0, 0.0, 10.0),
            shapely.box(-36.0, 0.0, -34.0, 20.02),
            shapely.box(-11.0, 0.0, -9.0, 10.02),
        ]
    )
    found = sizes_of(left, Part(length=50.0, outline=outline))
    assert [(s.kind, s.z_to, s.found, s.wanted) for s in found] == [
        ("diameter", -10.0, pytest.approx(20.04), 20.0),
        ("length", 0.0, pytest.approx(20.03), 20.0),
        ("diameter", -35.0, pytest.approx(40.04), 40.0),
        ("length", 0.0, pytest.approx(50.0), 50.0),
    ]


def test_a_bore_is_measured_to_the_metal_that_it_leaves() -> None:
    # 5 on radius to Z-30., solid behind.
    left = shapely.union_all([shapely.box(-50, 0, -30, 20), shapely.box(-30, 5, 0, 20)])
    wanted = [WantedSize(diameter=10.0, at_z=-15.0, inside=True), WantedSize(length=30.0)]
    bore, depth, _ = sizes_of(left, Part(length=50.0, sizes=wanted))
    assert (bore.kind, bore.found, bore.right) == ("bore", pytest.approx(10.0), True)
    assert depth.found == pytest.approx(30.0)


def test_the_overall_length_is_measured_once() -> None:
    # Where the drawing gives it under a name of its own it is not added; else it is.
    whole = WantedSize(name="whole", length=50.0)
    other = WantedSize(diameter=50.0, at_z=-20.0)
    named = sizes_of(bar(20.0), Part(length=50.0, sizes=[whole]))
    assert [s.name for s in named] == ["whole"]
    added = sizes_of(bar(20.0), Part(length=50.0, sizes=[other]))
    assert [(s.kind, s.wanted) for s in added] == [("diameter", 50.0), ("length", 50.0)]
