"""What an uncompensated nose leaves on tapers and arcs, measured from the sweep.

A control without compensation drives the imaginary tip along the programmed contour. On a face or
a diameter the nose touches that contour; on a slope it stands off, and metal stays between the two.
A setter measures it as a wrong diameter.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.motions.table import Kind
from standclear.proof.facts import Scene

LEAST_LEFT_MM = 0.01
"""Less than this is not measured as a wrong size on tapers and arcs; common practice, no source."""
_SLOPE = 1e-6
"""Millimetres; a motion that changes less than this in one axis runs along the other."""


def nose_findings(
    scene: Scene, left: BaseGeometry, cut: BaseGeometry, nosed: Sequence[bool]
) -> tuple[Finding, ...]:
    """One note for each block of a contour on which the nose leaves metal that stays.

    left: the metal after the set-up; cut: all that was cut; nosed: by tool of the trace, whether
    it has a nose radius and the program moves its imaginary tip. The last passes alone are told
    of: on those before them, what stays is cut away later.
    """
    rows = _slopes(scene, nosed)
    if len(rows) == 0 or left.is_empty or cut.is_empty:
        return ()
    motions = scene.motions
    middles = shapely.points((motions.start[rows] + motions.end[rows]) / 2)
    shapely.prepare(left)
    under = shapely.contains(left, middles)
    rows, middles = rows[under], middles[under]
    thick = _distances(middles, cut)
    worst: dict[int, int] = {}
    for k in np.flatnonzero(thick > LEAST_LEFT_MM).tolist():
        block = _block_of(scene, int(rows[k]))
        if block not in worst or thick[k] > thick[worst[block]]:
            worst[block] = k
    return tuple(_finding(scene, int(rows[k]), float(thick[k])) for k in worst.values())


def _distances(points: NDArray[np.object_], area: BaseGeometry) -> NDArray[np.float64]:
    """How far each of `points`, none of them inside, lies from `area`, mm."""
    rings = shapely.get_rings(shapely.get_parts(area))
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    sides = shapely.linestrings(np.stack([corners[:-1][same], corners[1:][same]], axis=1))
    found, distance = shapely.STRtree(sides).query_nearest(
        points, return_distance=True, all_matches=False
    )
    nearest = np.empty(len(points))
    nearest[found[0]] = distance
    return nearest


def _slopes(scene: Scene, nosed: Sequence[bool]) -> NDArray[np.int64]:
    """Numbers of the feeds that run aslant along a programmed contour with a nose."""
    motions = scene.motions
    way = np.abs(motions.end - motions.start)
    with_nose = np.array(nosed, dtype=bool)[motions.tool] if len(motions) else motions.credited
    found: NDArray[np.int64] = np.flatnonzero(
        (motions.kind == Kind.FEED)
        & motions.credited
        & ~motions.compensated
        & with_nose
        & (way > _SLOPE).all(axis=1)
        & (np.arange(len(motions)) < scene.unproven_from)
    )
    return found


def _block_of(scene: Scene, row: int) -> int:
    """The block whose contour the motion follows."""
    profile = int(scene.motions.profile[row])
    return profile if profile >= 0 else int(scene.motions.block[row])


def _finding(scene: Scene, row: int, thick: float) -> Finding:
    motions = scene.motions
    along, across = np.abs(motions.end[row] - motions.start[row])
    length = float(np.hypot(along, across))
    # A surface that lies `thick` too high along its normal: seen across it, along one axis.
    if along >= across:
        seen = "{larger} more on diameter"
        larger = Measure("larger", 2 * thick * length / float(along), Quantity.LENGTH)
    else:
        seen = "{larger} more in Z"
        larger = Measure("larger", thick * length / float(across), Quantity.LENGTH)
    return Finding(
        "nose-leaves-metal",
        Severity.NOTE,
        "Without nose compensation the feed to X{to_x} Z{to_z} leaves up to {thick} of metal along "
        f"the normal of what is programmed, {seen}.",
        "Compensate the finishing pass with G42 or G41, or program the way of the tip.",
        scene.setup,
        scene.place(_block_of(scene, row)),
        (),
        (Measure("thick", thick), larger, *scene.target(row)),
        motion=row,
    )
