"""Parts of a held set-up: what was swept of a stretch of its motions, without sweeping again."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from standclear.plan.later.taken_up import rows_from
from standclear.proof.held import HeldReading
from standclear.proof.keep_out import KeepOut, Layer, layer_of
from standclear.sweeps.sweep import Sweeps


def held_part(held: HeldReading, first: int, end: int | None = None) -> HeldReading:
    """`held` with the motions from number `first` up to `end` only, and their keep-out: of what
    the earlier motions cut nothing is counted as gone.

    What could not be followed before `first` still counts from its beginning.
    """
    last = len(held.trace.motions) if end is None else end
    trace = held.trace
    calls = tuple(c for c in trace.calls if (trace.motions.call[first:last] == c.number).any())
    findings = tuple(
        replace(f, motion=max(f.motion - first, 0))
        for f in trace.findings
        if f.unproven and f.motion < last
    )
    part = replace(
        trace,
        motions=rows_from(trace.motions, first, last),
        calls=calls,
        findings=findings,
        changes=(),
    )
    keep = held.keep
    cut = _part(keep.cut, first, last)
    most = cut if keep.cut is keep.cut_most else _part(keep.cut_most, first, last)
    layers = tuple(_layer_part(layer, first, last) for layer in keep.layers)
    return replace(held, trace=part, keep=KeepOut(layers, keep.reach, cut, most))


def _layer_part(layer: Layer, first: int, last: int) -> Layer:
    motions = layer.sweeps.strike_motion[layer.pieces]
    own = np.unique(motions[(motions >= first) & (motions < last)]) - first
    return layer_of(_part(layer.sweeps, first, last), own, layer.grow)


def _part(sweeps: Sweeps, first: int, last: int) -> Sweeps:
    r = (sweeps.strike_motion >= first) & (sweeps.strike_motion < last)
    f = (sweeps.cut_motion >= first) & (sweeps.cut_motion < last)
    return Sweeps(
        sweeps.strike[r],
        sweeps.strike_motion[r] - first,
        sweeps.cut[f],
        sweeps.cut_motion[f] - first,
        last - first,
    )
