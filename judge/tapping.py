"""Writes a thread tapped into a drilled hole. Sizes in mm, radii."""

from __future__ import annotations

from random import Random

from judge.ends import End
from judge.turret import take
from judge.writer import Writer

TAP = 11
"""Station of the tap."""


def write_tap(w: Writer, end: End, rng: Random) -> None:
    """G84 from home and back."""
    tapped = end.tapped
    assert tapped is not None
    own = end.extras.rng
    take(w, TAP, end, rng)
    z = end.ready
    w.block("G00", w.x(0.0), w.z(z))
    rule, level = end.extras.stated.get("drilling_r"), []
    if rule is not None and own.random() < 0.7:
        ready = round(z * own.uniform(0.3, 0.9), 2)
        level = ["R" + w.number(ready - z if rule == "incremental" else ready)]
    where = [w.x(0.0)] if own.random() < 0.5 else []
    w.block("G84", *where, w.z(-tapped.depth), *level, w.feed(1.5))
    w.block("G80")
    if end.extras.fault == "rapid-tap":
        w.block("G00", w.z(-tapped.depth / 2))
    w.block("G00", w.z(z))
    w.home("XZ" if rng.random() < 0.7 else "Z")
