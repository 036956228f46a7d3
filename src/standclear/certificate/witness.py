"""The witness: for each motion the earlier ones that have cut what it passes through.

Found with floats, and held in exact numbers before it is written. A bad choice can only make the
checker refuse.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.audit.exact import Convex, without
from standclear.audit.read import Stage
from standclear.audit.stage import StageCheck, left_by
from standclear.audit.tool import Shape
from standclear.certificate.errors import NoCertificate
from standclear.certificate.parts import NM, polygon_of
from standclear.proof.section import grow
from standclear.sweeps.areas import EMPTY, common, less, union

SOME = 1e-15
"""Area, mm2, below which an overlap in floats is none worth trying first."""


class Cuts:
    """What every motion of a stage cuts, in floats, to look things up in."""

    def __init__(self, check: StageCheck) -> None:
        self.check = check
        count = len(check.stage.motions)
        self.areas: NDArray[np.object_] = np.full(count, EMPTY, dtype=object)
        for number in range(count):
            parts = check.cut(number)
            if parts:
                self.areas[number] = union([polygon_of(part) for part in parts])

    def near(self, region: BaseGeometry, until: int, off: float) -> list[int]:
        """Motions before number `until` that have cut something within `off` mm of the box of
        `region`."""
        z0, r0, z1, r1 = region.bounds
        box = shapely.bounds(self.areas[:until])
        meets = (
            (box[:, 0] < z1 + off)
            & (box[:, 2] > z0 - off)
            & (box[:, 1] < r1 + off)
            & (box[:, 3] > r0 - off)
        )
        return np.flatnonzero(meets).tolist()

    def by_share(self, region: BaseGeometry, numbers: Sequence[int]) -> list[int]:
        """Those of `numbers` that have cut some of `region`, the largest share first."""
        shares = shapely.area(shapely.intersection(self.areas[list(numbers)], region))
        order = np.argsort(-shares, kind="stable")
        return [numbers[k] for k in order.tolist() if shares[k] > SOME]

    def surely(self, metal: BaseGeometry) -> BaseGeometry:
        """What the stage may leave of `metal`."""
        plain: dict[int, list[BaseGeometry]] = {}
        choices: dict[int, dict[int, list[int]]] = {}
        for number, row in enumerate(self.check.stage.motions):
            if row.choice < 0:
                plain.setdefault(row.tool, []).append(self.areas[number])
            else:
                readings = choices.setdefault(row.choice, {})
                readings.setdefault(row.reading, []).append(number)
        for tool, areas in plain.items():
            metal = _less_off(metal, areas, self._wear(tool))
        for readings in choices.values():
            left = []
            for numbers in readings.values():
                rest = metal
                for number in numbers:
                    wear = self._wear(self.check.stage.motions[number].tool)
                    rest = _less_off(rest, [self.areas[number]], wear)
                left.append(rest)
            metal = union(left)
        return metal

    def _wear(self, tool: int) -> float:
        return self.check.shapes[tool].tool.wear / NM


def _less_off(metal: BaseGeometry, areas: Sequence[BaseGeometry], off: float) -> BaseGeometry:
    """What of `metal` the areas may leave where they may all lie off by `off` mm."""
    if off == 0.0:
        return less(metal, union(areas))
    gaps = less(grow(metal, off, off), union(areas))
    return common(metal, grow(gaps, off, off))


def with_witness(
    stage: Stage, shapes: Sequence[Shape], metal: Sequence[Convex], limit: int
) -> tuple[Stage, Cuts]:
    """The stage with its witness, and what it cuts.

    Raises `NoCertificate` where a motion's way cannot be shown to be cut.
    """
    check = StageCheck(stage, shapes, metal, limit)
    cuts = Cuts(check)
    earlier: dict[int, tuple[int, ...]] = {}
    for number in range(len(stage.motions)):
        found: set[int] = set()
        for left in check.left_by_itself(number):
            found.update(_needed(cuts, number, left))
        if found:
            earlier[number] = tuple(sorted(found))
    return replace(stage, earlier=earlier), cuts


def _needed(cuts: Cuts, number: int, left: list[Convex]) -> Iterable[int]:
    """Earlier motions that have cut all of `left`."""
    check = cuts.check
    if not left:
        return ()
    region = union([polygon_of(part) for part in left])
    wear = check.shapes[check.stage.motions[number].tool].tool.wear
    off = (wear + check.worst_wear) / NM if check.worst_wear else 0.0
    near = [k for k in cuts.near(region, number, 2 * off + 1e-6) if _visible(check, k, number)]
    few, rest = _largest_first(cuts, region, near, left)
    if not rest and _plain(check, few, wear):
        return few
    for chosen in (few, near):
        if not _left(check, number, left, chosen):
            return chosen
    raise NoCertificate(
        f"{check.where(number)}: what it passes through is not shown to be cut in exact numbers"
    )


def _largest_first(
    cuts: Cuts, region: BaseGeometry, motions: Sequence[int], left: list[Convex]
) -> tuple[list[int], list[Convex]]:
    """Of `motions` those that cut something of `left`, the largest share first, until nothing is
    left of it; and what is."""
    few: list[int] = []
    for k in cuts.by_share(region, motions):
        after = without(left, cuts.check.cut(k))
        if after != left:
            few.append(k)
        left = after
        if not left:
            break
    return few, left


def _plain(check: StageCheck, few: Sequence[int], wear: int) -> bool:
    """Whether what `few` have cut is gone as it stands: no wear, no readings to choose from."""
    return wear == check.worst_wear == 0 and all(check.stage.motions[k].choice < 0 for k in few)


def _left(
    check: StageCheck, number: int, left: list[Convex], chosen: Sequence[int]
) -> list[Convex]:
    rest = left_by(left, check.blocks(chosen, number))
    return without(rest, check.where_it_stood(number)) if rest else rest


def _visible(check: StageCheck, earlier: int, number: int) -> bool:
    """Whether an earlier motion may be named: not of another reading of the same call."""
    one, other = check.stage.motions[earlier], check.stage.motions[number]
    return one.choice < 0 or one.choice != other.choice or one.reading == other.reading


def taken_by(cuts: Cuts, metal: Sequence[Convex], kept: Sequence[Convex]) -> tuple[int, ...]:
    """Motions that have cut all of `metal` that is not in `kept`.

    Raises `NoCertificate` where that cannot be shown.
    """
    check = cuts.check
    left = without(metal, kept)
    if not left:
        return ()
    every = [k for k, area in enumerate(cuts.areas) if not area.is_empty]
    region = union([polygon_of(part) for part in left])
    few, rest = _largest_first(cuts, region, every, left)
    if not rest and _plain(check, few, check.worst_wear):
        return tuple(sorted(few))
    for chosen in (tuple(sorted(few)), tuple(every)):
        if not left_by(left, check.blocks(chosen, None)):
            return chosen
    raise NoCertificate(
        f"set-up {check.stage.setup}: what it leaves cannot be shown in exact numbers"
    )
