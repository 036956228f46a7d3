"""The loops over pixels against plain readings of the same cells, on random sections and tools.

The loops pass over what lies in empty cells, fill straight cuts by rows and paint only near edges;
here every point is looked at in every step, and every edge for every cell.
"""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest
from judge.advance import advance, thread
from judge.cover import cover
from judge.motion import Move
from judge.raster import (
    HELD_GROWN,
    HELD_MAYBE,
    HELD_SHRUNK,
    HELD_STRIKE,
    MAYBE,
    METAL,
    METAL_BITS,
    METAL_GROWN,
    METAL_SHRUNK,
    SHIFT,
    STRIKE,
    filled,
    front_row,
    paint,
)
from judge.section import Section
from judge.shapes import Samples, Shape, sample
from judge.toolbox import Tool
from judge.track import play, track_of

P, Z0 = 0.5, -7.3


def random_grid(rng: Random) -> np.ndarray:
    """A block of metal with holes in it, and something held behind it."""
    grid = np.zeros((44, 26), dtype=np.uint8)
    first, top = rng.randrange(4, 16), rng.randrange(4, 20)
    grid[first : first + rng.randrange(6, 20), rng.choice((0, 0, 3)) : top] = METAL_BITS
    for _ in range(3):
        i, j = rng.randrange(4, 30), rng.randrange(20)
        grid[i : i + rng.randrange(1, 6), j : j + rng.randrange(1, 6)] &= rng.choice((0, METAL))
    if rng.random() < 0.6:
        held = rng.choice((HELD_GROWN, HELD_GROWN | HELD_SHRUNK))
        grid[1 : rng.randrange(2, 9), rng.randrange(4, 15) :] |= held
    return grid


def random_tool(rng: Random) -> Shape:
    """A quadrangle or triangle over its tip, some of its edges cutting."""
    wide, tall = rng.uniform(1.0, 4.0), rng.uniform(1.0, 9.0)
    points = [(0.0, 0.0), (wide, rng.uniform(0.0, 1.0)), (wide, tall), (rng.uniform(-1, 0.5), tall)]
    cuts = [rng.random() < 0.7 for _ in points]
    return Shape(np.array(points), np.array(cuts), 1)


def random_way(rng: Random) -> tuple[float, float, float, float]:
    """Along z, along r, slanted; now and then across the axis."""
    az, ar = rng.uniform(-8.0, 15.0), rng.uniform(0.0, 12.0)
    bz, br = rng.uniform(-8.0, 15.0), rng.uniform(-2.0, 12.0)
    kind = rng.randrange(3)
    return az, ar, (az if kind == 0 else bz), (ar if kind == 1 else br)


def at(grid: np.ndarray, z: float, r: float) -> int:
    i, j = math.floor((z - Z0) / P), math.floor(abs(r) / P + SHIFT)
    return int(grid[i, j]) if 0 <= i < grid.shape[0] and j < grid.shape[1] else 0


def plain_advance(grid: np.ndarray, way: tuple[float, float, float, float], points: Samples,
                  active: bool) -> int:  # fmt: skip
    az, ar, bz, br = way
    length = math.hypot(bz - az, br - ar)
    dz, dr = (bz - az) / length, (br - ar) / length
    leading = [k for k in range(len(points.z)) if points.nz[k] * dz + points.nr[k] * dr > 1e-7]
    answer = 0
    steps = max(1, math.ceil(length / (0.5 * P)))
    for step in range(steps + 1):
        z, r = az + (bz - az) * step / steps, ar + (br - ar) * step / steps
        for k in leading:
            pz, pr = z + points.z[k], r + points.r[k]
            i, j = math.floor((pz - Z0) / P), math.floor(abs(pr) / P + SHIFT)
            inside = 0 <= i < grid.shape[0] and j < grid.shape[1]
            if active and points.cut[k] and pr >= -1e-9 and inside:
                grid[i, j] &= 0xFF ^ METAL_BITS
        for k in leading:
            pz, pr = z + points.z[k], r + points.r[k]
            cuts, past = active and points.cut[k], pr < -1e-9
            here = at(grid, pz, pr)
            answer |= HELD_MAYBE if here & HELD_GROWN else 0
            answer |= MAYBE if (not cuts or past) and here & METAL_GROWN else 0
            if not cuts and at(grid, pz + P * dz, pr + P * dr) & METAL:
                answer |= MAYBE
            if points.inner_ok[k]:
                inner = at(grid, z + points.inner_z[k], r + points.inner_r[k])
                if inner & HELD_SHRUNK:
                    return answer | HELD_STRIKE
                far = past and r + points.inner_r[k] < 0
                if inner & METAL_SHRUNK and (not cuts or far):
                    return answer | STRIKE
    return answer


def plain_thread(grid: np.ndarray, way: tuple[float, float, float, float], points: Samples,
                 outward: float, crest: float) -> int:  # fmt: skip
    az, ar, bz, br = way
    answer = 0
    steps = max(1, math.ceil(math.hypot(bz - az, br - ar) / (0.5 * P)))
    for step in range(steps + 1):
        z, r = az + (bz - az) * step / steps, ar + (br - ar) * step / steps
        for k in range(len(points.z)):
            over = (r + points.r[k] - crest) * outward
            beyond = not points.cut[k] or (outward != 0 and over > 1e-6)
            deep = not points.cut[k] or over > P
            here = at(grid, z + points.z[k], r + points.r[k])
            answer |= HELD_MAYBE if here & HELD_GROWN else 0
            answer |= MAYBE if beyond and here & METAL_GROWN else 0
            if points.inner_ok[k]:
                inner = at(grid, z + points.inner_z[k], r + points.inner_r[k])
                if inner & HELD_SHRUNK:
                    return answer | HELD_STRIKE
                if beyond and deep and inner & METAL_SHRUNK:
                    return answer | STRIKE
    return answer


def rows_of(points: Samples) -> tuple[np.ndarray, ...]:
    rows = [points.z, points.r, points.nz, points.nr, points.inner_z, points.inner_r]
    return np.array(rows), points.edges, points.cut, points.inner_ok


@pytest.mark.parametrize("seed", range(150))
def test_moves_meet_and_cut_what_a_plain_reading_meets_and_cuts(seed: int) -> None:
    rng = Random(seed)
    grid, shape = random_grid(rng), random_tool(rng)
    points = sample(shape, P)
    plain = grid.copy()
    top, bottom, first, last = filled(grid)
    for _ in range(4):
        way, active = random_way(rng), rng.random() < 0.8
        wanted = plain_advance(plain, way, points, active)
        found = advance(grid, Z0, P, top, bottom, first, last, *way, *rows_of(points), active)
        assert found == wanted
        assert np.array_equal(grid, plain)
        # What is said to be filled stays as wide as what is.
        exact_top, exact_bottom, _, _ = filled(grid)
        assert (top >= exact_top).all() and (bottom <= exact_bottom).all()


@pytest.mark.parametrize("seed", range(60))
def test_thread_passes_meet_what_a_plain_reading_meets(seed: int) -> None:
    rng = Random(seed)
    grid, points, way = random_grid(rng), sample(random_tool(rng), P), random_way(rng)
    outward, crest = rng.choice((-1.0, 0.0, 1.0)), rng.uniform(1.0, 9.0)
    top, bottom, _, _ = filled(grid)
    found = thread(grid, Z0, P, top, bottom, *way, *rows_of(points), outward, 0.0, crest, 0.0)
    assert found == plain_thread(grid, way, points, outward, crest)


@pytest.mark.parametrize("seed", range(60))
def test_a_rectangle_meets_the_same_where_all_is_looked_at(seed: int) -> None:
    rng = Random(seed)
    grid, shape, way = random_grid(rng), random_tool(rng), random_way(rng)
    top, bottom, _, _ = filled(grid)
    all_rows = np.full_like(top, grid.shape[1] - 1), np.zeros_like(bottom)
    found = cover(grid, Z0, P, top, bottom, *way, shape.points)
    assert found == cover(grid, Z0, P, *all_rows, *way, shape.points)


def test_what_is_filled_and_where_the_front_begins_by_hand() -> None:
    grid = np.zeros((6, 5), dtype=np.uint8)
    grid[1:4, 1:4] = METAL
    grid[4, 2] = METAL  # a burr one cell thick
    grid[0, 4] = HELD_GROWN
    top, bottom, first, last = filled(grid)
    assert list(top) == [4, 3, 3, 3, 2, -1]
    assert list(bottom) == [4, 1, 1, 1, 2, 5]
    assert (first, last) == (0, 0)
    assert (front_row(grid, 1), front_row(grid, 2), front_row(grid, 4)) == (4, 2, -1)


@pytest.mark.parametrize("by", [0.0, 0.75])
@pytest.mark.parametrize("seed", range(20))
def test_painting_goes_by_the_distance_of_each_cell_from_each_edge(seed: int, by: float) -> None:
    rng = Random(seed)
    points = random_tool(rng).points + np.array([rng.uniform(-8, 14), rng.uniform(-3, 10)])
    grid = np.zeros((44, 26), dtype=np.uint8)
    paint(grid, Z0, P, points, METAL_SHRUNK, METAL, METAL_GROWN, by)
    edges = list(zip(points, np.roll(points, -1, axis=0), strict=True))
    for i in range(grid.shape[0]):
        for j in range(grid.shape[1]):
            cell = np.array([Z0 + (i + 0.5) * P, (j + 0.5 - SHIFT) * P])
            sides = [left_of(cell, a, b) for a, b in edges]
            away = min(distance(cell, a, b) for a, b in edges)
            wanted = METAL | METAL_GROWN if all(sides) else (METAL_GROWN if away <= by else 0)
            wanted |= METAL_SHRUNK if all(sides) and away >= by else 0
            assert grid[i, j] == wanted


def left_of(place: np.ndarray, a: np.ndarray, b: np.ndarray) -> bool:
    return bool((b - a)[0] * (place - a)[1] > (b - a)[1] * (place - a)[0])


def distance(place: np.ndarray, a: np.ndarray, b: np.ndarray) -> float:
    share = min(1.0, max(0.0, float((place - a) @ (b - a) / ((b - a) @ (b - a)))))
    return float(np.hypot(*(place - a - share * (b - a))))


def test_moves_are_played_up_to_the_first_sure_strike() -> None:
    """A turned block 5 in radius: a cut that is clear, a rapid through it, and one never played."""
    grid = np.zeros((44, 26), dtype=np.uint8)
    grid[4:24, :10] = METAL_BITS
    section = Section(grid, Z0, P)
    shape = Shape(np.array([(0.0, 0.0), (3.0, 0.0), (3.0, 9.0), (0.0, 9.0)]),
                  np.array([True, False, False, True]), 1)  # fmt: skip
    tools = {1: Tool(shape, sample(shape, P), None, None)}
    ways = [(False, (6.0, 4.0), (0.0, 4.0)), (True, (0.0, 4.0), (0.0, 0.0)), (True, (0, 0), (9, 9))]
    moves = [Move(rapid, a, b, 1, 1, line) for line, (rapid, a, b) in enumerate(ways, 1)]
    met = play(section, track_of(tuple(moves), tools))
    assert len(met) == 2
    assert met[0] == 0 and met[1] & STRIKE
