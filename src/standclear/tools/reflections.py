"""Reflections that carry a tool drawn once into each way it can stand in the section."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely
from numpy.typing import NDArray

from standclear.tools.outline import Outline, mapped

Reflection = Callable[[NDArray[np.float64]], NDArray[np.float64]]


def across_axis(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Reflect z: a tool that cuts towards the chuck becomes one that cuts away from it."""
    turned: NDArray[np.float64] = points * np.array([-1.0, 1.0])
    return turned


def along_axis(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Reflect r: an outside tool becomes an inside one."""
    turned: NDArray[np.float64] = points * np.array([1.0, -1.0])
    return turned


def exchanged(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Exchange z and r: an edge at the side becomes one at the end."""
    return points[:, ::-1]


def in_section(outline: Outline, reflections: tuple[Reflection, ...]) -> Outline:
    """The outline after each reflection in turn."""
    for reflect in reflections:
        outline = mapped(outline, reflect)
    return outline


def reflected(region: shapely.Geometry, reflections: tuple[Reflection, ...]) -> shapely.Geometry:
    """The region after each reflection in turn."""
    for reflect in reflections:
        region = shapely.transform(region, reflect)
    return region


def reflected_point(
    point: tuple[float, float], reflections: tuple[Reflection, ...]
) -> tuple[float, float]:
    """The point after each reflection in turn."""
    points = np.array([point], dtype=np.float64)
    for reflect in reflections:
        points = reflect(points)
    return float(points[0, 0]) + 0.0, float(points[0, 1]) + 0.0
