"""The keep-out: the region of the section where a program allows no stock.

    K = union over t of ( R_t minus the union of F_s over s < t )

A blank is clear of the program if and only if it does not overlap K, and K does not depend on the
blank. Where tools have wear bounds, one tool's motions are judged against cuts of the other tools
drawn in by both bounds, and the blank is grown by the tool's own: one layer of K a tool.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.motions.table import Motions
from standclear.proof.first_touch import Tree, keep_tree, owners
from standclear.proof.shares import Shares, first_cuts
from standclear.sweeps.areas import (
    EMPTY,
    Areas,
    common,
    commons,
    less,
    union,
    union_by,
    without_noise,
)
from standclear.sweeps.sweep import Sweeps, Tooling, sweep

Reach = tuple[float, float, float, float]


@dataclass(frozen=True)
class Layer:
    """The keep-out of some of the motions, against a blank grown by `grow` mm."""

    tree: Tree
    """The keep-out of groups of motions, by halves; empty where there is none."""
    count: int
    """Number of groups."""
    group: NDArray[np.int64]
    """For each piece of `sweeps.strike` that counts in this layer, its group."""
    pieces: NDArray[np.int64]
    """Indices into `sweeps.strike`, ascending."""
    sweeps: Sweeps
    grow: float

    @property
    def area(self) -> BaseGeometry:
        """The whole keep-out of the layer."""
        return self.tree[-1][0] if self.tree else EMPTY

    def owned(self, region: BaseGeometry) -> Areas:
        """(count,) for each group what of `region` it is the first to strike."""
        return owners(self.tree, region, self.count) if self.tree else np.empty(0, dtype=object)

    def first_strikes(self, blank: BaseGeometry) -> list[int]:
        """Numbers of the motions that are the first to enter some point of `blank`."""
        parts, owner = without_noise(self.owned(blank))
        found: set[int] = set()
        for g in np.unique(owner):
            left = union(parts[owner == g])
            members = self.pieces[self.group == g]
            for piece in members[shapely.intersects(self.sweeps.strike[members], left)]:
                polygon = self.sweeps.strike[piece]
                entered, _ = without_noise(np.array([common(left, polygon)], dtype=object))
                if len(entered):
                    found.add(int(self.sweeps.strike_motion[piece]))
                    left = less(left, polygon)
        return sorted(found)


@dataclass(frozen=True)
class KeepOut:
    """All layers, and what is cut in the end."""

    layers: tuple[Layer, ...]
    reach: Reach
    cut: Sweeps
    """Sweeps whose `cut` pieces may be credited against metal: open readings cut only what all of
    them cut, worn tools only what they surely cut."""
    cut_most: Sweeps
    """Sweeps whose `cut` pieces are all that may be cut."""

    @cached_property
    def surely_cut(self) -> BaseGeometry:
        """All that is cut whatever the readings and the wear."""
        return self.most_cut if self.cut is self.cut_most else union(self.cut.cut)

    @cached_property
    def most_cut(self) -> BaseGeometry:
        """All that may be cut."""
        return union(self.cut_most.cut)

    @cached_property
    def first_cuts(self) -> Shares:
        """What each motion of `cut` is the first to cut."""
        return self.first_cuts_most if self.cut is self.cut_most else first_cuts(self.cut)

    @cached_property
    def first_cuts_most(self) -> Shares:
        """What each motion of `cut_most` is the first to cut."""
        return first_cuts(self.cut_most)

    @property
    def areas(self) -> tuple[BaseGeometry, ...]:
        """The areas that make up the keep-out; layers with wear stand for blanks grown by it."""
        return tuple(layer.area for layer in self.layers)


def keep_out(
    motions: Motions,
    tools: Sequence[Tooling | None],
    wear: Sequence[float],
    contact_limit: float,
    reach: Reach,
    rapid_corner: float = 0.0,
) -> KeepOut:
    """Sweep the motions and find their keep-out within `reach`.

    wear: bound of each tool in mm, plus or minus on each axis; 0 where none is known.
    """
    straight = sweep(motions, tools, contact_limit, reach, rapid_corner=rapid_corner)
    plain = _readings_reduced(straight, motions)
    if not any(wear):
        return KeepOut((layer_of(plain, None, 0.0),), reach, plain, straight)
    layers = []
    for index in range(len(tools)):
        drawn_in = [0.0 if i == index else w + wear[index] for i, w in enumerate(wear)]
        seen = sweep(
            motions,
            tools,
            contact_limit,
            reach,
            cut_inset=drawn_in,
            crest_error=max(wear) + wear[index],
            rapid_corner=rapid_corner,
        )
        own = np.flatnonzero(motions.tool == index)
        layers.append(layer_of(_readings_reduced(seen, motions), own, wear[index]))
    surely = sweep(motions, tools, contact_limit, reach, cut_inset=wear, rapid_corner=rapid_corner)
    return KeepOut(tuple(layers), reach, _readings_reduced(surely, motions), straight)


def layer_of(sweeps: Sweeps, own: NDArray[np.int64] | None, grow: float) -> Layer:
    """First touch over `sweeps`; strikes of the motions in `own` only, of all where None.

    Strikes with no cut between them stand together, and so do cuts with no strike between.
    """
    pieces = np.arange(len(sweeps.strike))
    if own is not None:
        pieces = pieces[np.isin(sweeps.strike_motion, own)]
    # A cut of motion s comes before a strike of motion t where s < t.
    cuts_before = np.searchsorted(sweeps.cut_motion, sweeps.strike_motion[pieces], side="left")
    stages, group = np.unique(cuts_before, return_inverse=True)
    count = len(stages)
    strikes = union_by(sweeps.strike[pieces], group, count)
    # A cut counts for the groups after it: it joins the last group that stands before it, and one
    # that no group stands before needs a group of its own at the head.
    cut_group = np.searchsorted(stages, np.arange(len(sweeps.cut)), side="right") - 1
    head = int((cut_group < 0).any())
    cuts = union_by(sweeps.cut, cut_group + head, count + head)
    if head:
        strikes = np.concatenate([np.array([shapely.Polygon()], dtype=object), strikes])
    tree = keep_tree(strikes, cuts) if len(strikes) else ()
    return Layer(tree, len(strikes), group + head, pieces, sweeps, grow)


def _readings_reduced(sweeps: Sweeps, motions: Motions) -> Sweeps:
    """Calls with several readings turned into one: the union of the readings' own keep-outs, and
    of what they cut only what every reading cuts. Their cut belongs to the call's last motion."""
    open_calls = np.unique(motions.call[motions.variant > 0])
    for call in open_calls:
        sweeps = _call_reduced(sweeps, motions, np.flatnonzero(motions.call == call))
    return sweeps


def _call_reduced(sweeps: Sweeps, motions: Motions, rows: NDArray[np.int64]) -> Sweeps:
    strikes: list[NDArray[np.object_]] = []
    strike_motions: list[NDArray[np.int64]] = []
    shared: BaseGeometry | None = None
    for variant in np.unique(motions.variant[rows]):
        mine = rows[motions.variant[rows] == variant]
        part = _only(sweeps, mine)
        layer = layer_of(part, None, 0.0)
        owned = commons(layer.owned(layer.area)[layer.group], part.strike[layer.pieces])
        real = np.flatnonzero(shapely.area(owned) > 0)
        strikes.append(owned[real])
        strike_motions.append(part.strike_motion[layer.pieces[real]])
        cut = union(part.cut)
        shared = cut if shared is None else common(shared, cut)
    outside_r = ~np.isin(sweeps.strike_motion, rows)
    outside_f = ~np.isin(sweeps.cut_motion, rows)
    strike = np.concatenate([sweeps.strike[outside_r], *strikes])
    strike_motion = np.concatenate([sweeps.strike_motion[outside_r], *strike_motions])
    cut, cut_motion = sweeps.cut[outside_f], sweeps.cut_motion[outside_f]
    if shared is not None and shared.area > 0:
        cut = np.append(cut, np.array([shared], dtype=object))
        cut_motion = np.append(cut_motion, rows[-1])
    by_r = np.argsort(strike_motion, kind="stable")
    by_f = np.argsort(cut_motion, kind="stable")
    return Sweeps(strike[by_r], strike_motion[by_r], cut[by_f], cut_motion[by_f], sweeps.count)


def _only(sweeps: Sweeps, rows: NDArray[np.int64]) -> Sweeps:
    r, f = np.isin(sweeps.strike_motion, rows), np.isin(sweeps.cut_motion, rows)
    return Sweeps(
        sweeps.strike[r], sweeps.strike_motion[r], sweeps.cut[f], sweeps.cut_motion[f], len(rows)
    )
