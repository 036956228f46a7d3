"""What other materials would ask for in place of the job's: force, power, and usual values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from standclear.estimate.cuts import Cuts
from standclear.estimate.engagement import TURNING
from standclear.estimate.force import cutting_force, cutting_power
from standclear.estimate.materials import MATERIALS, Material
from standclear.interval import Interval


@dataclass(frozen=True)
class OtherMaterial:
    """One material of the table, in the cut with the largest chip as the program has it."""

    material: Material
    force: Interval
    """N."""
    power: Interval
    """kW at the program's speed."""


@dataclass(frozen=True)
class Others:
    """The table, and the cut that it is of."""

    setup: str
    line: int
    station: int
    materials: tuple[OtherMaterial, ...]


def other_materials(cuts: Sequence[tuple[str, Cuts]]) -> Others | None:
    """Of the largest chip that any edge of a turning tool takes, in all set-ups by name; None where
    no chip is known."""
    best: tuple[float, str, Cuts, int] | None = None
    for setup, one in cuts:
        found = one.found
        counted = np.isin(one.kind, TURNING) & np.isfinite(found.longest)
        if not counted.any():
            continue
        k = int(np.argmax(np.where(counted, found.chip, -1.0)))
        if best is None or found.chip[k] > best[0]:
            best = float(found.chip[k]), setup, one, k
    if best is None:
        return None
    _, setup, one, k = best
    return Others(
        setup,
        int(one.line[k]),
        one.reading.trace.tools[int(one.tool[k])].station,
        tuple(_in(material, one, k) for material in MATERIALS),
    )


def _in(material: Material, one: Cuts, k: int) -> OtherMaterial:
    thin, thick = one.found.thickness
    chip, speed = one.found.chip[k : k + 1], one.found.speed[k : k + 1]
    low, high = cutting_force(material, chip, (thin[k : k + 1], thick[k : k + 1]))
    powers = [float(cutting_power(force, speed)[0]) for force in (low, high)]
    return OtherMaterial(
        material, Interval(float(low[0]), float(high[0])), Interval(powers[0], powers[1])
    )
