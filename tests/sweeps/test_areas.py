"""Areas: booleans that yield areas only, corners on the grid, noise and width."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from section_shop import LIMIT, REACH, TOOLS, appear, feed, rapid, table

from standclear.motions.table import Spindle
from standclear.sweeps import areas
from standclear.sweeps.areas import GRID_MM, NOISE_MM, Areas
from standclear.sweeps.sweep import Tooling, sweep


def array(*shapes: shapely.Polygon) -> Areas:
    made = np.empty(len(shapes), dtype=object)
    made[:] = shapes
    return made


ONE = shapely.box(0, 0, 4, 2)
BESIDE = shapely.box(4, 0, 6, 2)
WIDE = shapely.Polygon(
    [
        (12.99925305670175, 25.79500392973502),
        (29.99925305670175, 30.795003929735024),
        (60, 30.63428564253878),
        (60, 25.543214213967353),
    ]
)
STRIP = shapely.Polygon(
    [
        (12.999253056701749, 25.79500392973502),
        (29.99925305670175, 30.795003929735024),
        (29.991213603433096, 30.797415765715613),
        (12.991213603433096, 25.797415765715616),
    ]
)
"""Two pieces of one sweep that share a border, but for the last bit of one corner."""


def test_areas_that_touch_share_nothing() -> None:
    assert areas.common(ONE, BESIDE).is_empty
    assert areas.commons(array(ONE, ONE), array(BESIDE, shapely.box(3, 1, 9, 9)))[1].area == 1.0
    assert areas.less(ONE, BESIDE).equals(ONE)
    assert areas.union([ONE, BESIDE]).equals(shapely.box(0, 0, 6, 2))
    assert areas.union([]).is_empty


def test_lines_left_by_a_boolean_are_dropped_and_no_area_is() -> None:
    mixed = shapely.GeometryCollection([ONE, shapely.LineString([(9, 9), (10, 10)])])
    solid = areas.solid(array(mixed, shapely.Point(1, 1), BESIDE))
    assert solid[0].equals(ONE) and solid[1].is_empty and solid[2].equals(BESIDE)


def test_a_corner_a_last_bit_off_costs_no_area() -> None:
    # They do not overlap, so the union is as large as both; floats lose a face of 0.08.
    both = areas.on_grid(array(WIDE, STRIP))
    assert areas.union(both).area == pytest.approx(WIDE.area + STRIP.area, abs=1e-6)


def test_on_the_grid_corners_are_its_multiples() -> None:
    placed = areas.on_grid(array(WIDE, shapely.box(0, 0, 1e-12, 5)))
    corners = shapely.get_coordinates(placed) / GRID_MM
    assert (corners == np.round(corners)).all()
    assert placed[0].symmetric_difference(WIDE).area < 1e-6
    assert placed[1].is_empty


@pytest.mark.parametrize("name", TOOLS)
def test_sweeps_stand_on_the_grid(name: str) -> None:
    rows = [appear((30.1, 17.3)), feed((30.1, 17.3), (3.7, 11.9)), rapid((3.7, 11.9), (50, 30.3))]
    swept = sweep(table(rows), [Tooling(TOOLS[name], Spindle.FORWARD)], LIMIT, REACH)
    for pieces in (swept.strike, swept.cut):
        corners = shapely.get_coordinates(pieces) / GRID_MM
        assert (corners == np.round(corners)).all()
        assert shapely.is_valid(pieces).all()


def test_booleans_do_not_lose_a_face_off_the_grid_either() -> None:
    assert areas.union([WIDE, STRIP]).area == pytest.approx(WIDE.area + STRIP.area, abs=1e-6)
    (both,) = areas.unions(array(WIDE), array(STRIP))
    assert both.area == pytest.approx(WIDE.area + STRIP.area, abs=1e-6)
    assert areas.less(both, WIDE).area == pytest.approx(STRIP.area, abs=1e-6)
    assert areas.common(both, STRIP).area == pytest.approx(STRIP.area, abs=1e-6)


def test_areas_far_apart_and_empty_ones() -> None:
    far, none = shapely.box(90, 90, 99, 99), shapely.Polygon()
    pairs = array(ONE, ONE, none, none), array(far, none, ONE, none)
    assert [a.area for a in areas.commons(*pairs)] == [0.0, 0.0, 0.0, 0.0]
    assert [a.area for a in areas.lesses(*pairs)] == [8.0, 8.0, 0.0, 0.0]
    assert [a.area for a in areas.unions(*pairs)] == [89.0, 8.0, 8.0, 0.0]


def test_width_of_a_strip_is_its_width() -> None:
    assert areas.thickness(shapely.box(0, 0, 1000, 0.01)) == pytest.approx(0.01, rel=1e-4)
    assert areas.thickness(array(shapely.Polygon()))[0] == 0.0


def test_noise_is_narrower_than_anything_meant() -> None:
    line, sliver = shapely.box(0, 0, 50, NOISE_MM / 2), shapely.box(0, 5, 50, 5 + 3 * NOISE_MM)
    parts, owner = areas.without_noise(array(shapely.MultiPolygon([line, sliver]), ONE))
    assert owner.tolist() == [0, 1] and parts[0].equals(sliver)
    assert NOISE_MM < LIMIT / 1e5


def test_union_by_group_leaves_groups_without_pieces_empty() -> None:
    group = np.array([0, 2, 2])
    found = areas.union_by(array(ONE, ONE, BESIDE), group, 4)
    assert [a.area for a in found] == [8.0, 0.0, 12.0, 0.0]
    assert areas.union_by(array(), np.empty(0, dtype=np.int64), 2)[0].is_empty
