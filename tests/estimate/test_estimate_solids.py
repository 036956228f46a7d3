"""Volumes of revolution against closed forms and against a mesh."""

from __future__ import annotations

from math import pi, sin

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from standclear.estimate.solids import volumes

SIDES = 64


def solid(*points: tuple[float, float]) -> float:
    return float(volumes(np.array([shapely.Polygon(points)], dtype=object))[0])


@pytest.mark.parametrize(
    ("points", "expected"),
    [
        # A frustum R20 r15 h30: pi h (R2 + R r + r2) / 3 = 9250 pi.
        (((0, 0), (30, 0), (30, 15), (0, 20)), 9250 * pi),
        # A rectangular groove, 4 wide, from r20 to r18.
        (((0, 18), (4, 18), (4, 20), (0, 20)), pi * (20**2 - 18**2) * 4),
        # A V of 60 degrees, 1.5 deep on r20, by Pappus: 2 pi (20 - 0.5) A.
        (
            ((-0.8660254038, 20), (0.8660254038, 20), (0, 18.5)),
            2 * pi * 19.5 * 0.8660254038 * 1.5,
        ),
        # The point of a drill of 12 with 118 degrees: pi r2 h / 3, h = 6 / tan 59.
        (((0, 0), (3.605164, 0), (0, 6)), pi * 36 * 3.605164 / 3),
    ],
)
def test_solids_of_closed_form(points: tuple[tuple[float, float], ...], expected: float) -> None:
    assert solid(*points) == pytest.approx(expected, rel=1e-6)


def arc(z: float, r: float, radius: float, begin: float, end: float) -> list[tuple[float, float]]:
    """Points of an arc about (z, r), angles in degrees, 1,000 chords to a quarter."""
    angles = np.radians(np.linspace(begin, end, round(abs(end - begin) / 0.09) + 1))
    return [(z + radius * float(np.cos(a)), r + radius * float(np.sin(a))) for a in angles]


@pytest.mark.parametrize(
    ("points", "expected"),
    [
        # Cap of a sphere R20, 8 high: pi h2 (3 R - h) / 3.
        ([(12.0, 0.0), *arc(0, 0, 20, 0, 53.130102)], 3485.073),
        # Zone of a sphere R25 between z 0 and 15: pi h (3 a2 + 3 b2 + h2) / 6 = 8250 pi.
        ([(0.0, 0.0), (15.0, 0.0), *arc(0, 0, 25, 53.130102, 90)], 25918.139),
        # A half-round groove R3 in a shaft of radius 20, by Pappus.
        (arc(0, 20, 3, 180, 360), 1663.431),
        # A fillet R3 at a shaft of radius 10, and a round R2 taken off radius 20.
        ([(0.0, 10.0), *arc(3, 13, 3, 270, 180)], 129.486),
        ([(0.0, 20.0), *arc(-2, 18, 2, 90, 0)], 105.461),
    ],
)
def test_solids_with_arcs_by_worked_values(
    points: list[tuple[float, float]], expected: float
) -> None:
    """Closed forms, worked apart from this code; the cap is cut off at 20 - 8 = 12, which is where
    the radius is 16."""
    assert abs(solid(*points)) == pytest.approx(expected, rel=1e-5)


def test_a_whole_shaft_by_worked_values() -> None:
    """Radius 25 over 30, then 15 over 50: chamfers 1 and 2, fillet R3 at the step, groove 4 wide to
    radius 13, bore of radius 6: 84428.829 mm3, worked in parts and by two mesh libraries."""
    outline = [
        (0.0, 6.0), (80.0, 6.0), (80.0, 13.0), (78.0, 15.0), (60.0, 15.0), (60.0, 13.0),
        (56.0, 13.0), (56.0, 15.0), *arc(33, 18, 3, 270, 180), (30.0, 25.0), (1.0, 25.0),
        (0.0, 24.0),
    ]  # fmt: skip
    assert solid(*outline) == pytest.approx(84428.829, rel=1e-6)


def test_a_hole_is_left_out_and_the_way_round_does_not_matter() -> None:
    shell = [(0, 10), (0, 20), (30, 20), (30, 10)]
    hole = [(5, 12), (5, 15), (9, 15), (9, 12)]
    area = np.array([shapely.Polygon(shell, [hole]), shapely.Polygon(shell[::-1])], dtype=object)
    whole = pi * (20**2 - 10**2) * 30
    assert volumes(area).tolist() == pytest.approx([whole - pi * (15**2 - 12**2) * 4, whole])


def test_several_pieces_are_one_solid_and_nothing_is_none() -> None:
    two = shapely.MultiPolygon([shapely.box(0, 1, 1, 2), shapely.box(5, 1, 6, 2)])
    found = volumes(np.array([two, shapely.Polygon()], dtype=object))
    assert found.tolist() == pytest.approx([2 * pi * 3, 0.0])


@given(st.lists(st.floats(0.5, 30).map(lambda r: round(r, 2)), min_size=2, max_size=8))
def test_a_turned_outline_agrees_with_its_mesh_of_revolution(radii: list[float]) -> None:
    """A mesh of N sides holds sin(2 pi / N) / (2 pi / N) of the solid, closed form."""
    outline = [(float(z), r) for z, r in enumerate(radii)]
    points = [(0.0, 0.0), *outline, (outline[-1][0], 0.0)]
    mesh = trimesh.creation.revolve(np.array(points)[:, ::-1], sections=SIDES)
    share = sin(2 * pi / SIDES) / (2 * pi / SIDES)
    assert solid(*points[::-1]) == pytest.approx(abs(float(mesh.volume)) / share, rel=1e-6)
