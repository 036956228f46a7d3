"""A section read by sample points, stepped through in time; shares nothing with the sweeps.

The tool is moved along every motion in small steps. A point of metal that comes to lie in it was
met by the edge that its way out, straight ahead in the direction of travel, crosses first: a
cutting edge in feed cuts it, anything else strikes it, if it lies deeper than the contact limit.
A point on the far side of the axis turns with the blank: its mirror image in the tool strikes,
unless the tool covers the point itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from section_shop import LIMIT, Row

from standclear.motions.table import Kind, Path
from standclear.tools.shape import ToolShape

STEP = 0.04
GRID = 0.25
"""Steps along a known way; between places in a rectangle, mm."""
METAL, CUT, STRUCK = 0, 1, 2
Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


def inside(outline: Floats, points: Floats) -> Flags:
    """Points that a ray towards +r leaves the outline an odd number of times from."""
    z, r = points.T
    odd = np.zeros(len(points), dtype=bool)
    for (z0, r0), (z1, r1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if z0 != z1:
            at = r0 + (z - z0) * (r1 - r0) / (z1 - z0)
            odd ^= ((z0 <= z) != (z1 <= z)) & (at > r)
    return odd


def depth(outline: Floats, points: Floats) -> Floats:
    """Distance of each point from the nearest edge of the outline."""
    near = np.full(len(points), np.inf)
    for a, b in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        share = np.clip((points - a) @ (b - a) / ((b - a) @ (b - a)), 0.0, 1.0)
        near = np.minimum(near, np.hypot(*(points - a - share[:, None] * (b - a)).T))
    return near


def leaves_by_cutting_edge(tool: ToolShape, points: Floats, ahead: Floats) -> Flags:
    """Points in the tool that leave it, going straight ahead, across a cutting edge."""
    first = np.full(len(points), np.inf)
    cuts = np.zeros(len(points), dtype=bool)
    for k, (a, b) in enumerate(zip(tool.outer, np.roll(tool.outer, -1, axis=0), strict=True)):
        edge = b - a
        cross = ahead[0] * edge[1] - ahead[1] * edge[0]
        if cross == 0.0:
            continue
        off = a - points
        way = (off[:, 0] * edge[1] - off[:, 1] * edge[0]) / cross
        along = (off[:, 0] * ahead[1] - off[:, 1] * ahead[0]) / cross
        met = (way > 0) & (along >= 0) & (along <= 1) & (way < first)
        first[met] = way[met]
        cuts[met] = tool.outer_cuts[k]
    return cuts


def places(row: Row) -> Iterator[Floats]:
    """Where the controlled point stands, step by step."""
    kind, path, a, b = row[0], row[1], np.array(row[2], float), np.array(row[3], float)
    if kind == Kind.RAPID and path == Path.ANYWHERE:
        for z in np.linspace(a[0], b[0], 1 + int(abs(b[0] - a[0]) / GRID)):
            for r in np.linspace(a[1], b[1], 1 + int(abs(b[1] - a[1]) / GRID)):
                yield np.array([z, r])
        return
    for share in np.linspace(0.0, 1.0, 1 + int(np.ceil(np.hypot(*(b - a)) / STEP))):
        yield a + share * (b - a)


def read_by_points(tool: ToolShape, rows: Sequence[Row], points: Floats) -> NDArray[np.int64]:
    """METAL, CUT or STRUCK for each point after all rows."""
    state = np.full(len(points), METAL)
    mirror = points * (1.0, -1.0)
    for row in rows:
        travel = np.subtract(row[3], row[2])
        length = float(np.hypot(*travel))
        feeds = row[0] == Kind.FEED
        if feeds and length == 0.0:
            continue
        for at in places(row):
            live = np.flatnonzero(state == METAL)
            seen = points[live] - at
            covered = inside(tool.outer, seen)
            deep = covered.copy()
            deep[covered] = depth(tool.outer, seen[covered]) > LIMIT
            far = inside(tool.outer, mirror[live] - at)
            far[far] = depth(tool.outer, mirror[live][far] - at) > LIMIT
            if feeds:
                cut = np.zeros(len(live), dtype=bool)
                cut[covered] = leaves_by_cutting_edge(tool, seen[covered], travel / length)
                state[live[cut]] = CUT
                state[live[(deep & ~cut) | (far & ~covered)]] = STRUCK
            else:
                state[live[deep | far]] = STRUCK
    return state
