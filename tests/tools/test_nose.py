"""Noses: radius and centre from the controlled point, worked by hand from each description."""

from __future__ import annotations

from typing import Any

import pytest

from standclear.job.models import Tool
from standclear.motions.nose.tips import direction_of
from standclear.tools.nose import nose_of

OUTLINE = {
    # Edges along z and along r meet at (0, 0), rounded 0.8: centre (0.8, 0.8).
    "points": [[0.0, 0.0], [12.0, 0.0], [12.0, 40.0], [0.0, 40.0]],
    "cutting": [0, 3],
}


@pytest.mark.parametrize(
    ("described", "radius", "centre", "direction"),
    [
        # Right-hand holder, feeding towards the chuck with M03: the nose stands at +z, +r of the
        # tip, direction 3. The left-hand one is its mirror image, 4. A boring bar cuts outwards, 2.
        (
            {"insert": "CNMG120408", "holder": "PCLNR2525M12"},
            0.8,
            (0.8, 0.8),
            3,
        ),
        ({"insert": "CNMG120408", "holder": "PCLNL2525M12"}, 0.8, (-0.8, 0.8), 4),
        ({"insert": "CCMT09T304", "holder": "S20R-SCLCR09"}, 0.4, (0.4, -0.4), 2),
        # A neutral tool's controlled point is the lowest of the nose.
        ({"insert": "VBMT160404", "holder": "SVVBN2020K16"}, 0.4, (0.0, 0.4), 8),
        (
            {"outline": {**OUTLINE, "corners": [{"point": 0, "radius": 0.8}]}},
            0.8,
            (0.8, 0.8),
            3,
        ),
        ({"grooving": {"width": 3.0, "reach": 20.0, "corner_radius": 0.2}}, 0.2, (0.2, 0.2), 3),
        (
            {
                "grooving": {
                    "width": 3.0,
                    "reach": 20.0,
                    "corner_radius": 0.2,
                    "controlled": "tail-side",
                    "where": "inside",
                }
            },
            0.2,
            (-0.2, -0.2),
            1,
        ),
    ],
)
def test_nose_by_description(
    described: dict[str, Any], radius: float, centre: tuple[float, float], direction: int
) -> None:
    nose = nose_of(Tool(station=1, **described))
    assert nose is not None
    assert nose.radius == pytest.approx(radius)
    assert nose.centre == pytest.approx(centre)
    assert direction_of(nose.centre, nose.radius) == direction


@pytest.mark.parametrize(
    "described",
    [
        {"drill": {"diameter": 12.0, "length": 70.0}},
        {"outline": OUTLINE},
        {"grooving": {"width": 3.0, "reach": 20.0}},
        {"insert": "no such insert", "holder": "PCLNR2525M12"},
    ],
)
def test_no_nose_is_known(described: dict[str, Any]) -> None:
    assert nose_of(Tool(station=1, **described)) is None
