"""The moves of one set-up as arrays, and the loop that plays them on a section."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from judge.advance import advance, thread
from judge.compiled import loop
from judge.cover import cover
from judge.motion import FAR, Move, Undecided
from judge.raster import HELD_STRIKE, SHIFT, STRIKE, Bools, Floats, Grid, Whole, filled
from judge.section import Section
from judge.shapes import Samples, Shape
from judge.toolbox import Tools

ADVANCE, THREAD, COVER = 0, 1, 2
HOME_MM = 5.0
"""Home is drawn as far beyond all that is in the section as matters, and so much further."""


@dataclass(frozen=True)
class Track:
    """Moves ready to be played, one row each."""

    moves: tuple[Move, ...]
    strange: int | None
    """Station without a tool that is called for after the last of them."""
    ends: Floats
    """(n, 4): z and r of start and end."""
    home: Bools
    """Whether it comes from home or goes there."""
    kinds: NDArray[np.int8]
    active: Bools
    """Whether the edge cuts."""
    crests: Floats
    """(n, 4) of a thread: outward, z, r, slope."""
    outline: NDArray[np.int64]
    """Which outline it takes along."""
    samples: Floats
    """(6, all points of all outlines): z, r, normal, the point moved inwards."""
    flags: Bools
    """(2, the same): cuts, the point moved inwards is still inside."""
    corners: Floats
    """(all corners of all outlines, 2)."""
    edges: NDArray[np.int64]
    """Where the points of each edge begin, each outline's counted from its own first point."""
    begins: NDArray[np.int64]
    """(outlines + 1, 3): where each begins in `samples`, in `corners` and in `edges`."""


def track_of(moves: tuple[Move, ...], tools: Tools) -> Track:
    """The moves of one set-up, up to the first by a tool that there is not."""
    shown: dict[int, tuple[int, tuple[Shape, Samples]]] = {}
    kept: list[Move] = []
    kinds, active, which = [], [], []
    strange = None
    for move in moves:
        if move.station == -1:
            continue
        if move.station not in tools:
            strange = move.station
            break
        shape, points = tools[move.station].shown(move)
        right_way = move.spindle == shape.turns
        kind = ADVANCE
        if move.anywhere:
            kind = COVER
        elif move.thread is not None and right_way and not shape.drill:
            kind = THREAD
        kept.append(move)
        kinds.append(kind)
        active.append(not move.rapid and right_way and (move.on_axis or not shape.drill))
        which.append(shown.setdefault(id(shape), (len(shown), (shape, points)))[0])
    outlines = [pair for _, pair in shown.values()]
    threads = [move.thread for move in kept]
    sizes = [(len(points.z), len(shape.points), len(points.edges)) for shape, points in outlines]
    return Track(
        tuple(kept), strange,
        np.array([(*m.start, *m.end) for m in kept]).reshape(-1, 4),
        np.array([FAR in (*m.start, *m.end) for m in kept], dtype=bool),
        np.array(kinds, dtype=np.int8), np.array(active, dtype=bool),
        np.array([(t.outward, t.z, t.r, t.slope) if t else (0.0,) * 4 for t in threads]
                 ).reshape(-1, 4),
        np.array(which, dtype=np.int64),
        np.hstack([np.empty((6, 0)), *(
            np.array([q.z, q.r, q.nz, q.nr, q.inner_z, q.inner_r]) for _, q in outlines)]),
        np.hstack([np.empty((2, 0), dtype=bool), *(
            np.array([q.cut, q.inner_ok]) for _, q in outlines)]),
        np.vstack([np.empty((0, 2)), *(shape.points for shape, _ in outlines)]),
        np.concatenate([np.empty(0, dtype=np.int64), *(q.edges for _, q in outlines)]),
        np.cumsum([(0, 0, 0), *sizes], axis=0),
    )  # fmt: skip


@loop
def _play(
    grid: Grid, z0: float, p: float, top: Whole, bottom: Whole, held_first: int, held_last: int,
    ends: Floats, home: Bools, kinds: NDArray[np.int8], active: Bools, crests: Floats,
    outline: Whole, samples: Floats, flags: Bools, corners: Floats, edges: Whole,
    begins: Whole, met: Grid,
) -> int:  # fmt: skip
    """Plays the moves up to the first sure strike, and says how many those are; `met` takes what
    each met."""
    last_row, most = -1, -1
    for i in range(len(top)):
        if top[i] >= 0:
            last_row, most = i, max(most, top[i])
    greatest_z = z0 + (last_row + 1) * p
    greatest_r = (most + 1 - SHIFT) * p
    if most < 0:
        greatest_z = greatest_r = 0.0
    for m in range(len(ends)):
        own, after = begins[outline[m]], begins[outline[m] + 1]
        polygon, sides = corners[own[1] : after[1]], edges[own[2] : after[2]]
        az, ar, bz, br = ends[m]
        if home[m]:
            far_z = greatest_z - polygon[:, 0].min() + HOME_MM
            far_r = greatest_r - polygon[:, 1].min() + HOME_MM
            az, ar, bz, br = min(az, far_z), min(ar, far_r), min(bz, far_z), min(br, far_r)
        points, flag = samples[:, own[0] : after[0]], flags[:, own[0] : after[0]]
        if kinds[m] == COVER:
            met[m] = cover(grid, z0, p, top, bottom, az, ar, bz, br, polygon)
        elif kinds[m] == THREAD:
            met[m] = thread(
                grid, z0, p, top, bottom, az, ar, bz, br, points, sides, flag[0], flag[1],
                crests[m, 0], crests[m, 1], crests[m, 2], crests[m, 3],
            )  # fmt: skip
        else:
            met[m] = advance(
                grid, z0, p, top, bottom, held_first, held_last, az, ar, bz, br, points, sides,
                flag[0], flag[1], active[m],
            )  # fmt: skip
        if met[m] & (STRIKE | HELD_STRIKE):
            return m + 1
    return len(ends)


def play(section: Section, track: Track) -> Grid:
    """Plays moves up to the first sure strike: what each met. Raises `Undecided` where it comes to
    a tool that there is not."""
    met = np.zeros(len(track.moves), dtype=np.uint8)
    count = _play(
        section.grid, section.z0, section.p, *filled(section.grid), track.ends, track.home,
        track.kinds, track.active, track.crests, track.outline, track.samples, track.flags,
        track.corners, track.edges, track.begins, met,
    )  # fmt: skip
    struck = count > 0 and met[count - 1] & (STRIKE | HELD_STRIKE)
    if track.strange is not None and not struck:
        raise Undecided(f"no tool at station {track.strange}")
    return met[:count]
