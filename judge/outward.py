"""Writes work away from the chuck: the left-hand tool takes down the front of the large diameter,
from a groove out to the shoulder. Sizes in mm, radii."""

from __future__ import annotations

from judge.ends import End
from judge.writer import Writer


def write_outward(w: Writer, end: End) -> None:
    """One cylinder by G71, G73, G90 or plain blocks, from the groove outwards."""
    work, groove = end.outward, end.groove
    assert work is not None and groove is not None
    top = end.raw + end.clear_x
    start, stop = work.start, -end.small_length + 1.0
    low = end.large - work.depth
    w.block("G00", w.x(top), w.z(end.ready))
    w.block("G00", w.z(start))
    w.block("G00", w.x(end.large + 0.6))
    if work.by == "G90":
        w.block("G90", w.x(end.large - work.depth / 2), w.z(stop), w.feed(0.12))
        w.block(w.x(low))
    elif work.by == "plain":
        w.block("G41" if end.compensated else "", "G01", w.x(low), w.feed(0.1))
        w.block("G01", w.z(stop))
        w.block("G40" if end.compensated else "", "G01", w.x(end.large + 2.0))
    else:
        _by_profile(w, end, low, stop)
    w.block("G00", w.x(top))
    w.block("G00", w.z(end.ready))


def _by_profile(w: Writer, end: End, low: float, stop: float) -> None:
    work = end.outward
    assert work is not None
    first, last = w.label(), w.label()
    words = (f"P{first}", f"Q{last}", w.x(work.allow, "U"), w.z(-0.05, "W"), w.feed(0.12))
    if work.by == "G73" and end.one_block:
        w.block("G73", *words[:4], "I" + w.number(work.depth), "K0.", "D2", words[4])
    elif work.by == "G73":
        w.block("G73", "U" + w.number(work.depth), "W0.", "R2")
        w.block("G73", *words)
    elif end.one_block:
        w.block("G71", *words[:4], w.increments("D", 0.6), words[4])
    else:
        w.block("G71", "U" + w.number(0.6), "R" + w.number(0.3))
        w.block("G71", *words)
    on = "G41" if end.compensated else ""
    w.in_profile = True
    w.block(f"N{first}", on, "G00", w.x(low))
    w.block("G01", w.z(stop - 0.6 - work.rise), w.feed(0.1))
    if work.rise:
        w.block("G01", w.x(low + work.rise), w.z(stop - 0.6))
    w.block("" if on else f"N{last}", "G01", w.z(stop))
    if on:
        # On along the axis: off it, the tip would come back by a nose radius.
        w.block(f"N{last}", "G40", "G01", w.z(stop + 1.0 + 1.2 * end.compensated))
    w.in_profile = False
    w.block("G70", f"P{first}", f"Q{last}")
