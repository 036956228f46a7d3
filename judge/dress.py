"""Puts the features of a random job into its ends. Sizes in mm, radii."""

from __future__ import annotations

import math

from judge.ends import End
from judge.features import Extras
from judge.thread_work import draw_thread


def dress(ends: list[End], extras: Extras) -> None:
    """Changes what the ends ask for so that each feature of the job has its place."""
    rng = extras.rng
    for end in ends:
        end.extras = extras
        _roughing(end, extras)
        if extras.has("macros") and end.groove is not None:
            end.groove.by = "plain"
        if extras.has("pecking") and end.groove is not None:
            end.groove.by = "G75"
        if extras.has("pockets"):
            _pocket(end, extras)
            # The tool that dives into a pocket leaves a pip where it faces to the centre alone.
            end.past = max(end.past, 0.7)
        if extras.has("compensation") and end.finish_by != "none" and rng.random() < 0.8:
            end.compensated = rng.choice((0.4, 0.8))
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
