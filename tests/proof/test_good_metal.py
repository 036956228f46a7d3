"""What counts as finished, and how far under it a cut may go."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from proof_shop import files_of, measured

from standclear import hold
from standclear.job.models import Part, WantedSize
from standclear.proof.facts import Scene
from standclear.proof.metal_findings import OTHER_END, good_metal_findings
from standclear.proof.sizes import allowed_under, finished_columns
from standclear.sweeps.areas import EMPTY
from standclear.sweeps.sweep import Sweeps


def diameter(low: float, high: float, *, inside: bool = False) -> WantedSize:
    return WantedSize(diameter=30.0, at_z=-5.0, tolerance=(low, high), inside=inside)


@pytest.mark.parametrize(
    ("sizes", "allowed"),
    [
        # Half of the widest lower tolerance of an outside diameter: 0.3 less across is 0.15 deep.
        ([diameter(-0.3, 0.1)], 0.15),
        ([diameter(-0.04, 0.5), diameter(-0.2, 0.0)], 0.1),
        # Bores and lengths say nothing about it.
        ([diameter(-0.1, 0.1), diameter(-0.9, 0.9, inside=True)], 0.05),
        ([diameter(-0.1, 0.1), WantedSize(length=20.0, tolerance=(-0.8, 0.8))], 0.05),
        # None at all where a diameter may come out no smaller than drawn.
        ([diameter(0.0, 0.2)], 0.0),
        ([diameter(0.02, 0.05)], 0.0),
        # Plus or minus 0.1 where no diameter has a tolerance.
        ([], 0.05),
        ([WantedSize(length=20.0, tolerance=(-0.8, 0.8))], 0.05),
    ],
)
def test_a_cut_may_go_as_far_under_as_the_widest_diameter_may_come_out_small(
    sizes: list[WantedSize], allowed: float
) -> None:
    assert allowed_under(Part(length=50.0, sizes=sizes)) == pytest.approx(allowed)


CLEAN = shapely.box(-59.9, 0, -0.1, 19.9)
"""Of a bar of 40 x 60 with a skin of 0.1."""


def test_finished_is_what_lies_under_turned_diameters_down_to_the_axis() -> None:
    # Turned to 36 from the front to Z-20.; of that the last 2 beside the raw diameter are left out.
    turned = shapely.union_all([shapely.box(-60, 0, -20, 20), shapely.box(-20, 0, 0, 18)])
    found = finished_columns(turned, CLEAN)
    assert found.symmetric_difference(shapely.box(-18, 0, 0, 18)).area < 1e-6


def test_with_raw_bar_between_both_ends_are_finished() -> None:
    # Raw from Z-40. to Z-20., so nothing from Z-42. to Z-18. is finished.
    both = shapely.union_all([shapely.box(-60, 0, 0, 18), shapely.box(-40, 0, -20, 20)])
    found = finished_columns(both, CLEAN)
    wanted = shapely.union_all([shapely.box(-60, 0, -42, 18), shapely.box(-18, 0, 0, 18)])
    assert found.symmetric_difference(wanted).area < 1e-6


def test_a_bar_raw_all_along_is_finished_nowhere_and_one_turned_all_along_everywhere() -> None:
    assert finished_columns(shapely.box(-60, 0, 0, 20), CLEAN).is_empty
    turned = shapely.box(-60, 0, 0, 18)
    assert finished_columns(turned, CLEAN).equals(turned)


@pytest.fixture(scope="module")
def scene() -> Scene:
    held = hold(files_of("G00 X44. Z4.\nG01 X-0.6 F0.2\nG00 X60."))
    trace = held.readings[0][0].trace
    return Scene("one", held.programs["one.nc"], trace, len(trace.motions))


FINISHED = shapely.box(-58, 0, 0, 15)


def told(
    scene: Scene,
    *cuts: shapely.Polygon,
    whose: str = "the finished outline",
    bores: shapely.Polygon = EMPTY,
) -> list[float]:
    """How deep each cut, all of one motion, goes under the outline, of which 0.05 are allowed."""
    none = np.empty(0, dtype=object)
    swept = Sweeps(
        none, none.astype(np.int64), np.array(cuts, dtype=object), np.full(len(cuts), 2), 3
    )
    found = good_metal_findings(scene, swept, FINISHED, bores, 0.05, whose)
    assert all(("`outline`" in each.cure) == (whose == OTHER_END) for each in found)
    return [measured(each, "depth") for each in found]


@pytest.mark.parametrize("deep", [0.04, 0.06])
def test_every_surface_may_be_cut_as_far_under_as_is_allowed(scene: Scene, deep: float) -> None:
    wanted = [] if deep < 0.05 else [pytest.approx(deep, abs=1e-6)]
    diameter = shapely.box(-10, 15 - deep, -5, 20)
    front, back = shapely.box(-deep, 0, 2, 5), shapely.box(-60, 0, -58 + deep, 5)
    for cut in (diameter, front, back):
        assert told(scene, cut) == wanted
        assert told(scene, cut, whose=OTHER_END) == wanted


def test_on_the_axis_there_is_no_surface_so_all_is_good_metal(scene: Scene) -> None:
    core = shapely.box(-10, 0, -5, 0.03)
    assert told(scene, core) == [pytest.approx(0.03, abs=1e-6)]
    assert told(scene, core, bores=shapely.box(-20, 0, 0, 4)) == []
