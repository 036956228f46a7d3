"""The arrow: a table of motions and the tools' shapes to the areas each motion sweeps.

Frame: the section (z, r), r at least 0 once folded, millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Kind, Motions, Path
from standclear.sweeps.areas import on_grid, union
from standclear.sweeps.chain import Pieces, join_pieces, no_pieces
from standclear.sweeps.clip import clipped
from standclear.sweeps.corner import rounded_corners
from standclear.sweeps.cut import cut_sweeps, rim_cuts
from standclear.sweeps.fold import Fold, mirrored
from standclear.sweeps.outline import Outline, drawn_in, inset
from standclear.sweeps.strike import (
    anywhere_sweeps,
    body_sweeps,
    following_sweeps,
    standing,
)
from standclear.sweeps.thread import thread_sweeps
from standclear.tools.shape import OUTLINE_ERROR_MM, ToolShape

ON_AXIS_MM = 1e-6
"""A drill cuts only while its point stays this near to the axis; elsewhere a feed of it strikes."""
MOST_KEPT = 512
"""Areas of runs of cuts that are kept at once."""
ON_CENTRE = frozenset({"drill", "tap"})
"""Kinds of tools that this holds for."""


@dataclass(frozen=True)
class Tooling:
    """A called tool as the sweeps need it: its shape and the spindle direction it cuts with."""

    shape: ToolShape
    cuts_with: int
    """A `Spindle` value."""


@dataclass(frozen=True)
class Sweeps:
    """Polygons in order of motion, clipped to the reach asked for.

    `strike[k]` is part of what motion `strike_motion[k]` must find empty (R, touching allowed);
    `cut[k]` part of what motion `cut_motion[k]` cuts (F). In one motion R comes before F.
    """

    strike: NDArray[np.object_]
    strike_motion: NDArray[np.int64]
    cut: NDArray[np.object_]
    cut_motion: NDArray[np.int64]
    count: int
    """Number of motions."""

    def until(self, motion: int) -> Sweeps:
        """Sweeps of the motions before number `motion` only."""
        r = int(np.searchsorted(self.strike_motion, motion))
        f = int(np.searchsorted(self.cut_motion, motion))
        return Sweeps(
            self.strike[:r],
            self.strike_motion[:r],
            self.cut[:f],
            self.cut_motion[:f],
            min(motion, self.count),
        )

    def cut_between(self, begin: int, end: int) -> BaseGeometry:
        """The area of `cut[begin:end]`: made once, for every blank asks for the same runs."""
        if (begin, end) not in self._areas:
            if len(self._areas) >= MOST_KEPT:
                self._areas.clear()
            self._areas[begin, end] = union(self.cut[begin:end])
        return self._areas[begin, end]

    @cached_property
    def _areas(self) -> dict[tuple[int, int], BaseGeometry]:
        return {}


def least_contact_limit(motions: Motions) -> float:
    """Twice what outlines and chords may be wrong by, mm: the contact limit must be more."""
    return 2 * (OUTLINE_ERROR_MM + float(motions.sagitta.max(initial=0.0)))


def sweep(
    motions: Motions,
    tools: Sequence[Tooling | None],
    contact_limit: float,
    reach: tuple[float, float, float, float],
    *,
    cut_inset: Sequence[float] | None = None,
    crest_error: float = 0.0,
    rapid_corner: float = 0.0,
    true_outline: bool = False,
) -> Sweeps:
    """Sweep every motion.

    tools: for each tool index of the table its shape, None where it is not known: such motions
    sweep nothing, and the caller must call the answer unproven.
    contact_limit: mm that the outline is inset for R: touching is not striking; more than
    `least_contact_limit`.
    reach: (z_min, r_min, z_max, r_max), mm: nothing outside it is built.
    cut_inset: mm that each tool may lie off along either axis where it cuts (wear); 0 where left
    out.
    crest_error: mm by which the crest of a thread may stand further out for the tool that cuts it.
    rapid_corner: mm within which corners between rapids are rounded.
    true_outline: sweep R from the outline itself, to measure how deep it stands in something; such
    sweeps decide nothing, since they strike what they only touch.

    A motion of no length cuts nothing. A way that runs along a border cut before, or whose tool
    meets it in a corner only, strikes nothing: less than the contact limit is touching. All this
    holds to `GRID_MM` as far as 1e5 mm from zero, and steps of a tenth of a micrometre sweep what
    the way that they add up to does.

    Raises ValueError where the sagittas leave nothing of the contact limit.
    """
    worst = float(motions.sagitta.max(initial=0.0))
    if not true_outline and contact_limit <= least_contact_limit(motions):
        raise ValueError(
            f"contact limit {contact_limit} mm: give more than {least_contact_limit(motions):.4f} "
            "mm, twice what arcs may be wrong by"
        )
    strikes, cuts = [no_pieces()], [no_pieces()]
    for index, tooling in enumerate(tools):
        worn = 0.0 if cut_inset is None else cut_inset[index]
        for error in (0.0, worst) if worst > 0 else (0.0,):
            # Lines are swept as they are; chords stand for arcs that leave them by `error`.
            rows = np.flatnonzero((motions.tool == index) & ((motions.sagitta > 0) == (error > 0)))
            if tooling is None or len(rows) == 0:
                continue
            inset_r = 0.0 if true_outline else contact_limit - error
            insets = (inset_r, error, worn, crest_error)
            r, f = _of_tool(motions, rows, tooling, insets, reach)
            strikes.append(_clipped(r, reach))
            cuts.append(_clipped(f, reach))
        if tooling is not None and rapid_corner > 0:
            by = 0.0 if true_outline else contact_limit
            body = inset(Outline(tooling.shape.outer, tooling.shape.outer_cuts), by)
            corner = rounded_corners(body, motions, index, rapid_corner)
            strikes.extend(_clipped(r, reach) for r in (corner, mirrored(corner)))
    strike, strike_motion = join_pieces(strikes)
    cut, cut_motion = join_pieces(cuts)
    return Sweeps(strike, strike_motion, cut, cut_motion, len(motions))


def _of_tool(
    motions: Motions,
    rows: NDArray[np.int64],
    tooling: Tooling,
    insets: tuple[float, float, float, float],
    reach: tuple[float, float, float, float],
) -> tuple[Pieces, Pieces]:
    """(R, F) of one tool's motions by motion, not yet clipped. `insets` of the body, and of the
    edges for chords and for wear; last the error of crests."""
    shape = tooling.shape
    body_inset, chord_inset, worn, crest_error = insets
    outer = Outline(shape.outer, shape.outer_cuts)
    inner = Outline(shape.inner, shape.inner_cuts)
    extent = np.array([shape.outer.min(axis=0), shape.outer.max(axis=0)])
    rows = rows[_within(motions.start[rows], motions.end[rows], extent, reach)]
    if len(rows) == 0:
        return no_pieces(), no_pieces()
    body = inset(outer, body_inset)
    edges = tuple(e for o in inset(inner, chord_inset) for e in drawn_in(o, worn))
    fold = Fold(body, (inner,), shape.cutting_part)

    kind, path = motions.kind[rows], motions.path[rows]
    start, end = motions.start[rows], motions.end[rows]
    cutting = (kind == Kind.FEED) & (motions.spindle[rows] == tooling.cuts_with)
    if shape.kind in ON_CENTRE:
        cutting &= (np.abs(start[:, 1]) <= ON_AXIS_MM) & (np.abs(end[:, 1]) <= ON_AXIS_MM)
    free = (kind == Kind.RAPID) | ((kind == Kind.FEED) & ~cutting)
    appears = kind == Kind.APPEAR
    # Any way inside a rectangle without width is the straight one.
    along_axis = (start == end).any(axis=1)
    straight = free & ((path == Path.STRAIGHT) | along_axis)
    anywhere = free & ~straight

    strikes: list[Pieces] = []

    def add(mask: NDArray[np.bool_], pieces: Pieces) -> None:
        strikes.append((pieces[0], rows[mask][pieces[1]]))

    for mask, pieces in (
        (appears, standing(body, start[appears])),
        (straight, body_sweeps(body, start[straight], end[straight])),
        (anywhere, anywhere_sweeps(body, start[anywhere], end[anywhere])),
    ):
        add(mask, pieces)
        add(mask, mirrored(pieces))
    if cutting.any():
        add(cutting, following_sweeps(body, edges, start[cutting], end[cutting]))
        add(cutting, fold.of_feeds(start[cutting], end[cutting]))
    thread = cutting & (motions.crest[rows] > 0)
    if thread.any():
        crest = motions.crest[rows] + crest_error
        add(
            thread,
            thread_sweeps(
                body, shape.cutting_part, body_inset, start[thread], end[thread], crest[thread]
            ),
        )

    # Between the crests of a thread the hole keeps its size: a tap opens nothing.
    credited = cutting & motions.credited[rows] & (shape.kind != "tap")
    cut, local = cut_sweeps(edges, start[credited], end[credited])
    cuts = [(cut, rows[credited][local])]
    if chord_inset > 0:
        last = credited & (np.append(motions.sagitta, 0.0)[rows + 1] == 0)
        there = drawn_in(inner, worn)
        rim, local = rim_cuts(edges, there, chord_inset, start[last], end[last])
        cuts.append((rim, rows[last][local]))
    return join_pieces(strikes), join_pieces(cuts)


def _within(
    start: NDArray[np.float64],
    end: NDArray[np.float64],
    extent: NDArray[np.float64],
    reach: tuple[float, float, float, float],
) -> NDArray[np.bool_]:
    """Rows whose tool may come inside the reach, on this side of the axis or folded over."""
    low = np.minimum(start, end) + extent[0]
    high = np.maximum(start, end) + extent[1]
    meets: NDArray[np.bool_] = (
        (low[:, 0] < reach[2])
        & (high[:, 0] > reach[0])
        & (low[:, 1] < reach[3])
        & (high[:, 1] > -reach[3])
    )
    return meets


def _clipped(pieces: Pieces, reach: tuple[float, float, float, float]) -> Pieces:
    """Pieces inside the reach, their corners on the grid of areas; those across its border are cut
    there, and lines are left out."""
    polygons, rows = pieces
    if len(polygons) == 0:
        return pieces
    bounds = shapely.bounds(polygons)
    z_min, r_min, z_max, r_max = reach
    keep = (
        (bounds[:, 0] < z_max)
        & (bounds[:, 2] > z_min)
        & (bounds[:, 1] < r_max)
        & (bounds[:, 3] > r_min)
        & (shapely.area(polygons) > 0)
    )
    polygons, rows, bounds = polygons[keep], rows[keep], bounds[keep]
    across = (
        (bounds[:, 0] < z_min)
        | (bounds[:, 2] > z_max)
        | (bounds[:, 1] < r_min)
        | (bounds[:, 3] > r_max)
    )
    if across.any():
        polygons = polygons.copy()
        polygons[across] = clipped(polygons[across], reach)
    polygons = on_grid(polygons)
    solid = shapely.area(polygons) > 0
    return polygons[solid], rows[solid]
