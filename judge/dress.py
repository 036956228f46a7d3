"""Puts the features of a random job into its ends. Sizes in mm, radii."""

from __future__ import annotations

import math

from judge.ends import End, Groove, Outward, Tapped
from judge.features import Extras
from judge.thread_work import draw_thread


def dress(ends: list[End], extras: Extras) -> None:
    """Changes what the ends ask for so that each feature of the job has its place."""
    rng = extras.rng
    for end in ends:
        end.extras = extras
        _roughing(end, extras)
        if (extras.has("macros") or extras.has("modal-macros")) and end.groove is not None:
            end.groove.by = "plain"
        if extras.has("pecking") and end.groove is not None:
            end.groove.by = "G75"
        if extras.has("pockets"):
            _pocket(end, extras)
            # The tool that dives into a pocket leaves a pip where it faces to the centre alone.
            end.past = max(end.past, 0.7)
        if extras.has("compensation") and end.finish_by != "none" and rng.random() < 0.8:
            end.compensated = rng.choice((0.4, 0.8))
        if extras.has("tapping") and end.bore is not None:
            _tap(end, extras)
        if extras.has("outward"):
            _outward(end, extras)
        if extras.has("corner-words"):
            end.corner_words = True
            if end.chamfer == 0:
                end.chamfer = 1.0
    if extras.has("compensation"):
        one = next((end.compensated for end in ends if end.compensated), 0.0)
        for end in ends:
            end.compensated = one if end.finish_by != "none" else 0.0
            if one and end.bore is not None and rng.random() < 0.5:
                end.bore.bore_by = "plain"
    if extras.has("inside-facing"):
        for end in ends:
            if end.bore is not None and end.bore.bore_by != "none":
                end.bore.bore_by = "G72"
    if extras.has("threads"):
        for end in ends:
            cut = draw_thread(end, extras, end is ends[0])
            if cut is not None:
                end.threads.append(cut)


def _roughing(end: End, extras: Extras) -> None:
    rng = extras.rng
    if extras.has("pattern") and rng.random() < 0.8:
        if end.rough_by in ("G71", "plain", "G90"):
            end.rough_by = "G73"
            if end.finish_by == "plain" and rng.random() < 0.7:
                end.finish_by = "G70"
        if end.bore is not None and end.bore.bore_by != "none" and rng.random() < 0.6:
            end.bore.bore_by = "G73"
    elif (extras.has("loops") and end.rough_by in ("G90", "plain")) or (
        extras.has("loops") and rng.random() < 0.5 and end.face_by != "none"
    ):  # fmt: skip
        end.rough_by = "plain"
        end.finish_by = "plain" if end.finish_by == "G70" else end.finish_by
    end.one_block = extras.has("one-block")
    if end.one_block and end.rough_by in ("plain", "G90") and rng.random() < 0.6:
        end.rough_by = "G71"


def _tap(end: End, extras: Extras) -> None:
    """A tapped hole in place of a bored one, down to the cone that the drill leaves."""
    assert end.bore is not None
    rng, bore = extras.rng, end.bore
    bore.bore_by, bore.groove = "none", None
    cone = bore.drill_r / math.tan(math.radians(59.0))
    depth = round((bore.drill_depth - cone) * rng.uniform(0.5, 1.0) - 0.4, 2)
    hole = bore.drill_r
    if extras.fault == "deep-tap":
        depth = round(bore.drill_depth - cone - 0.8 + extras.amount, 2)
    if extras.fault == "fat-tap":
        hole = round(hole + extras.amount * 0.3, 2)
    if depth > 2.0:
        end.tapped = Tapped(hole, round(hole + rng.uniform(0.4, 1.0), 2), depth)


def _outward(end: End, extras: Extras) -> None:
    """Something for the left-hand tool to do between a groove and the shoulder before it."""
    rng = extras.rng
    long = end.length - end.small_length
    if end.finish_by == "none" or end.recess or long < 12.0 or end.large - 2.5 < end.hole + 3.0:
        return
    blade = end.groove.tool_width if end.groove is not None else 3.0
    wide = round(blade + rng.uniform(1.5, 4.0), 2)
    depth = round(rng.uniform(0.8, min(2.0, end.large - end.hole - 4.0)), 2)
    if extras.fault == "deep-outward":
        depth = round(depth + extras.amount * 0.4, 2)
    low = -end.small_length - wide - rng.uniform(5.0, long - wide - 1.0)
    groove = Groove(round(low, 2), wide, round(end.large - 2.4, 2), end.large, blade, "plain")
    end.groove, end.back = groove, 0.0
    start = round(low + wide - rng.uniform(0.3, 1.2), 2)
    end.outward = Outward(
        start, depth, rng.choice((0.0, 0.0, 0.4)), rng.choice((0.0, 0.2)),
        rng.choice(("G71", "G71", "G73", "G90", "plain")),
    )  # fmt: skip


def _pocket(end: End, extras: Extras) -> None:
    rng = extras.rng
    if end.recess or end.back or (end.groove is not None and end.groove.surface == end.large):
        if rng.random() < 0.5:
            return
        end.recess, end.back, end.groove = 0.0, 0.0, None
    slope = math.tan(math.radians(rng.uniform(8.0, 14.0)))
    if extras.fault == "steep-wall":
        slope = math.tan(math.radians(rng.uniform(16.0, 60.0)))
    depth = round(rng.uniform(0.6, 1.6), 2)
    floor = round(rng.uniform(1.0, 3.0), 2)
    long = end.length - end.small_length
    if long > depth / slope + floor + depth + 3.0 and end.large - depth > end.hole + 2.0:
        end.pocket = (depth, floor)
        end.pocket_slope = round(slope, 4)
        end.rough_by = "G71" if end.rough_by in ("G71", "G90", "plain") else end.rough_by
        if end.rough_by == "G72":
            end.pocket = None
            _face_pocket(end, extras)


def _face_pocket(end: End, extras: Extras) -> None:
    """A pocket in the shoulder, that levels across leave over: its outer wall falls away from the
    tool, its inner wall rises."""
    rng = extras.rng
    room = end.large - end.small - 1.2
    floor = round(rng.uniform(0.5, 1.0), 2)
    depth = round(rng.uniform(0.3, 0.8), 2)
    slope = math.tan(math.radians(rng.uniform(14.0, 22.0)))
    if extras.fault == "steep-wall":
        slope = math.tan(math.radians(rng.uniform(30.0, 60.0)))
    if end.arc == 0 and room > depth / slope + floor + depth:
        end.face_pocket = (depth, floor)
        end.pocket_slope = round(slope, 4)
