"""Which bar sizes a table gives: round figures of the trade across what is to be shown."""

from __future__ import annotations

from math import ceil, floor

STEPS = {
    "mm": (0.5, 1.0, 2.0, 5.0, 10.0, 20.0),
    "inch": tuple(25.4 / n for n in (32, 16, 8, 4, 2, 1)),
}
"""From one size to the next, mm."""
SAME_MM = 1e-6


def bar_sizes(stated: float, least: float, greatest: float, units: str, most: int) -> list[float]:
    """Sizes from `least` to `greatest`, mm, ascending: at most `most`, of them always `stated`.

    Multiples of the finest step that gives no more; of those nearest to `stated` where even the
    coarsest does.
    """
    found: list[float] = []
    for step in STEPS[units]:
        numbers = range(ceil(least / step - SAME_MM), floor(greatest / step + SAME_MM) + 1)
        found = [round(n * step, 9) for n in numbers]
        if not any(abs(size - stated) < SAME_MM for size in found):
            found.append(stated)
        if len(found) <= most:
            break
    nearest = sorted(found, key=lambda size: abs(size - stated))[:most]
    return sorted(nearest)
