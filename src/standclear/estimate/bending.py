"""How far the part bends away from the tool where it stands out of the jaws."""

from __future__ import annotations

from math import pi

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval

SLICES = 200
"""Of the way from the jaws to the tool: diameters come out of the section slice by slice."""
RADIAL_SHARE = Interval(0.3, 0.5)
"""Force across the axis over cutting force; common practice, no source."""


def bend(
    section: BaseGeometry, jaws_z: float, tool_z: float, force: float, elastic: float
) -> float:
    """How far the part gives way at `tool_z` under `force` N across the axis there, mm.

    section: the metal (z, r) in mm, clamped rigidly up to `jaws_z`; elastic: E in N/mm2. The chuck
    itself gives way too, which is left out.

        w = F / E times the integral of x^2 / I(z), x = tool_z - z, from jaws to tool,
        I = pi (D^4 - d^4) / 64 of the slice at z

    For one diameter this is F L^3 / (3 E I), closed form. Infinite where a slice has no metal.
    """
    if tool_z <= jaws_z:
        return 0.0
    edges = np.linspace(jaws_z, tool_z, SLICES + 1)
    middles = (edges[1:] + edges[:-1]) / 2
    total = 0.0
    for low, high, z in zip(edges[:-1], edges[1:], middles, strict=True):
        stiff = _second_moment(section, float(z))
        if stiff == 0.0:
            return float("inf")
        # The slice's own share of the integral of x^2, exactly.
        total += ((tool_z - low) ** 3 - (tool_z - high) ** 3) / 3.0 / stiff
    return float(force / elastic * total)


def bar_bend(force: float, overhang: float, diameter: float, elastic: float) -> float:
    """How far the tip of a boring bar gives way under `force` N across it, mm: F L^3 / (3 E I) with
    I = pi d^4 / 64, closed form of a bar held rigidly; lengths in mm, `elastic` in N/mm2."""
    return force * overhang**3 / (3.0 * elastic * pi * diameter**4 / 64.0)


def _second_moment(section: BaseGeometry, z: float) -> float:
    """I of the slice at `z`, mm4: every ring of metal between r and R counts pi (R^4 - r^4) / 4."""
    _, _, _, top = section.bounds
    column = shapely.intersection(section, shapely.LineString([(z, 0.0), (z, top + 1.0)]))
    runs = [part.bounds for part in shapely.get_parts(column) if part.length > 0]
    return float(sum(pi * (high**4 - low**4) / 4.0 for _, low, _, high in runs))
