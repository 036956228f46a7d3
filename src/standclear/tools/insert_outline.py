"""An insert laid in the section: its corners, its nose and the two edges that cut.

Frame of this and of `head`: the insert as a side-cutting right-hand tool has it, feeding towards
the chuck (-z) with the work's metal above and ahead: body towards +z and +r, imaginary tip at
(0, 0). Angles are counted from +z towards +r, degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from standclear.tools.errors import ToolError
from standclear.tools.insert import Insert
from standclear.tools.outline import Point


@dataclass(frozen=True, slots=True)
class PlacedInsert:
    """Sharp corners counter-clockwise from the nose, with what bounds the head."""

    corners: tuple[Point, ...]
    radii: tuple[float, ...]
    cuts: tuple[bool, ...]
    nose_centre: Point
    nose_radius: float
    main_angle: float
    """Heading of the main cutting edge away from the nose."""
    trailing_angle: float
    """Heading of the trailing edge away from the nose."""
    main_end: Point
    """Far corner of the main edge."""
    trailing_end: Point
    is_round: bool


def place_insert(insert: Insert, entering_angle: float, neutral: bool) -> PlacedInsert:
    """Turn an insert so that its main edge makes `entering_angle` (degrees) with the feed.

    The tip is where the tangents of the nose meet, along z and along r; of a neutral tool it is
    the nose's lowest point. Both edges beside the nose cut, a round insert along its lower half.
    Raises `ToolError` where no trailing angle is left or the nose does not fit.
    """
    if insert.included_angle is None:
        return _placed_round(insert, neutral)
    main = 180.0 - entering_angle
    trailing = main - insert.included_angle
    if trailing <= 0:
        raise ToolError(
            f"insert {insert.designation} at an entering angle of {entering_angle:g} degrees "
            "leaves its trailing edge no clearance"
        )
    bisector = main - insert.included_angle / 2
    corners = _corners(insert, bisector + 180)
    radius = insert.corner_radius_mm
    to_centre = radius / math.sin(math.radians(insert.included_angle / 2))
    shift = np.array([0.0 if neutral else radius, radius]) - (
        corners[0] + to_centre * _heading(bisector)
    )
    points = [(float(p[0] + shift[0]), float(p[1] + shift[1])) for p in corners]
    count = len(points)
    return PlacedInsert(
        corners=tuple(points),
        radii=tuple(radius if insert.shape != "W" or i % 2 == 0 else 0.0 for i in range(count)),
        cuts=tuple(i in (0, count - 1) for i in range(count)),
        nose_centre=(0.0 if neutral else radius, radius),
        nose_radius=radius,
        main_angle=main,
        trailing_angle=trailing,
        main_end=points[-1],
        trailing_end=points[1],
        is_round=False,
    )


def _corners(insert: Insert, nose_at: float) -> list[np.ndarray]:
    """Sharp corners round the centre of the inscribed circle, the first at angle `nose_at`."""
    half = insert.circle_mm / 2
    angle = insert.included_angle or 0.0
    nose = half / math.sin(math.radians(angle / 2))
    if insert.shape == "W":
        other = half / math.sin(math.radians((240 - angle) / 2))
        reaches = [nose, other] * 3
    elif insert.shape in "CDEMV":
        reaches = [nose, half / math.sin(math.radians((180 - angle) / 2))] * 2
    else:
        reaches = [nose] * round(360 / (180 - angle))
    step = 360 / len(reaches)
    return [reach * _heading(nose_at + i * step) for i, reach in enumerate(reaches)]


def _placed_round(insert: Insert, neutral: bool) -> PlacedInsert:
    """A round insert: a square whose corners are rounded until nothing straight is left."""
    radius = insert.circle_mm / 2
    z = 0.0 if neutral else radius
    return PlacedInsert(
        corners=(
            (z - radius, 0.0),
            (z + radius, 0.0),
            (z + radius, 2 * radius),
            (z - radius, 2 * radius),
        ),
        radii=(radius,) * 4,
        cuts=(True, True, False, True),
        nose_centre=(z, radius),
        nose_radius=radius,
        main_angle=90.0,
        trailing_angle=90.0,
        main_end=(z - radius, radius),
        trailing_end=(z + radius, radius),
        is_round=True,
    )


def _heading(degrees: float) -> np.ndarray:
    return np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
