"""What a drawing of a set-up looks at: the strikes by block, else the nearest approach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely import affinity
from shapely.geometry import LineString, Polygon
from shapely.geometry import box as shapely_box
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points, unary_union

from standclear.blocks.program import Block
from standclear.drawing.shapes import Box
from standclear.findings.finding import Finding
from standclear.motions.table import FAR, Path
from standclear.proof.result import Approach, SetupProof, Strike
from standclear.proof.tool_place import PLACES_TRIED, arriving, corner_gap, tool_at
from standclear.report.sizes import length
from standclear.report.words import gap_words

MARKS = 4
"""Most strikes that get a number of their own; the others are drawn without."""


SLENDER = 6.0
"""Of a strike more slender than this only the outer end is shown in the detail."""
LEAST_WINDOW = 0.02
"""Least air around the place that matters in its detail, mm."""


@dataclass(frozen=True)
class ObstacleGap:
    """A tool that passes too near to an obstacle: the tool there, and the two nearest points."""

    motion: int
    tool: BaseGeometry
    obstacle: str
    gap: float
    here: tuple[float, float]
    there: tuple[float, float]


@dataclass(frozen=True)
class Hit:
    """The strikes of one block, as one numbered thing to draw."""

    number: int
    motion: int
    overlap: BaseGeometry
    """Where all strikes of the block are."""
    deepest: BaseGeometry
    """Where the deepest of them is: that of `motion` and of the two depths."""
    depth_x: float
    depth_z: float
    against: str
    part: str
    line: int | None
    words: str


@dataclass(frozen=True)
class Focus:
    """What the views of a set-up are about: its strikes; else a gap to an obstacle that is too
    small; else the nearest approach. `motion` is -1 and `tool` empty where there is nothing."""

    hits: tuple[Hit, ...]
    gap: ObstacleGap | None
    near: Approach | None
    motion: int
    tool: BaseGeometry

    @property
    def window(self) -> Box | None:
        """(z_min, r_min, z_max, r_max) of the place that matters, with air around it."""
        if self.hits:
            z0, r0, z1, r1 = self.hits[0].deepest.bounds
            z0 = max(z0, z1 - SLENDER * (r1 - r0))
            r0 = max(r0, r1 - SLENDER * (z1 - z0))
            least = 0.0
        elif self.gap is not None:
            z0, r0, z1, r1 = LineString([self.gap.here, self.gap.there]).bounds
            least = self.gap.gap
        elif self.near is not None:
            z, r = self.near.position
            reach_z, reach_r = self.near.gap_z, self.near.gap_radial
            if reach_z is None and reach_r is None:
                reach_z = reach_r = self.near.gap
            z0, r0, z1, r1 = z - (reach_z or 0.0), r - (reach_r or 0.0), z, r
            least = self.near.gap
        else:
            return None
        air = max(z1 - z0, r1 - r0, least, LEAST_WINDOW)
        return (z0 - air, r0 - air, z1 + air, r1 + air)


def focus_of(setup: SetupProof, findings: Sequence[Finding]) -> Focus:
    """What to draw of a set-up, `findings` being its own."""
    found = hits(setup)
    if found:
        tool = tool_at(setup, found[0].motion, found[0].deepest)
        return Focus(found, None, None, found[0].motion, tool)
    gap = obstacle_gap(setup, findings)
    near = nearest(setup)
    if gap is not None:
        return Focus((), gap, near, gap.motion, gap.tool)
    if near is None:
        return Focus((), None, None, -1, Polygon())
    motion = arriving(setup, near)
    return Focus((), None, near, motion, tool_at(setup, motion, None))


def focus_at(setup: SetupProof, motion: int) -> Focus:
    """The tool at the end of one motion, and what it strikes there.

    Raises IndexError where the set-up has no such motion.
    """
    if not 0 <= motion < len(setup.trace.motions):
        raise IndexError(motion)
    block = _block_of(setup, motion)
    found = tuple(
        hit
        for hit in hits(setup)
        if hit.motion == motion or (block >= 0 and _block_of(setup, hit.motion) == block)
    )
    return Focus(found, None, None, motion, tool_at(setup, motion, None))


def hits(setup: SetupProof) -> tuple[Hit, ...]:
    """The strikes of a set-up block by block, in the order in which they happen."""
    groups: dict[tuple[int, str], list[Strike]] = {}
    for strike in sorted(setup.strikes, key=lambda s: s.motion):
        groups.setdefault((_block_of(setup, strike.motion), strike.against), []).append(strike)
    found = []
    for number, ((block, against), strikes) in enumerate(groups.items(), 1):
        deepest = max(strikes, key=lambda s: min(s.depth_x, s.depth_z))
        written = setup.program.blocks[block] if 0 <= block < len(setup.program.blocks) else None
        found.append(
            Hit(
                number=number,
                motion=deepest.motion,
                overlap=unary_union([s.overlap for s in strikes]),
                deepest=deepest.overlap,
                depth_x=deepest.depth_x,
                depth_z=deepest.depth_z,
                against=against,
                part=deepest.part.value,
                line=written.line if written and not written.file else None,
                words=_written_words(written),
            )
        )
    return tuple(found)


def _written_words(block: Block | None) -> str:
    """The block, with its place where another file than the set-up's program holds it."""
    if block is None:
        return ""
    return f"{block.file} line {block.line}: {block.text}" if block.file else block.text


def nearest(setup: SetupProof) -> Approach | None:
    """The approach with the least gap, to metal if there is one."""
    placed = [a for a in setup.approaches if max(map(abs, a.position)) < FAR / 2]
    to_metal = [a for a in placed if a.against == "metal"]
    return min(to_metal or placed, key=lambda a: a.gap, default=None)


def hit_words(hit: Hit, units: str) -> str:
    """`1  line 8: G00 X50.8 Z1.5 - tool in rapid, in metal 0.6 mm in X, 1.0 mm in Z`."""
    where = f"line {hit.line}: {hit.words}" if hit.line else hit.words or "before the first block"
    what = hit.part if hit.against == "metal" else "tool"
    return (
        f"{where} - {what} meets {hit.against}: X {length(2 * hit.depth_x, units)} "
        f"on diameter, {length(hit.depth_x, units)} radial; Z {length(hit.depth_z, units)}"
    )


def approach_words(setup: SetupProof, near: Approach, units: str) -> str:
    """`line 8: G00 X57.2 Z5. - nearest to metal: X ...`."""
    return (
        f"{near.place.in_words}: {near.place.words} - nearest to {near.against}: "
        f"{gap_words(near, units, corner_gap(setup, near))}"
    )


def obstacle_gap(setup: SetupProof, findings: Sequence[Finding]) -> ObstacleGap | None:
    """The first finding of a tool too near to an obstacle, as a place to draw; None without one."""
    for finding in findings:
        wanted = [m.value for m in finding.measures if m.name == "gap"]
        if finding.code != "jaws-near" or finding.motion < 0 or not wanted:
            continue
        solid = {n: g for n, g in setup.obstacles.items() if not g.is_empty}
        best: tuple[float, str, BaseGeometry] | None = None
        for tool in _tools_along(setup, finding.motion):
            for name, geometry in solid.items():
                far = tool.distance(geometry)
                if best is None or far < best[0] - 1e-9:
                    best = (far, name, tool)
        if best is not None:
            _, name, tool = best
            here, there = nearest_points(tool, solid[name])
            return ObstacleGap(
                finding.motion, tool, name, float(wanted[0]), (here.x, here.y), (there.x, there.y)
            )
    return None


def _tools_along(setup: SetupProof, motion: int) -> list[BaseGeometry]:
    motions = setup.trace.motions
    start, end = motions.start[motion], motions.end[motion]
    outline = setup.tool_outlines[int(motions.tool[motion])] if setup.tool_outlines else Polygon()
    if outline.is_empty or (np.abs(end) >= FAR / 2).any():
        return []
    shares = [1.0] if (np.abs(start) >= FAR / 2).any() else np.linspace(1.0, 0.0, PLACES_TRIED)
    places = [start + share * (end - start) if share < 1.0 else end for share in shares]
    return [affinity.translate(outline, float(z), float(r)) for z, r in places]


def _block_of(setup: SetupProof, motion: int) -> int:
    rows = setup.trace.motions.block
    return int(rows[motion]) if 0 <= motion < len(rows) else -1


def path_of(setup: SetupProof, motion: int) -> tuple[BaseGeometry, bool]:
    """The way of the controlled point in the block of a motion, up to its end, and whether it is
    known: where it is not, the outline of all places it may take."""
    motions = setup.trace.motions
    if not 0 <= motion < len(motions):
        return LineString(), True
    start, end = motions.start[motion], motions.end[motion]
    unknown = motions.path[motion] == Path.ANYWHERE or (np.abs(start) >= FAR / 2).any()
    if unknown:
        low, high = np.minimum(start, end), np.maximum(start, end)
        if (high - low).min() <= 0:
            return LineString([tuple(start), tuple(end)]), False
        return shapely_box(low[0], low[1], high[0], high[1]), False
    first = motion
    while (
        first > 0
        and motions.block[first - 1] == motions.block[motion]
        and motions.kind[first - 1] == motions.kind[motion]
        and motions.tool[first - 1] == motions.tool[motion]
        and motions.call[first - 1] == motions.call[motion] == -1
        and (np.abs(motions.start[first - 1]) < FAR / 2).all()
    ):
        first -= 1
    points = [tuple(motions.start[first]), *(tuple(p) for p in motions.end[first : motion + 1])]
    return LineString(points), True
