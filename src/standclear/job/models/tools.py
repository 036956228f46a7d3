"""The tools in the turret."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from standclear.job.models.base import Table
from standclear.job.units import Length, Number, Point, Whole


class Offsets(Table):
    """Geometry offsets of a tool as the control holds them: x on diameter."""

    x: Length
    z: Length


class OutlineCorner(Table):
    """A rounded corner of a tool outline: the point's index and its radius."""

    point: Whole = Field(ge=0)
    radius: Length = Field(gt=0)


class ToolOutline(Table):
    """Any polygon, (z, r) from the controlled point, with its cutting edges marked."""

    points: list[Point] = Field(min_length=3)
    cutting: list[Annotated[Whole, Field(ge=0)]] = Field(min_length=1)
    """Edge i runs from point i to point i + 1, counted from 0."""
    corners: list[OutlineCorner] = []


class GroovingTool(Table):
    """A grooving or parting tool that plunges along X (outside) unless `face` or `inside`."""

    width: Length = Field(gt=0)
    reach: Length = Field(gt=0)
    """How deep the blade may go: beyond it the holder's full body begins."""
    blade: Length | None = Field(default=None, gt=0)
    """Thickness of the blade behind the edge; left out: the width."""
    edge_height: Length | None = Field(default=None, gt=0)
    """Length of the cutting sides behind the front edge; left out: the width."""
    corner_radius: Length = Field(default=0.0, ge=0)
    where: Literal["outside", "inside", "face"] = "outside"
    controlled: Literal["chuck-side", "tail-side"] = "chuck-side"
    """Which corner of the front edge the program moves."""
    body: Length = Field(default=20.0, gt=0)
    """Width of the holder's full body."""


class ThreadingTool(Table):
    """A threading tool with a pointed insert; the program moves its tip."""

    angle: Number = Field(default=60.0, gt=0, lt=180)
    """Degrees between the flanks."""
    width: Length = Field(gt=0)
    """Width of the insert where its flanks end, and of what carries it."""
    reach: Length = Field(gt=0)
    """From the tip to the holder's full body."""
    flat: Length = Field(default=0.0, ge=0)
    """Width of the flat at the tip."""
    nose_radius: Length = Field(default=0.0, ge=0)
    """Instead of a flat."""
    where: Literal["outside", "inside"] = "outside"
    body: Length = Field(default=20.0, gt=0)
    """Width of the holder's full body, diameter of a bar."""


class Drill(Table):
    """A drill on the centre line."""

    diameter: Length = Field(gt=0)
    point_angle: Number = Field(default=118.0, gt=0, le=180)
    length: Length = Field(gt=0)
    """From the point to the holder."""
    holder_diameter: Length | None = Field(default=None, gt=0)


class Tap(Table):
    """A tap on the centre line. The hole keeps the size that it was drilled to: what lies between
    the crests of the thread is not counted on to be open."""

    diameter: Length = Field(gt=0)
    """Over the crests of the tap."""
    hole: Length = Field(gt=0)
    """Diameter of the hole that it is made for, smaller than its own."""
    length: Length = Field(gt=0)
    """From its end to the holder."""
    holder_diameter: Length | None = Field(default=None, gt=0)


class Tool(Table):
    """A tool in the turret: `insert` with `holder`, or `outline`, `grooving`, `threading`,
    `drill` or `tap`."""

    station: Whole = Field(ge=0)
    offset: Whole | None = Field(default=None, ge=0)
    """Number of its offset; left out: the station's."""
    name: str = ""
    insert: str | None = None
    """ISO 1832 or inch designation such as CNMG120408."""
    holder: str | None = None
    """ISO 5608 or ISO 6261 designation such as PCLNL2525M12 or S20R-SCLCR09."""
    holder_outline: list[Point] | None = None
    """Measured outline of the holder, (z, r) from the controlled point: replaces the envelope."""
    outline: ToolOutline | None = None
    grooving: GroovingTool | None = None
    threading: ThreadingTool | None = None
    drill: Drill | None = None
    tap: Tap | None = None
    tip: Annotated[Whole, Field(le=9)] | None = Field(default=None, ge=0)
    """Direction of the imaginary tip, 0 to 9, that nose compensation goes by; left out: from the
    shape of the tool."""
    cuts_with: Literal["M03", "M04"] = "M03"
    """The spindle direction the tool cuts with."""
    overhang: Length | None = Field(default=None, gt=0)
    """How far a boring bar stands out of what holds it; only its bending is estimated with it."""
    greatest_depth: Length | None = Field(default=None, gt=0)
    """Greatest depth of cut, radial or axial."""
    geometry: Offsets | None = None
    wear: Length | None = Field(default=None, ge=0)
    """Bound of wear and touch-off error, plus or minus, each axis (X radial)."""
