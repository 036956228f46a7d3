"""Strikes of the blank in hand: which motions meet metal, where and how deep.

The keep-out names the motions that are first to enter some of the metal; only these are replayed,
against the metal that is left when they come, with the full outline of the tool.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Kind, Motions
from standclear.proof.clock import MetalClock
from standclear.proof.keep_out import KeepOut
from standclear.proof.result import Part, Strike
from standclear.proof.section import grow
from standclear.sweeps.areas import common, less, union
from standclear.sweeps.sweep import Sweeps, Tooling, sweep


def find_strikes(
    keep: KeepOut,
    metal: BaseGeometry,
    motions: Motions,
    tools: Sequence[Tooling | None],
    outlines: dict[int, BaseGeometry] | None = None,
) -> tuple[Strike, ...]:
    """Every motion that is the first to enter some of `metal` uncut, in order of motion.

    outlines: by motion what the full outline of the tool sweeps within the reach of `keep`; whoever
        asks again with the same motions and `keep` gives it again, and what is missing is put in.

    Metal struck stays: a later motion that only enters what an earlier one has struck is not named
    again.
    """
    hits: set[int] = set()
    for layer in keep.layers:
        hits |= set(layer.first_strikes(grow(metal, layer.grow, layer.grow)))
    if not hits:
        return ()
    numbers = np.array(sorted(hits))
    known = {} if outlines is None else outlines
    new = numbers[[int(number) not in known for number in numbers]]
    known.update(zip(new.tolist(), _full_outline(motions, tools, keep, new), strict=True))
    clock = MetalClock(metal, keep.cut)
    found = []
    for number in numbers.tolist():
        there = less(clock.before(number), cut_in_reading(keep.cut_most, motions, number))
        overlap = common(known[number], there)
        if overlap.is_empty:
            overlap = _only_inset(keep, number, there)
        found.append(_strike(number, motions, tools, overlap))
    return tuple(found)


def _only_inset(keep: KeepOut, number: int, metal: BaseGeometry) -> BaseGeometry:
    """What a motion strikes that its full outline on its own way does not show: within the contact
    limit beside where it starts, in a rounded corner, or by wear alone."""
    by = max(layer.grow for layer in keep.layers)
    return common(union(keep.cut.strike[keep.cut.strike_motion == number]), grow(metal, by, by))


def _full_outline(
    motions: Motions,
    tools: Sequence[Tooling | None],
    keep: KeepOut,
    numbers: NDArray[np.int64],
) -> list[BaseGeometry]:
    if len(numbers) == 0:
        return []
    swept: Sweeps = sweep(motions.take(numbers), tools, 0.0, keep.reach, true_outline=True)
    return [union(swept.strike[swept.strike_motion == k]) for k in range(len(numbers))]


def cut_in_reading(cut: Sweeps, motions: Motions, number: int) -> BaseGeometry:
    """What the same reading of the same open call has cut before; nothing outside such calls."""
    call = motions.call[number]
    if call < 0 or not (motions.variant[motions.call == call] > 0).any():
        return shapely.Polygon()
    same = (motions.call == call) & (motions.variant == motions.variant[number])
    same[number:] = False
    return union(cut.cut[np.isin(cut.cut_motion, np.flatnonzero(same))])


def _strike(
    number: int, motions: Motions, tools: Sequence[Tooling | None], overlap: BaseGeometry
) -> Strike:
    kind = motions.kind[number]
    tooling = tools[motions.tool[number]]
    if kind == Kind.APPEAR:
        part = Part.APPEARING
    elif kind == Kind.RAPID:
        part = Part.TOOL_IN_RAPID
    elif tooling is not None and motions.spindle[number] != tooling.cuts_with:
        part = Part.SPINDLE
    elif motions.crest[number] > 0:
        part = Part.IN_THREAD
    elif min(motions.start[number, 1], motions.end[number, 1]) < 0:
        part = Part.PAST_CENTRE
    else:
        part = Part.HOLDER
    z_min, r_min, z_max, r_max = overlap.bounds if not overlap.is_empty else (0.0,) * 4
    return Strike(number, part, overlap, depth_x=r_max - r_min, depth_z=z_max - z_min)
