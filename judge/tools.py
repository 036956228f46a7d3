"""Draws the tools of a random job to suit what its ends ask for, or fail to."""

from __future__ import annotations

import math
from random import Random

from judge.ends import End
from judge.kit import (
    Tool,
    away,
    boring,
    drill,
    face_grooving,
    grooving,
    inside_grooving,
    nosed,
    profiling,
    tap,
    turning,
)
from judge.thread_work import threading_tools


def draw_tools(rng: Random, ends: list[End], fault: str, amount: float, width: float, nose: float,
               turns: dict[int, str], worn: bool
               ) -> list[Tool]:  # fmt: skip
    deepest = max(e.depth for e in ends)
    side = round(rng.uniform(max(4.0, deepest + 1.5), 9.0), 1)
    if fault == "short-edge":
        side = round(max(1.8, deepest + 1.0 - amount * 0.6), 2)
    compensated = max(end.compensated for end in ends)
    end_angle = rng.choice((4.0, 5.0, 7.0))
    tools = [turning(1, side, 6.0, end_angle, 0.0 if compensated else nose)]
    if any(end.pocket for end in ends):
        tools = [profiling(1, side, 23.0)]
    if any(end.face_pocket for end in ends):
        tools = [profiling(1, side, 23.0, side_angle=62.0)]
    if compensated:
        tools[0] = nosed(tools[0], compensated)
    heel = round(rng.uniform(16.0, 36.0), 1)
    dive = math.degrees(math.atan(ends[0].recess))
    if ends[0].recess and abs(heel - dive) < 8.0:
        heel = round(dive + (8.0 if heel > dive or dive < 26.0 else -8.0), 1)
    steep = 62.0 if any(end.face_pocket for end in ends) else 87.0
    tools.append(profiling(2, 8.0, heel, side_angle=steep))
    if compensated:
        tools[1] = nosed(tools[1], compensated)
    groove = ends[0].groove
    deep = groove.surface - groove.bottom if groove else 5.0
    high = max(0.0, ends[0].raw - groove.surface) if groove else 0.0
    reach = round(deep + high + rng.uniform(1.0, 6.0), 2)
    blade = width - 0.6 if rng.random() < 0.05 else width
    if fault == "short-reach":
        reach = round(max(1.2, deep + 1.0 - amount * 0.7), 2)
    if fault == "wide-blade":
        blade = round(width + 0.8 + amount * 0.3, 2)
    tools.append(grooving(3, width, blade, reach, rng))
    hole = next((e.bore for e in ends if e.bore), None)
    if hole is not None:
        tools.append(drill(4, hole.drill_r * 2, round(hole.drill_depth + rng.uniform(3, 30), 1)))
        bar = hole.bar + (amount if fault == "thick-bar" else 0.0)
        tools.append(boring(5, round(bar, 2), hole.bore_r - hole.drill_r + 1.0))
        if compensated:
            tools[-1] = nosed(tools[-1], compensated, below=True)
        inner = hole.groove
        if inner is not None:
            bar = inner.bar + (amount * 0.6 if fault == "thick-bar" else 0.0)
            reach = inner.reach - (amount * 0.5 if fault == "short-reach" else 0.0)
            tools.append(
                inside_grooving(7, inner.width, round(max(0.5, reach), 2), round(bar, 2))
            )  # fmt: skip
    slope = max(math.degrees(math.atan(end.back)) for end in ends)
    if any(end.outward for end in ends):
        slope = max(slope, 25.0)
    if slope > 0:
        steep = slope + (rng.uniform(4.0, 10.0) if rng.random() < 0.75 else -8.0)
        left = profiling(6, 8.0, round(steep, 1), 11.0)
        tools.append(away(nosed(left, compensated) if compensated else left))
    ring = next((e.ring for e in ends if e.ring), None)
    if ring is not None:
        deep = max(e.ring.depth for e in ends if e.ring) + rng.uniform(0.5, 4.0)
        if fault == "short-reach":
            deep -= amount * 0.7
        tools.append(face_grooving(8, ring.tool_width, round(max(1.0, deep), 2)))
    tapped = [end.tapped for end in ends if end.tapped]
    if tapped:
        # One tap serves both ends: the other one's hole may be too small for it.
        one = tapped[0]
        tools.append(tap(11, one.hole, one.crest, round(one.depth + rng.uniform(3.0, 20.0), 1)))
    tools += threading_tools(ends)
    if worn:
        worn_one = rng.choice([t for t in tools if not {"drill", "tap"} & t.keys()])
        worn_one["wear"] = rng.choice((0.05, 0.1, 0.2))
    for tool in tools:
        tool["cuts_with"] = turns[tool["station"]]
        place = ends[0].extras.geometry.get(tool["station"])
        if place is not None:
            tool["geometry"] = {"x": place[1] * 2, "z": place[0]}
    return tools
