"""The piece of stock and the part that it becomes."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from standclear.job.models.base import Table
from standclear.job.units import Flag, Length, Point, Tolerance


class Blank(Table):
    """The piece of raw stock in the chuck."""

    shape: Literal["round", "tube", "hexagon", "square"] = "round"
    size: Length = Field(gt=0)
    """Diameter, or width across flats of a hexagon or square."""
    size_tolerance: Tolerance = (0.0, 0.0)
    length: Length = Field(gt=0)
    length_tolerance: Tolerance = (0.0, 0.0)
    bore: Length | None = Field(default=None, gt=0)
    """Bore of a tube, on diameter; smaller than the size."""
    bore_tolerance: Tolerance = (0.0, 0.0)
    material: str = ""
    run_out: Length | None = Field(default=None, ge=0)
    """Full indicator reading of the blank in the chuck."""
    bow: Length | None = Field(default=None, ge=0)
    """Deviation from straight over the stick-out."""
    skin: Length | None = Field(default=None, ge=0)
    """Depth of bad skin, radial and on the faces."""
    out_of_square: Length | None = Field(default=None, ge=0)
    """How far a sawn face leans over its diameter."""
    flats_stay: Flag = False
    """True when flats of a hexagon or square are meant to stay on the part."""


class WantedSize(Table):
    """One size the drawing asks for."""

    name: str = ""
    diameter: Length | None = Field(default=None, gt=0)
    at_z: Length | None = None
    """Where the diameter is measured, from the finished front face (0 there, negative inwards)."""
    inside: Flag = False
    length: Length | None = Field(default=None, gt=0)
    """Distance from the finished front face to a shoulder, or of the whole part."""
    tolerance: Tolerance = (-0.1, 0.1)


class Part(Table):
    """The finished part."""

    length: Length = Field(gt=0)
    outline: list[Point] | None = None
    """(z, diameter) of the finished outline from the front face (z = 0) to the back
    (z = -length), outside; bores are left out."""
    sizes: list[WantedSize] = []
    least_neck: Length = Field(default=0.0, ge=0)
    """Least diameter by which metal may hang; thinner counts as loose."""
