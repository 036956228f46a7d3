"""Numbers in the tables of a file, which may hold anything."""

from __future__ import annotations


def points_in(value: object) -> list[tuple[float, float]] | None:
    """Points of a raw list; None where it holds anything else."""
    if not isinstance(value, list) or not value:
        return None
    points = []
    for each in value:
        if not (isinstance(each, list) and len(each) == 2 and all(map(is_number, each))):
            return None
        points.append((float(each[0]), float(each[1])))
    return points


def is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
