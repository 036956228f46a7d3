"""What a tool cuts and what of it must find empty, worked out from its outline and edge flags."""

from __future__ import annotations

from collections.abc import Iterable

from standclear.audit.exact import (
    Convex,
    Corner,
    Line,
    Point,
    hull,
    inside_of,
    left_of,
    length_at_least,
    length_at_most,
    line_through,
    mirrored,
    moved,
    rectangle,
    reversed_line,
    value,
    winds_around,
    without,
)
from standclear.audit.read import Refused, Tool

CIRCLE = ((5, 0), (4, 3), (3, 4), (0, 5), (-3, 4), (-4, 3), (-5, 0), (-4, -3), (-3, -4), (0, -5),
          (3, -4), (4, -3))  # fmt: skip
"""Points on a circle of radius 5."""


class Shape:
    """A tool with its body checked against its outline: `rim` is how far in from its border it may
    touch metal."""

    def __init__(self, tool: Tool, rim: int) -> None:
        self.tool = tool
        self.body = tuple(_solid(ring, f"{tool.name}: a part of its body") for ring in tool.body)
        self._edges = tuple(zip(tool.edges, (*tool.edges[1:], tool.edges[0]), strict=True))
        self._insert = _solid(tool.insert, f"{tool.name}: its insert")
        self._inside: dict[int, list[Convex]] = {}
        self._usable: dict[tuple[Point, int, int | None], frozenset[int]] = {}
        self._check(rim)

    def _check(self, rim: int) -> None:
        """The body and a rim along the outline hold all of the tool, and its cutting edges."""
        tool = self.tool
        if rim <= 0:
            raise Refused(f"{tool.name}: arcs are followed no finer than the contact limit")
        circle = [(z * rim // 5 if z > 0 else -(-z * rim // 5),
                   r * rim // 5 if r > 0 else -(-r * rim // 5)) for z, r in CIRCLE]  # fmt: skip
        rims = [
            _solid([(z + dz, r + dr) for z, r in pair for dz, dr in circle], tool.name)
            for pair in zip(tool.outline, (*tool.outline[1:], tool.outline[0]), strict=True)
        ]
        z, r = zip(*tool.outline, strict=True)
        room = rectangle((min(z) - 1, min(r) - 1, max(z) + 1, max(r) + 1))
        assert room is not None
        # What is left runs nowhere across the outline, for the rims hold that on both its sides.
        for area in without([room], (*self.body, *rims)):
            if winds_around(tool.outline, inside_of(area)):
                raise Refused(f"{tool.name}: its body leaves out some of its outline")
        for pair in (pair for pair, cuts in zip(self._edges, tool.cuts, strict=True) if cuts):
            for point in pair:
                if not any(_holds(area, point) for area in (*self.body, *rims)):
                    raise Refused(f"{tool.name}: a cutting edge stands out of its outline")
            if not winds_around(tool.outline, _behind_middle(*pair, rim)):
                raise Refused(f"{tool.name}: a cutting edge has no tool behind it")

    def leads(self, way: Point) -> frozenset[int]:
        """Cutting edges that face the way the tool travels."""
        return frozenset(
            k
            for k, ((z0, r0), (z1, r1)) in enumerate(self._edges)
            if self.tool.cuts[k] and (r1 - r0) * way[0] - (z1 - z0) * way[1] > 0
        )

    def clears(self, part: int, way: Point, over: int | None) -> frozenset[int]:
        """Leading edges that have passed a point before this part of the body comes to it.

        An edge has, where the part lies behind its line in the band that it sweeps. With `over` the
        part's mirror image is meant, the controlled point moving at (along the axis) or through
        radius `over`.

        Across the axis the image of a point of the part lies at least as far behind an edge that
        faces the axis as the point itself: an edge never comes back to what it has passed.
        """
        key = (way, part, over if way[1] == 0 else None if over is None else 0)
        if key not in self._usable:
            self._usable[key] = frozenset(
                k for k in self.leads(way) if self._behind(self.body[part], k, way, over)
            )
        return self._usable[key]

    def _behind(self, part: Convex, edge: int, way: Point, over: int | None) -> bool:
        start, end = self._edges[edge]
        within: Convex | None = part
        if over is not None and way[1] == 0:
            within = left_of(moved(mirrored(part), (0, -2 * over)), ((0, 1, over),))
        elif over is not None and end[0] < start[0]:
            return False
        if over is None or 0 in way:
            within = left_of(within, _band((start, end), way, 0))
        line = line_through(start, end)
        return within is None or all(value(line, corner) >= 0 for corner in within.corners)

    def cut(self, edges: frozenset[int], start: Point, way: Point, sagitta: int) -> list[Convex]:
        """What the given leading edges sweep from `start`.

        Where the tool may leave its way by `sagitta`, what each chain of edges sweeps is drawn in
        by that at both its sides: a point between them the chain cannot get around.
        """
        found: list[Convex | None] = []
        for chain in self._chains(edges):
            swept = [
                hull((z + s * way[0], r + s * way[1]) for z, r in self._edges[k] for s in (0, 1))
                for k in chain
            ]
            if sagitta:
                ends = (self._edges[chain[0]][0], self._edges[chain[-1]][1])
                band = _band(ends, way, sagitta * length_at_most(way))
                swept = [left_of(area, band) for area in swept]
            found.extend(swept)
        return [moved(area, start) for area in found if area is not None]

    def inside_edges(self, at: Point, within: int) -> list[Convex]:
        """What of the tool lies within so much of its cutting edges."""
        if within not in self._inside:
            found = []
            for k in (k for k, cuts in enumerate(self.tool.cuts) if cuts):
                (z0, r0), (z1, r1) = self._edges[k]
                long = length_at_most((z1 - z0, r1 - r0))
                z, r = ((v * within + long - 1) // long if v < 0 else v * within // long
                        for v in (r0 - r1, z1 - z0))  # fmt: skip
                found.append(hull(((z0, r0), (z1, r1), (z0 + z, r0 + r), (z1 + z, r1 + r))))
            self._inside[within] = [area for area in found if area is not None]
        return [moved(area, at) for area in self._inside[within]]

    def _chains(self, edges: frozenset[int]) -> list[list[int]]:
        count = len(self._edges)
        chains = []
        for first in sorted(k for k in edges if (k - 1) % count not in edges):
            chain = [first]
            while (chain[-1] + 1) % count in edges:
                chain.append((chain[-1] + 1) % count)
            chains.append(chain)
        return chains

    def in_thread(self, way: Point, crest: int, rim: int) -> list[Convex]:
        """The body less what of the insert lies within `crest` of the way of the tip, across the
        axis that the way mostly runs along. `rim` is given to the insert."""
        z, r = way
        deep = crest * max(abs(z), abs(r))
        lines: list[Line] = [(-r, z, deep), (r, -z, deep)]
        lines += [(a, b, c + rim * length_at_least((a, b))) for a, b, c in self._insert.edges]
        left: list[Convex] = []
        for part in self.body:
            rest: Convex | None = part
            beyond: list[Convex] = []
            for line in lines:
                outside = left_of(rest, (reversed_line(line),))
                beyond += [outside] if outside is not None else []
                rest = left_of(rest, (line,))
            left += beyond if rest is not None else [part]
        return left


def _band(ends: tuple[Point, Point], way: Point, drawn_in: int) -> tuple[Line, Line]:
    """Between the ways of both ends of a leading edge or chain; `drawn_in` is a distance times the
    length of the way."""
    z, r = way
    across = sorted(z * p[1] - r * p[0] for p in ends)
    return (-r, z, -across[0] - drawn_in), (r, -z, across[1] - drawn_in)


def _behind_middle(start: Point, end: Point, by: int) -> Corner:
    """A point to the left of the middle of an edge, at most so far from it; the middle itself of an
    edge without length."""
    z, r = end[0] - start[0], end[1] - start[1]
    long = length_at_most((z, r))
    return (
        (start[0] + end[0]) * long - 2 * r * by,
        (start[1] + end[1]) * long + 2 * z * by,
        2 * long,
    )


def _holds(area: Convex, point: Point) -> bool:
    return all(value(line, (*point, 1)) >= 0 for line in area.edges)


def _solid(points: Iterable[Point], what: str) -> Convex:
    area = hull(points)
    if area is None:
        raise Refused(f"{what} has no area")
    return area
