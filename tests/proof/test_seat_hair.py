"""A hair of metal that only the last bits of a border make is no metal in the jaws."""

from __future__ import annotations

import pytest
import shapely

from standclear.proof.grip import SEATED_MM, _deepest

JAW = shapely.box(-60.0, 13.0, -50.0, 20.0)


def slanting(width: float) -> shapely.Polygon:
    """A strip along a chamfer, 0.6 long and 0.4 deep in the jaw."""
    line = shapely.LineString([(-51.0, 13.0), (-50.4, 13.4)])
    return line.buffer(width / 2, cap_style="flat")


@pytest.mark.parametrize(
    ("width", "stands"), [(1e-9, False), (SEATED_MM * 0.9, False), (SEATED_MM * 1.1, True)]
)
def test_what_no_disc_fits_in_is_no_metal(width: float, *, stands: bool) -> None:
    assert _deepest(slanting(width), JAW).is_empty is not stands


def test_a_corner_in_the_jaw_is_metal() -> None:
    assert not _deepest(shapely.box(-70.0, 0.0, -55.0, 13.0 + 2 * SEATED_MM), JAW).is_empty
