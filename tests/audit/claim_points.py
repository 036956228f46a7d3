"""A certificate's claim tried on sample points of metal; shares nothing with the checker but the
form of what it reads.

Points of the largest blank are followed through every motion, in the tool's own frame, in floats.
A point that first crosses a cutting edge in a cutting feed is gone; one that comes to lie deeper in
a tool than the contact limit, before that, was struck. Where the file leaves something open (a way
in a rectangle, readings of a call, how far a part slides, wear) each try draws it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray

from standclear.audit.exact import Point
from standclear.audit.read import ANYWHERE, FEED, STRAIGHT, Certificate, Row, Stage, Tool

DEEPER = 15_000
"""Nanometres beyond the contact limit from which a strike is beyond doubt."""
TIMES = 17
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Struck:
    """A strike, or metal that the file says is not there."""

    stage: int
    motion: int
    what: str


def strikes(certificate: Certificate, seed: int, count: int) -> list[Struck]:
    """Strikes that one try with so many points finds."""
    rng, random = np.random.default_rng(seed), Random(seed)
    left: dict[int, Floats] = {}
    found: list[Struck] = []
    off = [rng.uniform(-tool.wear, tool.wear, 2) for tool in certificate.tools]
    for number, stage in enumerate(certificate.stages):
        if stage.blank is not None:
            z0, r0, z1, r1 = stage.blank
            metal = rng.uniform((z0, r0), (z1, r1), (count, 2))
        else:
            metal = _carried(stage, certificate, left, rng)
        before: tuple[int, Point] | None = None
        for motion, row in _run(stage, random):
            tool = certificate.tools[row.tool]
            stood = before == (row.tool, row.start)
            before = (row.tool, row.end)
            for start, end in _legs(row, rng):
                metal, hit = _play(metal, row, tool, start + off[row.tool], end + off[row.tool],
                                   certificate.contact_limit, stood)  # fmt: skip
                stood = True
                if hit:
                    found.append(Struck(number, motion, "metal"))
                for name, ring in stage.obstacles:
                    if _meets(ring, tool, start + off[row.tool], end + off[row.tool],
                              certificate.contact_limit, rng):  # fmt: skip
                        found.append(Struck(number, motion, name))
        left[number] = metal
        used = any(s.source and s.source.stage == number for s in certificate.stages)
        if used and (~_in_parts(metal, (*stage.stays, *stage.falls))).any():
            found.append(Struck(number, len(stage.motions), "more metal than said"))
    return found


def _carried(
    stage: Stage, certificate: Certificate, left: dict[int, Floats], rng: np.random.Generator
) -> Floats:
    source = stage.source
    assert source is not None
    before = certificate.stages[source.stage]
    parts = before.falls if source.falls else before.stays
    metal = left[source.stage]
    metal = metal[_in_parts(metal, parts)]
    # Points of what the file says stays, whether or not a sample point of the blank is among them.
    c = float(rng.uniform(source.least, source.most))
    there = np.column_stack([source.sign * metal[:, 0] + c, metal[:, 1]])
    return there if source.face is None else there[there[:, 0] <= source.face]


def _run(stage: Stage, random: Random) -> Iterator[tuple[int, Row]]:
    """The motions that the control makes: of the readings of a call one."""
    chosen: dict[int, int] = {}
    for number, row in enumerate(stage.motions):
        if row.choice >= 0:
            if row.choice not in chosen:
                readings = {r.reading for r in stage.motions if r.choice == row.choice}
                chosen[row.choice] = random.choice(sorted(readings))
            if row.reading != chosen[row.choice]:
                continue
        yield number, row


def _legs(row: Row, rng: np.random.Generator) -> Iterator[tuple[Floats, Floats]]:
    start, end = np.array(row.start, dtype=float), np.array(row.end, dtype=float)
    if row.path == ANYWHERE:
        share = rng.choice([0.0, 1.0, rng.uniform()], 2)
        by = start + share * (end - start)
        yield start, by
        yield by, end
    else:
        yield start, end


def _play(
    metal: Floats, row: Row, tool: Tool, start: Floats, end: Floats, limit: int, stood: bool
) -> tuple[Floats, bool]:
    """The metal after a motion, and whether it struck some.

    Where the motion before has brought the tool to where it `stood`, what the tool then holds was
    tried with that one: of a feed whose cut does not count it has come in over its edges.
    """
    outline = np.array(tool.outline, dtype=float)
    low = np.minimum(start, end) + outline.min(axis=0)
    high = np.maximum(start, end) + outline.max(axis=0)
    near = (metal[:, 0] > low[0]) & (metal[:, 0] < high[0])
    near &= np.abs(metal[:, 1]) < np.maximum(np.abs(low[1]), np.abs(high[1]))
    x = metal[near]
    if len(x) == 0:
        return metal, False
    on_axis = not tool.on_axis or max(abs(row.start[1]), abs(row.end[1])) <= 1
    cutting = row.kind == FEED and row.path == STRAIGHT and row.spindle == tool.spindle and on_axis
    cut_at = np.full(len(x), np.inf)
    if cutting:
        cut_at = _cut_at(x - start, end - start, tool)
    hit = False
    tried = [_deep(outline, x * (1.0, sign) - start, limit) & stood for sign in (1.0, -1.0)]
    for time in np.linspace(0.0, 1.0, TIMES):
        at = start + time * (end - start)
        for sign, before in zip((1.0, -1.0), tried, strict=True):
            there = (cut_at > time) & ~before
            y = x[there] * (1.0, sign) - at
            deep = _deep(outline, y, limit)
            if row.crest > 0 and cutting:
                deep &= ~_in_thread(y, row, tool, limit)
            hit |= bool(deep.any())
    gone = (cut_at <= 1.0) & (row.counted and tool.opens)
    keep = np.ones(len(metal), dtype=bool)
    keep[np.flatnonzero(near)[gone]] = False
    return metal[keep], hit


def _deep(ring: Floats, points: Floats, limit: int) -> Flags:
    """Which points lie so deep in an outline that it is a strike beyond doubt."""
    found: Flags = _depth(ring, points) > limit + DEEPER
    return found


def _cut_at(y: Floats, way: Floats, tool: Tool) -> Floats:
    """When each point first crosses a cutting edge that leads, as a share of the motion."""
    first = np.full(len(y), np.inf)
    ring = np.array(tool.edges, dtype=float)
    for a, b, cuts in zip(ring, np.roll(ring, -1, axis=0), tool.cuts, strict=True):
        edge = b - a
        lead = edge[1] * way[0] - edge[0] * way[1]
        if not cuts or lead <= 0:
            continue
        off = y - a
        time = (edge[1] * off[:, 0] - edge[0] * off[:, 1]) / lead
        along = (way[0] * off[:, 1] - way[1] * off[:, 0]) / lead
        met = (time >= 0) & (time <= 1) & (along >= 0) & (along <= 1)
        first[met] = np.minimum(first[met], time[met])
    return first


def _inside(ring: Floats, points: Floats) -> Flags:
    z, r = points.T
    odd = np.zeros(len(points), dtype=bool)
    for (z0, r0), (z1, r1) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        if z0 != z1:
            odd ^= ((z0 <= z) != (z1 <= z)) & (r0 + (z - z0) * (r1 - r0) / (z1 - z0) > r)
    return odd


def _depth(ring: Floats, points: Floats) -> Floats:
    """How deep each point lies in an outline; 0 outside."""
    near = np.full(len(points), np.inf)
    for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        long = float((b - a) @ (b - a))
        share = np.clip((points - a) @ (b - a) / long, 0.0, 1.0) if long else np.zeros(len(points))
        near = np.minimum(near, np.hypot(*(points - a - share[:, None] * (b - a)).T))
    return np.where(_inside(ring, points), near, 0.0)


def _in_thread(y: Floats, row: Row, tool: Tool, limit: int) -> Flags:
    z, r = row.end[0] - row.start[0], row.end[1] - row.start[1]
    across = np.abs(z * y[:, 1] - r * y[:, 0]) / max(abs(z), abs(r), 1)
    return _inside(np.array(tool.insert, dtype=float), y) & (across <= row.crest + limit)


def _in_parts(points: Floats, parts: tuple[tuple[tuple[int, int], ...], ...]) -> Flags:
    found = np.zeros(len(points), dtype=bool)
    for ring in parts:
        found |= _inside(np.array(ring, dtype=float), points)
    return found


def _meets(
    ring: tuple[tuple[int, int], ...], tool: Tool, start: Floats, end: Floats, limit: int,
    rng: np.random.Generator,
) -> bool:  # fmt: skip
    """Whether the tool comes to lie deep in an obstacle."""
    border = np.array(ring, dtype=float)
    outline = np.array(tool.outline, dtype=float)
    low = np.minimum(start, end) + outline.min(axis=0)
    high = np.maximum(start, end) + outline.max(axis=0)
    first, last = np.maximum(low, border.min(axis=0)), np.minimum(high, border.max(axis=0))
    if (first >= last).any():
        return False
    points = rng.uniform(first, last, (60, 2))
    points = points[_inside(border, points)]
    return any(
        bool(_deep(outline, points - start - t * (end - start), limit).any())
        for t in np.linspace(0.0, 1.0, TIMES)
    )
