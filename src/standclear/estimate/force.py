"""Cutting force and power of a chip, as ranges over the published constants."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.materials import Constant, Material

Floats = NDArray[np.float64]

WORN = 1.5
"""A worn edge adds 30 to 50 % to the force of a sharp one (from memory of handbook tables): the
upper bound counts with it."""


def specific_force(constant: Constant, thickness: Floats) -> Floats:
    """kc = kc1.1 h^-m, N/mm2, for chips `thickness` h mm thick (Kienzle)."""
    return constant.kc11 * np.where(thickness > 0, thickness, np.nan) ** -constant.m


def cutting_force(material: Material, chip: Floats, thickness: Floats) -> tuple[Floats, Floats]:
    """Fc = kc A, N, of chips of section `chip` mm2: least by the softest constants with a sharp
    edge, most by the hardest with a worn one."""
    forces = np.array([specific_force(c, thickness) * chip for c in material.constants])
    return forces.min(axis=0), WORN * forces.max(axis=0)


def cutting_power(force: Floats, speed: Floats) -> Floats:
    """P = Fc v / 60000, kW, with Fc in N and v in m/min."""
    return force * speed / 60_000.0
