"""Another tool in the station: what it leaves, what it cuts too much, what to touch off again."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Tool
from standclear.proof.result import JobProof, SetupProof
from standclear.sweeps.areas import less
from standclear.tools.build import tool_shape

SEEN_MM = 0.005
"""What is thinner is not told of: sweeps and touching are known no better."""


@dataclass(frozen=True)
class Stretch:
    """Metal by which two sections differ, mm; Z of the set-up."""

    z_from: float
    z_to: float
    diameter_from: float
    diameter_to: float
    thickness: float
    """The farthest that any of it stands from the other section's border."""


@dataclass(frozen=True)
class Replaced:
    """What another tool in the station does."""

    leaves: tuple[Stretch, ...]
    """Metal that the tool of the job would have cut."""
    cuts_more: tuple[Stretch, ...]
    """Metal that it would have left."""
    old_nose: float
    """Nose radius, mm; 0 for a tool without."""
    new_nose: float
    old_geometry: tuple[float, float] | None
    """(x on diameter, z) of the offsets that the job states and that no longer hold."""


def replaced_by(
    old: Tool, new: Tool, ran: SetupProof, bounds: tuple[JobProof, JobProof]
) -> Replaced:
    """What `new` in place of `old` does to the section that set-up `ran` leaves.

    bounds: the job taken up with `new`, the broken tool having cut nothing, and everything. Of
    what is left the most metal counts, of what is cut too much the least.
    """
    most, least = (next(s for s in proof.setups if s.name == ran.name) for proof in bounds)
    geometry = old.geometry
    return Replaced(
        _stretches(most.metal_after, ran.metal_after),
        _stretches(ran.metal_after_least, least.metal_after_least),
        tool_shape(old).nose_radius_mm,
        tool_shape(new).nose_radius_mm,
        None if geometry is None else (geometry.x, geometry.z),
    )


def _stretches(more: BaseGeometry, metal: BaseGeometry) -> tuple[Stretch, ...]:
    """Where `more` reaches beyond `metal`, from the face inwards."""
    rest = less(more, metal)
    found = []
    for piece in getattr(rest, "geoms", [rest]):
        if piece.is_empty or metal.is_empty:
            continue
        corners = shapely.points(shapely.get_coordinates(piece))
        thickness = float(shapely.distance(corners, metal).max())
        if thickness > SEEN_MM:
            z_min, r_min, z_max, r_max = piece.bounds
            found.append(Stretch(z_max, z_min, 2 * r_min, 2 * r_max, thickness))
    return tuple(sorted(found, key=lambda s: -s.z_from))
