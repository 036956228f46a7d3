"""Section lines over an area on paper."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.drawing.inks import Ink
from standclear.drawing.shapes import Line

SHORTEST = 0.05
"""A shorter piece of a section line is left out, mm."""


def hatched(
    geometry: BaseGeometry, ink: Ink, spacing: float, degrees: float = 45.0
) -> Iterator[Line]:
    """Section lines over an area on paper, `spacing` mm apart (ISO 128-50: narrow, 45 degrees).

    The lines hang on the paper's origin, so that all parts of one piece hatch alike.
    """
    if geometry.is_empty:
        return
    angle = math.radians(degrees)
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    x0, y0, x1, y1 = geometry.bounds
    corners = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    low, high = (corners @ across).min(), (corners @ across).max()
    first, last = (corners @ along).min(), (corners @ along).max()
    steps = np.arange(math.ceil(low / spacing), math.floor(high / spacing) + 1) * spacing
    base = steps[:, None] * across
    rows = shapely.linestrings(np.stack([base + along * first, base + along * last], axis=1))
    parts = shapely.get_parts(shapely.intersection(rows, geometry))
    long = parts[(shapely.get_type_id(parts) == 1) & (shapely.length(parts) > SHORTEST)]
    points = shapely.get_coordinates(long).tolist()
    counts = shapely.get_num_coordinates(long).tolist()
    at = 0
    for count in counts:
        yield Line(tuple((x, y) for x, y in points[at : at + count]), ink)
        at += count
