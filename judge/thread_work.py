"""Threads of a random job: what is cut, by which words, and with which tool. Sizes in mm, radii."""

from __future__ import annotations

import math
from random import Random

from judge.ends import End, Groove
from judge.features import Extras
from judge.kit import Tool
from judge.thread_cut import ThreadCut
from judge.turret import away, take
from judge.writer import Writer

OUTSIDE, INSIDE = 9, 10
"""Stations of the two threading tools."""
_HEIGHT = 17 / 24 * math.sqrt(3) / 2
"""Depth of an external thread over its pitch: 17/24 of the sharp triangle (ISO 68-1, h3)."""
_HALF = math.tan(math.radians(30))


def draw_thread(end: End, extras: Extras, may_turn: bool) -> ThreadCut | None:
    """A thread on the small diameter or in the bore, where there is room for one.

    `may_turn`: it may be cut away from the chuck, out of a groove of its own.
    """
    rng = extras.rng
    bore = end.bore
    inside = bore is not None and bore.bore_by != "none" and rng.random() < 0.5
    pitch = rng.choice((1.0, 1.5, 2.0))
    height = round(_HEIGHT * pitch, 3)
    tooth = round(height + rng.uniform(0.4, 1.2), 2)
    if extras.fault == "deep-thread":
        tooth = round(max(0.3, height - extras.amount * 0.3), 2)
    reach = tooth * _HALF + 0.5 + height * _HALF
    ready = end.clear_z + (end.face if end.face_by == "none" and end.finish_by == "none" else 0.0)
    start = round(ready + pitch * rng.uniform(1.0, 3.0), 2)
    if extras.fault == "short-run-in":
        start = round(start - extras.amount - 1.0, 2)
    if inside:
        assert bore is not None
        low, crest, lead_in = -bore.bore_depth, bore.bore_r, 0.0
    elif end.finish_by == "none":
        return None
    else:
        low, crest, lead_in = -end.small_length + end.arc, end.small, 0.0
    stop = low + reach + rng.uniform(0.3, 2.0)
    if extras.fault == "to-shoulder":
        stop -= extras.amount
    stop = round(stop, 2)
    if stop > -2.0 or start < stop + 3.0:
        return None
    if not inside and end.taper > 0:
        crest = round(end.small_at(stop), 3)
        lead_in = round(end.small_at(start) - crest, 3)
    if extras.fault == "proud-crest":
        crest += (1 if inside else -1) * round(min(0.2 + extras.amount * 0.1, height * 0.8), 3)
    by = rng.choices(("G76", "G92", "G32"), (50, 30, 20))[0]
    starts = 2 if rng.random() < 0.2 else 1
    clear = round(rng.uniform(0.6, 2.0), 2) if not inside else 0.4
    cut = ThreadCut(inside, by, pitch, height, tooth, start, stop, crest, lead_in, clear, starts,
                    rng.choice((0, 29, 55, 60)))  # fmt: skip
    if may_turn and not inside and end.taper == 0 and end.arc == 0 and rng.random() < 0.3:
        _turn_away(end, cut, extras)
    return cut


def _turn_away(end: End, cut: ThreadCut, extras: Extras) -> None:
    """Makes a thread begin in a groove next to the shoulder and run out at the face."""
    rng = extras.rng
    half = cut.tooth * _HALF + cut.height * _HALF
    blade = end.groove.tool_width if end.groove is not None else 3.0
    wide = round(max(blade, 2 * half + 1.0 + rng.uniform(0.0, 0.8)), 2)
    if extras.fault == "to-shoulder":
        wide = round(max(blade, wide - extras.amount * 0.5), 2)
    if wide > end.small_length - 5.0:
        return
    low = round(-end.small_length + 0.4, 3)
    bottom = round(cut.crest - cut.height - 0.4, 3)
    end.groove = Groove(low, wide, bottom, end.small, blade, "plain")
    cut.away, cut.starts = True, 1
    cut.start = round(low + wide - half - 0.4, 3)
    cut.end = round(end.clear_z + cut.pitch, 2)


def threading_tools(ends: list[End]) -> list[Tool]:
    """Tools for the threads of a job; a tool serves both ends by the lower tooth."""
    found = []
    cuts = [(end, cut) for end in ends for cut in end.threads if not cut.inside]
    if cuts:
        by_sizes = cuts[0][0].extras.rng.random() < 0.4
        found.append(_outside(min(cut.tooth for _, cut in cuts), by_sizes))
    inner = [(end, cut) for end in ends for cut in end.threads if cut.inside]
    if inner:
        tooth = min(cut.tooth for _, cut in inner)
        bar = min(end.bore.bore_r for end, _ in inner if end.bore) * 2 - tooth - 1.4
        found.append(_inside(tooth, round(min(bar, 9.0), 2)))
    return found


def _outside(tooth: float, by_sizes: bool) -> Tool:
    half = tooth * _HALF
    if by_sizes:
        sizes = {"angle": 60.0, "width": round(2 * half, 4), "reach": round(tooth + 12.0, 2),
                 "body": round(2 * half + 6.0, 2)}  # fmt: skip
        return {"station": OUTSIDE, "threading": sizes}
    points = [
        (0.0, 0.0), (half, tooth), (half + 14.0, tooth + 0.5), (half + 14.0, 60.0),
        (-half - 0.5, 60.0), (-half - 0.5, tooth + 0.3), (-half, tooth),
    ]  # fmt: skip
    return {"station": OUTSIDE, "outline": {"points": points, "cutting": [0, 6]}}


def _inside(tooth: float, bar: float) -> Tool:
    half = tooth * _HALF
    points = [
        (0.0, 0.0), (-half, -tooth), (-half - 0.3, -tooth - 0.2), (-half - 0.3, -tooth - bar),
        (100.0, -tooth - bar), (100.0, -tooth), (half, -tooth),
    ]  # fmt: skip
    return {"station": INSIDE, "outline": {"points": points, "cutting": [0, 6]}}


def write_threads(w: Writer, end: End, rng: Random) -> None:
    """The threads of one end."""
    for cut in end.threads:
        take(w, INSIDE if cut.inside else OUTSIDE, end, rng)
        if end.extras.fault == "thread-spindle":
            w.block("M04" if end.turns[OUTSIDE] == "M03" else "M03")
        for k in range(cut.starts):
            _write(w, end, cut, round(cut.start + k * cut.pitch / cut.starts, 3), k == 0)
        if cut.inside:
            w.home("XZ" if rng.random() < 0.7 else "Z")
        else:
            away(w, rng)


def _write(w: Writer, end: End, cut: ThreadCut, start: float, first: bool) -> None:
    out = -1.0 if cut.inside else 1.0
    slope = cut.lead_in / (cut.start - cut.end)
    crest = cut.crest
    lead_in = slope * (start - cut.end)
    root = crest - out * cut.height
    # The start of a taper thread lies where its line is, produced to the start.
    top = max(crest * out, (crest + lead_in) * out) * out + out * cut.clear
    if cut.away:
        w.block("G00", w.x(end.raw + end.clear_x), w.z(end.ready + 1.0))
        w.block("G00", w.z(start))
        top = end.raw + end.clear_x
    else:
        w.block("G00", w.x(top), w.z(start))
    lead = w.feed(cut.pitch * cut.starts)
    taper = ["R" + w.number(lead_in)] if lead_in else []
    ends = w.z(cut.end)
    if cut.by == "G76":
        if first or end.extras.rng.random() < 0.5:
            w.block("G76", f"P01{end.extras.rng.choice(('00', '10'))}{cut.angle:02d}",
                    w.increments("Q", 0.06), "R" + w.number(0.05))  # fmt: skip
        w.block("G76", w.x(root), ends, *taper, w.increments("P", cut.height),
                w.increments("Q", cut.height * 0.4), lead)  # fmt: skip
        return
    depths = [cut.height * share for share in (0.45, 0.75, 1.0)]
    for k, depth in enumerate(depths):
        tip = crest - out * depth
        if cut.by == "G92":
            words = ["G92"] if k == 0 else []
            w.block(*words, w.x(tip), *([ends, *taper, lead] if k == 0 else []))
            continue
        w.block("G00", w.x(tip + lead_in))
        w.block("G32", *([w.x(tip)] if lead_in else []), ends, lead)
        if end.extras.fault == "early-retract" and k == len(depths) - 1:
            w.block("G00", w.z(start))
        w.block("G00", w.x(top))
        w.block("G00", w.z(start))
