"""Which bar sizes a table gives: round figures of the trade around the bar in hand."""

from __future__ import annotations

from math import ceil, floor

STEPS = {
    "mm": (0.5, 1.0, 2.0, 5.0, 10.0),
    "inch": tuple(25.4 / n for n in (64, 32, 16, 8, 4, 2)),
}
"""From one size to the next, mm."""
SHARE = 1 / 60
"""Of a bar's size that the step is at least: 1 mm up to bar 60. Our choice, no source."""
SAME_MM = 1e-6


def bar_sizes(stated: float, least: float, greatest: float, units: str, most: int) -> list[float]:
    """At most `most` sizes, mm, ascending: `stated`, and round ones from `least` to `greatest`,
    those nearest to it."""
    step = next((s for s in STEPS[units] if s >= stated * SHARE), STEPS[units][-1])
    numbers = range(ceil(least / step - SAME_MM), floor(greatest / step + SAME_MM) + 1)
    rounded = [round(n * step, 9) for n in numbers]
    others = [size for size in rounded if abs(size - stated) > SAME_MM]
    nearest = sorted(others, key=lambda size: abs(size - stated))[: most - 1]
    return sorted([stated, *nearest])
