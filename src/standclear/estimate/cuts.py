"""The cuts of one reading with their force, power and what they ask of the grip."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.bending import RADIAL_SHARE, bend
from standclear.estimate.chips import Engagements
from standclear.estimate.engagement import engagements
from standclear.estimate.force import (
    DRILLED,
    WORN,
    cutting_force,
    cutting_power,
    thrust,
    torque,
)
from standclear.estimate.holding import grip_needed
from standclear.estimate.materials import Material
from standclear.estimate.taken import Taken
from standclear.interval import Interval
from standclear.proof.held import HeldReading
from standclear.proof.result import SetupProof

Floats = NDArray[np.float64]
ON_AXIS = ("drill", "tap")
"""Kinds of tools that stand on the axis."""


@dataclass(frozen=True)
class Cuts:
    """Arrays over the motions that take something off; pairs are (least, most), nan where not
    known."""

    reading: HeldReading
    found: Engagements
    tool: NDArray[np.int64]
    """Index into the trace's tools."""
    kind: NDArray[np.str_]
    """Of the tool, as its shape has it; empty where it is not known."""
    line: NDArray[np.int64]
    """Of the block in its program, from 1; 0 where it has none."""
    z: Floats
    """Outer end of each cut."""
    force: tuple[Floats, Floats]
    """N."""
    power: tuple[Floats, Floats]
    """kW."""
    torque: tuple[Floats, Floats]
    """N m."""
    thrust: tuple[Floats, Floats]
    """Push along a drill, N; nan for other tools."""
    grip: tuple[Floats, Floats]
    """Gripping force wanted, N."""


def cuts_of(taken: Taken, setup: SetupProof, material: Material | None) -> Cuts:
    """The cuts of one way through a program of `setup`."""
    found = engagements(taken)
    rows = taken.motions.take(found.motion)
    kinds = np.array([*("" if t is None else t.shape.kind for t in taken.reading.tools), ""])
    kind = kinds[rows.tool]
    unknown = np.full(len(found.motion), np.nan)
    force = push = (unknown, unknown)
    if material is not None:
        drilled = kind == "drill"
        more = np.where(drilled, DRILLED, WORN)
        force = cutting_force(material, found.chip, found.thickness, more)
        push = thrust(force, found.chip, found.longest, found.feed)
        push = np.where(drilled, push[0], np.nan), np.where(drilled, push[1], np.nan)
    turning = torque(force[0], found.lever), torque(force[1], found.lever)
    # Where the force acts further in than the rim it is slower there.
    speed = 2.0 * np.pi * found.lever * found.at_rim / 1000.0
    return Cuts(
        taken.reading,
        found,
        rows.tool.astype(np.int64),
        kind,
        np.array([taken.lines[b] if b >= 0 else 0 for b in rows.block.tolist()], dtype=np.int64),
        np.maximum(rows.start[:, 0], rows.end[:, 0]),
        force,
        (cutting_power(force[0], speed), cutting_power(force[1], speed)),
        turning,
        push,
        _grips(turning, setup),
    )


def _grips(turning: tuple[Floats, Floats], setup: SetupProof) -> tuple[Floats, Floats]:
    """Gripping force that keeps the part from turning under `turning` N m."""
    jaws = setup.obstacles.get("jaws")
    none = np.full(len(turning[0]), np.nan)
    if jaws is None or jaws.is_empty or jaws.bounds[1] <= 0:
        return none, none
    one = grip_needed(Interval(1000.0, 1000.0), 1.0, float(jaws.bounds[1]))
    return turning[0] * one.lo, turning[1] * one.hi


def bend_of(
    cuts: Cuts, own: NDArray[np.int64], setup: SetupProof, material: Material
) -> Interval | None:
    """The most that the part gives way under the cuts numbered `own`, mm: least on the metal as it
    comes with the stiffest constants, most on what is left in the end with the softest. None where
    nothing holds it, or no force is known."""
    jaws = setup.obstacles.get("jaws")
    if jaws is None or jaws.is_empty or setup.metal_after_least.is_empty:
        return None
    front = float(jaws.bounds[2])
    # On the axis nothing pushes across it.
    beside = np.where(np.isin(cuts.kind[own], ON_AXIS), np.nan, cuts.force[1][own])
    lever = beside * np.maximum(cuts.z[own] - front, 0.0) ** 3
    if not np.isfinite(lever).any():
        return None
    k = own[int(np.nanargmax(lever))]
    stiff, soft = setup.metal_before, setup.metal_after_least
    z = float(cuts.z[k])
    return Interval(
        bend(
            stiff,
            front,
            min(z, stiff.bounds[2]),
            float(cuts.force[0][k]) * RADIAL_SHARE.lo,
            material.elastic[1],
        ),
        bend(
            soft,
            front,
            min(z, soft.bounds[2]),
            float(cuts.force[1][k]) * RADIAL_SHARE.hi,
            material.elastic[0],
        ),
    )
