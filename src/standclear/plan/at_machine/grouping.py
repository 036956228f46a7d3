"""Which blanks run with the same shift: the fewest shifts that serve all.

Each blank allows a range of shifts. Going through the ranges by their upper ends, and setting a
shift at the first upper end that no shift set before serves, gives the fewest there can be
(stabbing of intervals; textbook result, from memory).
"""

from __future__ import annotations

from collections.abc import Mapping

Ranges = Mapping[int, tuple[int, int]]
"""By blank: least and greatest shift, in steps of the control, both included."""


def fewest_groups(ranges: Ranges) -> list[tuple[list[int], tuple[int, int]]]:
    """Blanks that share a shift with the range of shifts that all of them allow; in the fewest
    groups, and of those with as many blanks as can be left as they are (shift 0)."""
    greedy = _stabbed(ranges)
    as_they_are = {k: r for k, r in ranges.items() if r[0] <= 0 <= r[1]}
    others = _stabbed({k: r for k, r in ranges.items() if k not in as_they_are})
    if as_they_are and len(others) + 1 <= len(greedy):
        return [(sorted(as_they_are), _shared(as_they_are)), *others]
    return greedy


def _stabbed(ranges: Ranges) -> list[tuple[list[int], tuple[int, int]]]:
    groups: list[list[int]] = []
    at: int | None = None
    for blank in sorted(ranges, key=lambda k: (ranges[k][1], ranges[k][0])):
        if at is None or ranges[blank][0] > at:
            at = ranges[blank][1]
            groups.append([])
        groups[-1].append(blank)
    return [(sorted(g), _shared({k: ranges[k] for k in g})) for g in groups]


def _shared(ranges: Ranges) -> tuple[int, int]:
    return max(low for low, _ in ranges.values()), min(high for _, high in ranges.values())


def handy(low: int, high: int) -> int:
    """A shift from `low` to `high` that is easy to key in: 0 where it may be, else the multiple of
    the largest of 1, 5, 10, 50, 100, ... steps that lies inside, next to the middle."""
    if low <= 0 <= high:
        return 0
    size = 1
    while True:
        bigger = size * (5 if str(size)[0] == "1" else 2)
        if -(-low // bigger) * bigger > high:
            break
        size = bigger
    middle = round((low + high) / 2 / size) * size
    return min(max(middle, -(-low // size) * size), high // size * size)
