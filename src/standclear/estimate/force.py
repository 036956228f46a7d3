"""Cutting force, power, torque and thrust of a chip, as ranges over the published constants."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.materials import Constant, Material

Floats = NDArray[np.float64]

WORN = 1.5
"""A worn edge adds 30 to 50 % to the force of a sharp one (from memory of handbook tables): the
upper bound counts with it."""


DRILLED = 1.2 * 1.15 * 1.3
"""The same for a drill: chips pressed harder than in turning, a slow cutting speed, a worn edge
(Dietrich, Tschaetsch, Praxis der Zerspantechnik, from memory)."""
THRUST_SHARE = (0.5, 1.0)
"""Of the force on a drill's lips that pushes along it, times the sine of half its point angle: half
by makers' tables, all of it by Dietrich, Tschaetsch (both from memory)."""


def specific_force(constant: Constant, thickness: Floats) -> Floats:
    """kc = kc1.1 h^-m, N/mm2, for chips `thickness` h mm thick (Kienzle)."""
    return constant.kc11 * np.where(thickness > 0, thickness, np.nan) ** -constant.m


def cutting_force(
    material: Material, chip: Floats, thickness: tuple[Floats, Floats], more: Floats | float = WORN
) -> tuple[Floats, Floats]:
    """Fc = kc A, N, of chips of section `chip` mm2 whose thickness, least and most, is given: least
    by the softest constants with a sharp edge, most by the hardest, `more` times as much."""
    forces = np.array([specific_force(c, h) * chip for c in material.constants for h in thickness])
    return forces.min(axis=0), more * forces.max(axis=0)


def thrust(
    force: tuple[Floats, Floats], chip: Floats, edge: Floats, feed: Floats
) -> tuple[Floats, Floats]:
    """Push along a drill, N, under the force on its lips: `THRUST_SHARE` Fc sin(point angle / 2).

    The chip's section is depth times `feed`, and depth over the length of edge of both lips is half
    that sine.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        sine = 2.0 * chip / feed / edge
    return THRUST_SHARE[0] * force[0] * sine, THRUST_SHARE[1] * force[1] * sine


def cutting_power(force: Floats, speed: Floats) -> Floats:
    """P = Fc v / 60000, kW, with Fc in N and v in m/min."""
    return force * speed / 60_000.0


def torque(force: Floats, lever: Floats) -> Floats:
    """M = Fc r / 1000, N m, with Fc in N at the radius r in mm.

    A drill into solid metal comes to kc f D^2 / 8000: both lips, each D / 2 long across, act at
    D / 4 from the axis.
    """
    return force * lever / 1000.0
