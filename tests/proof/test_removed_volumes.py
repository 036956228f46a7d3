"""Volumes of what small programs take off, against closed forms of solids of revolution.

Volumes are found by Pappus's second theorem from the section (area times the way of its centroid),
and again from a mesh of revolution by trimesh. A mesh of N sides holds sin(2 pi / N) / (2 pi / N)
of the solid, closed form.
"""

from __future__ import annotations

from math import pi, sin, sqrt, tan

import numpy as np
import pytest
import shapely
import trimesh
from proof_shop import proof_of
from shapely.geometry.base import BaseGeometry

SIDES = 256
TO_20 = "G00 X44. Z3.\nG94 X-0.6 Z0. F0.2\nG28 U0 W0\n"


def removed(program: str, before: str = "") -> BaseGeometry:
    """Section of what `program` takes off after `before`."""

    def left(text: str) -> BaseGeometry:
        return proof_of(text + "G28 U0 W0\n", jaws=None).setups[0].metal_after

    return left(before).difference(left(before + program))


def pappus(section: BaseGeometry) -> float:
    return float(2 * pi * section.centroid.y * section.area)


def meshed(section: BaseGeometry) -> float:
    """Volume by a mesh of each ring of the section turned about the axis."""
    total = 0.0
    for part in shapely.get_parts(section):
        if part.area < 1e-6:
            continue
        rz = np.asarray(shapely.orient_polygons(part).exterior.coords)[:, ::-1]
        mesh = trimesh.creation.revolve(rz, sections=SIDES)
        mesh.merge_vertices()
        assert mesh.is_watertight
        total += abs(float(mesh.volume))
    return total


def groove(x: float, z: float) -> str:
    return f"T0202\nG00 X44. Z{z}\nG01 X{x} F0.1\nX44.\n"


CASES = {
    # pi (20^2 - 15^2) 20: a cylinder out of a cylinder.
    "turned": (
        "T0101\nG00 X30. Z3.\nG01 Z-20. F0.2\nX44.\n",
        TO_20,
        pi * (20**2 - 15**2) * 20,
        1e-3,
    ),
    # The bar is 1 longer than its zero: pi 20^2 1.
    "faced": (TO_20, "", pi * 20**2, 1e-3),
    # What is left is the frustum R 20, r 15, h 30 = pi h (R^2 + R r + r^2) / 3 = 9250 pi.
    "taper": (
        "T0101\nG00 X30. Z3.\nG01 Z0. F0.2\nX40. Z-30.\nX44.\n",
        TO_20,
        pi * 20**2 * 30 - 9250 * pi,
        1e-3,
    ),
    # A rectangular groove 4 wide to r 18 on r 20: 955.044 by pi (20^2 - 18^2) 4.
    "groove": (groove(36.0, -20.0), TO_20, 955.044, 1e-3),
    # A V of 60 degrees 1.5 deep on r 20: 159.161 by 2 pi (20 - 0.5) x 1.5^2 tan 30.
    "vee": ("T0505\nG00 X44. Z-10.\nG01 X37. F0.1\nX44.\n", TO_20, 159.161, 1e-3),
    # A hole of 12 with a point of 118 degrees: pi r^2 h / 3 = 135.911 for the point, whose length
    # is 6 / tan 59, and a cylinder up to Z-20.
    "drilled": (
        "T0303\nG00 X0. Z3.\nG01 Z-20. F0.1\nG00 Z3.\n",
        TO_20,
        135.911 + pi * 36 * (20 - 6 / tan(59 * pi / 180)),
        1e-3,
    ),
    # Bored from 12 to 15 over 10, where the hole is straight: pi (7.5^2 - 6^2) 10.
    "bored": (
        "T0404\nG00 X15. Z3.\nG01 Z-10. F0.1\nX10.\nG00 Z3.\n",
        TO_20 + "T0303\nG00 X0. Z3.\nG01 Z-35. F0.1\nG00 Z3.\nG28 U0 W0\n",
        pi * (7.5**2 - 6**2) * 10,
        1e-3,
    ),
    # A corner of R2 off a shaft of r 20: 105.461 by 2 pi (r - k R)(1 - pi / 4) R^2 with
    # k = (10 - 3 pi) / (12 - 3 pi). Chords and what R needs cost up to a thousandth each along an
    # arc of 3.1 at r 19.5: 2 pi 19.5 x 3.1 x 0.001 = 0.4.
    "round": (
        "T0101\nG00 X36. Z3.\nG01 Z0. F0.2\nG03 X40. Z-2. R2.\nG01 X44.\n",
        TO_20,
        105.461,
        0.4,
    ),
}
"""Program, what is cut before, volume in mm3, tolerance. The numbers with three decimals are those
of the usual formulas for solids of revolution, worked to three decimals by hand."""


@pytest.mark.parametrize("name", CASES)
def test_what_is_taken_off(name: str) -> None:
    program, before, volume, within = CASES[name]
    section = removed(program, before)
    assert pappus(section) == pytest.approx(volume, abs=within)


@pytest.mark.parametrize("name", CASES)
def test_a_mesh_of_revolution_says_the_same(name: str) -> None:
    program, before, *_ = CASES[name]
    section = removed(program, before)
    share = sin(2 * pi / SIDES) / (2 * pi / SIDES)
    assert meshed(section) == pytest.approx(pappus(section) * share, rel=1e-6)


def test_the_closed_forms_themselves() -> None:
    assert pi * (20**2 - 18**2) * 4 == pytest.approx(955.044, abs=5e-4)
    assert 2 * pi * (20 - 0.5) * 1.5**2 / sqrt(3) == pytest.approx(159.161, abs=5e-4)
    assert pi * 36 * (6 / tan(59 * pi / 180)) / 3 == pytest.approx(135.911, abs=5e-4)
    k = (10 - 3 * pi) / (12 - 3 * pi)
    assert 2 * pi * (20 - 2 * k) * (1 - pi / 4) * 4 == pytest.approx(105.461, abs=5e-4)
