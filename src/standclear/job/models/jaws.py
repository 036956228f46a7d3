"""Jaws, chuck and stop."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, Tag

from standclear.job.models.base import INLINE_TAG, Table
from standclear.job.units import Length, Number, Point, Whole


class JawChuck(Table):
    """The chuck's face behind the jaws, z from the stop plane, + away from the spindle."""

    face: Length
    diameter: Length = Field(gt=0)


class JawStop(Table):
    """The stop inside the chuck that a blank is pushed against: its face is the stop plane."""

    diameter: Length = Field(gt=0)


class Clamping(Table):
    """How hard the chuck holds, from its maker's plate and a gripping-force meter."""

    force: Number = Field(gt=0)
    """Gripping force of all jaws together with the spindle at rest, N."""
    jaw_mass: Number = Field(gt=0)
    """Of one top jaw with the base jaw that moves with it, kg."""
    jaw_centre: Length = Field(gt=0)
    """Radius at which that mass has its centre."""
    jaws: Whole = Field(default=3, ge=2)
    top_speed: Number | None = Field(default=None, gt=0)
    """Greatest speed on the chuck's plate, rpm."""


class Jaws(Table):
    """Jaws as a profile from the stop plane, moving in and out with the gripped diameter."""

    name: str = ""
    profile: list[Point] = Field(min_length=3)
    """Closed outline (z, h): z from the stop plane, + away from the spindle; h radial outward from
    the gripping surface (h = 0)."""
    steps: list[Length] = []
    """z of the steps that a blank may be seated on, from the stop plane."""
    chuck: JawChuck | None = None
    stop: JawStop | None = None
    clamping: Clamping | None = None


JawsInline = Annotated[Jaws, Tag(INLINE_TAG)]
