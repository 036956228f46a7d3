"""Areas as arrays of shapely polygons, and booleans that yield areas only.

A boolean of two areas may leave points and lines where they only touch. Those are no area; they are
dropped here, and nothing else ever is, however small.

Every boolean works on a grid of `GRID_MM`. In plain floats, where borders cross within the last
bits, a boolean may fail, or lose or invent a whole face without a word; on a grid it cannot. Each
boolean moves a border by at most the grid.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Areas = NDArray[np.object_]
EMPTY = shapely.Polygon()
GRID_MM = 2.0**-30
"""A nanometre, in a power of two so that floats hold its multiples exactly. Corners that are meant
to be the same come out of floats a last bit apart, and booleans of such areas have lost whole
faces without a word; on the grid they are the same."""
NOISE_MM = 1e-8
"""Width below which a piece of a boolean is a line: ten times the grid, on which two borders that
are meant to join may stand apart, and a hundred thousandth of the error that sweeps may have.
Dropping it moves the contact limit by as much."""
SLIVER_MM = 0.002
"""Width below which a piece left by the sweeps may be nothing but their error: twice the thousandth
that R and F may each be wrong by. Such a piece is still metal to strike; it is not called loose,
nor raw skin."""


def solid(areas: Areas) -> Areas:
    """`areas` without the points and lines in them."""
    kind = shapely.get_type_id(areas)
    if ((kind == shapely.GeometryType.POLYGON) | (kind == shapely.GeometryType.MULTIPOLYGON)).all():
        return areas
    mixed = np.flatnonzero(kind == shapely.GeometryType.GEOMETRYCOLLECTION)
    thin = np.flatnonzero(shapely.get_dimensions(areas) < 2)
    if len(mixed) + len(thin) == 0:
        return areas
    areas = areas.copy()
    for i in mixed:
        parts = shapely.get_parts(areas[i])
        areas[i] = shapely.union_all(parts[shapely.get_dimensions(parts) == 2])
    areas[thin] = EMPTY
    return areas


def on_grid(areas: Areas) -> Areas:
    """`areas` with their corners on multiples of `GRID_MM`; those that this makes lines are left as
    empty areas."""
    rounded: Areas = shapely.transform(areas, lambda zr: np.round(zr / GRID_MM) * GRID_MM)
    wrong = np.flatnonzero(~shapely.is_valid(rounded))
    if len(wrong):
        rounded[wrong] = shapely.set_precision(areas[wrong], GRID_MM)
    return solid(rounded)


def without_noise(areas: Areas) -> tuple[Areas, NDArray[np.int64]]:
    """The single polygons of `areas` and which one each belongs to, less those narrower than
    `NOISE_MM`: lines that float arithmetic has given a width."""
    parts, owner = shapely.get_parts(areas, return_index=True)
    wide = thickness(parts) > NOISE_MM
    return parts[wide], owner[wide].astype(np.int64)


def common(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """The area that two areas share."""
    return _one(commons(_row(one), _row(other)))


def commons(areas: Areas, others: Areas | BaseGeometry) -> Areas:
    """The area that each of `areas` shares with its counterpart, or with one area."""
    others = np.broadcast_to(np.asarray(others, dtype=object), areas.shape)
    made = np.full(areas.shape, EMPTY, dtype=object)
    near = _near(areas, others)
    made[near] = shapely.intersection(areas[near], others[near], grid_size=GRID_MM)
    return solid(made)


def commons_with(areas: Areas, one: BaseGeometry) -> Areas:
    """The area that each of `areas` shares with one area, which most of them lie inside or apart
    from: a boolean is made only for those across its border."""
    shapely.prepare(one)
    met = shapely.intersects(one, areas)
    inside = shapely.covers(one, areas)
    shapely.destroy_prepared(one)
    made = np.where(inside, areas, EMPTY)
    across = met & ~inside
    made[across] = commons(areas[across], one)
    return made


def less(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """The area of `one` that `other` leaves."""
    return _one(lesses(_row(one), _row(other)))


def lesses(areas: Areas, others: Areas) -> Areas:
    """What of each of `areas` its counterpart leaves."""
    made = areas.copy()
    near = _near(areas, others)
    made[near] = shapely.difference(areas[near], others[near], grid_size=GRID_MM)
    return solid(made)


def union(areas: Iterable[BaseGeometry]) -> BaseGeometry:
    """The area that any of `areas` covers."""
    return _one(_merged(_row(shapely.geometrycollections(list(areas)))))


def unions(areas: Areas, others: Areas) -> Areas:
    """The area that each of `areas` and its counterpart cover."""
    made = np.where(shapely.is_empty(areas), others, areas)
    both = ~shapely.is_empty(areas) & ~shapely.is_empty(others)
    made[both] = shapely.union(areas[both], others[both], grid_size=GRID_MM)
    return solid(made)


def _row(area: BaseGeometry) -> Areas:
    return np.array([area], dtype=object)


def _one(areas: Areas) -> BaseGeometry:
    area: BaseGeometry = areas[0]
    return area


def _near(areas: Areas, others: Areas) -> NDArray[np.bool_]:
    """Rows whose boxes meet: elsewhere a boolean has nothing to do."""
    a, b = shapely.bounds(areas), shapely.bounds(others)
    meets: NDArray[np.bool_] = (
        (a[:, 0] < b[:, 2]) & (b[:, 0] < a[:, 2]) & (a[:, 1] < b[:, 3]) & (b[:, 1] < a[:, 3])
    )
    return meets


def _merged(collections: Areas) -> Areas:
    """The area that the members of each collection cover."""
    return solid(shapely.union_all(collections[:, None], axis=1, grid_size=GRID_MM))


def thickness(areas: Areas | BaseGeometry) -> NDArray[np.float64]:
    """Mean width of each area, mm: twice its size over the length of its border. That of a thin
    strip is its width."""
    border = shapely.length(areas)
    width: NDArray[np.float64] = 2 * shapely.area(areas) / np.where(border > 0, border, 1.0)
    return width


def union_by(polygons: Areas, group: NDArray[np.int64], count: int) -> Areas:
    """(count,) union of the polygons of each group; empty where a group has none. `group` is
    ascending."""
    areas = np.full(count, EMPTY, dtype=object)
    if len(polygons) == 0:
        return areas
    used, local, size = np.unique(group, return_inverse=True, return_counts=True)
    areas[used[size == 1]] = polygons[(size == 1)[local]]
    many = (size > 1)[local]
    if many.any():
        _, dense = np.unique(local[many], return_inverse=True)
        collections = shapely.geometrycollections(polygons[many], indices=dense)
        areas[used[size > 1]] = _merged(collections)
    return areas
