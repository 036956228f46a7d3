"""Where the tool stands in a motion: the place to draw it, and how far it is beyond a corner."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import FAR
from standclear.proof.result import Approach, SetupProof

PLACES_TRIED = 65
"""Places along a motion among which the one deepest in the overlap is taken for the picture."""
CORNER_AGREES = 0.02
"""How far the gap of the drawn outlines may differ from the one found, mm."""


def tool_at(setup: SetupProof, motion: int, overlap: BaseGeometry | None) -> BaseGeometry:
    """The tool's outline on its way in a motion: where it is deepest in `overlap`, else its end.

    Empty where the outline or the place is not known.
    """
    motions = setup.trace.motions
    if not 0 <= motion < len(motions):
        return Polygon()
    outline = setup.tool_outlines[int(motions.tool[motion])] if setup.tool_outlines else Polygon()
    start, end = motions.start[motion], motions.end[motion]
    if outline.is_empty or (np.abs(end) >= FAR / 2).any():
        return Polygon()
    if overlap is None:
        return affinity.translate(outline, float(end[0]), float(end[1]))
    shares = np.linspace(1.0, 0.0, PLACES_TRIED)
    places = start + shares[:, None] * (end - start)
    tools = np.full(len(places), outline, dtype=object)
    corners, owner = shapely.get_coordinates(tools, return_index=True)
    tools = shapely.set_coordinates(tools, corners + places[owner])
    areas = shapely.area(shapely.intersection(overlap.buffer(0), tools))
    deepest: BaseGeometry = tools[int(np.argmax(areas > areas.max() - 1e-12))]
    return deepest


def arriving(setup: SetupProof, near: Approach) -> int:
    """The motion that brings the tool to the approach's position: its own, or the one before it
    where the approach is the place from which its own motion starts."""
    motions, row = setup.trace.motions, near.motion
    if not 0 < row < len(motions):
        return row
    before_it = (
        np.allclose(motions.start[row], near.position, atol=1e-9)
        and np.allclose(motions.end[row - 1], near.position, atol=1e-9)
        and motions.tool[row - 1] == motions.tool[row]
    )
    return row - 1 if before_it and not np.allclose(motions.end[row], near.position) else row


def corner_gap(setup: SetupProof, near: Approach) -> tuple[float, float] | None:
    """How far the tool stands beyond the corner of the metal, (across, along), mm; None where it
    faces the metal, or where metal already cut makes the gap other than the outline shows."""
    tool = tool_at(setup, arriving(setup, near), None)
    if tool.is_empty or near.against != "metal" or setup.metal_before.is_empty:
        return None
    z_min, r_min, _, _ = tool.bounds
    _, _, metal_z, metal_r = setup.metal_before.bounds
    if z_min <= metal_z or r_min <= metal_r:
        return None
    if abs(tool.distance(setup.metal_before) - near.gap) > CORNER_AGREES:
        return None
    return r_min - metal_r, z_min - metal_z
