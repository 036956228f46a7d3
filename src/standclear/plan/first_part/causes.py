"""What explains measured sizes: the fewest offsets, and the measurements that none explains.

A size that came out as the program makes it has no error. An error is explained where offsets that
were off by something make it, to within the gauge's uncertainty and what a machine repeats to.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from standclear.plan.first_part.effects import Effects, Knob

REPEATS_MM = 0.01
"""How far two surfaces that one tool has cut may differ from what one offset explains: play,
heat and bending of a sound machine; common practice, no source."""
MOST_KNOBS = 3
"""More offsets than this explain anything."""


@dataclass(frozen=True)
class Measured:
    """One size as measured, mm. `error` is measured less what the program makes; `wanted` what it
    lacks to the middle of its tolerance; `room` how far below and above `wanted` the change may
    lie so that the size, with the gauge's uncertainty, is surely right (empty where low > high)."""

    name: str
    effects: Effects
    error: float
    uncertainty: float
    wanted: float
    room: tuple[float, float]


@dataclass(frozen=True)
class Cause:
    """What explains a group of sizes."""

    keyed: dict[Knob, float]
    """The change of each offset, mm, that the group asks for; not yet rounded."""
    was_off: dict[Knob, float]
    """How far each was off when the part was cut, mm."""
    unexplained: tuple[str, ...]
    """Names of sizes that no offset explains; left out of the sums."""
    also: tuple[tuple[Knob, ...], ...]
    """Other offsets, as many, that explain the same."""


def causes_of(sizes: Sequence[Measured]) -> tuple[Cause, ...]:
    """The causes of `sizes`, those that share no offset apart from each other."""
    return tuple(_cause(group) for group in _groups(sizes))


def _groups(sizes: Sequence[Measured]) -> list[list[Measured]]:
    groups: list[tuple[set[Knob], list[Measured]]] = []
    for size in sizes:
        knobs, members = set(size.effects), [size]
        apart = []
        for other, those in groups:
            if other & knobs:
                knobs, members = knobs | other, those + members
            else:
                apart.append((other, those))
        groups = [*apart, (knobs, members)]
    return [members for _, members in groups]


def _cause(group: Sequence[Measured]) -> Cause:
    found = _fewest(group)
    if found is not None:
        return _answer(group, found, ())
    # One slip of the gauge is likelier than several: the sizes without it must agree.
    alone = [(k, _fewest([s for s in group if s is not k])) for k in group]
    sound = [(k, f) for k, f in alone if f is not None]
    if len(group) > 2 and sound:
        fewest = min(len(f[0]) for _, f in sound)
        best = [(k, f) for k, f in sound if len(f[0]) == fewest]
        if len(best) == 1:
            slip, kept = best[0]
            return _answer([s for s in group if s is not slip], kept, (slip.name,))
    return Cause({}, {}, tuple(s.name for s in group), ())


def _answer(
    group: Sequence[Measured], found: list[tuple[Knob, ...]], unexplained: tuple[str, ...]
) -> Cause:
    knobs = found[0]
    was_off = dict(zip(knobs, _fit(group, knobs, [s.error for s in group]) or [], strict=True))
    return Cause(_keyed(group, knobs, was_off), was_off, unexplained, tuple(found[1:]))


def _fewest(group: Sequence[Measured]) -> list[tuple[Knob, ...]] | None:
    """The smallest sets of knobs that explain the errors of all, the likeliest first: a work offset
    before a tool, since all of one end off alike is a zero; none at all where nothing is off and
    every size is right."""
    errors = [s.error for s in group]
    knobs = sorted({k for s in group for k in s.effects}, key=_likely)
    right = all(s.room[0] <= 0 <= s.room[1] for s in group)
    for count in range(0 if right else 1, min(MOST_KNOBS, len(group)) + 1):
        fits = [
            (slack, chosen)
            for chosen in combinations(knobs, count)
            if (slack := _misfit(group, chosen, errors)) <= 0
        ]
        if fits:
            return [chosen for _, chosen in fits]
    return None


def _likely(knob: Knob) -> tuple[int, int]:
    """Zeros first, and of them the last: the second end is set from what the first has left."""
    kind = ("zero", "z", "x").index(knob.kind)
    return kind, -knob.number if kind == 0 else knob.number


def _misfit(group: Sequence[Measured], knobs: Sequence[Knob], errors: Sequence[float]) -> float:
    """By how much the worst size stays unexplained, mm; 0 or less where all are explained."""
    values = _fit(group, knobs, errors)
    if values is None:
        return float("inf")
    left = [
        abs(e - sum(s.effects.get(k, 0.0) * v for k, v in zip(knobs, values, strict=True)))
        - s.uncertainty
        - REPEATS_MM
        for s, e in zip(group, errors, strict=True)
    ]
    return max(left)


def _fit(
    group: Sequence[Measured], knobs: Sequence[Knob], amounts: Sequence[float]
) -> list[float] | None:
    """Least squares; None where the knobs cannot be told apart by these sizes."""
    if not knobs:
        return []
    table = np.array([[s.effects.get(k, 0.0) for k in knobs] for s in group])
    if np.linalg.matrix_rank(table) < len(knobs):
        return None
    solved: list[float] = np.linalg.lstsq(table, np.array(amounts), rcond=None)[0].tolist()
    return solved


def _keyed(
    group: Sequence[Measured], knobs: tuple[Knob, ...], was_off: dict[Knob, float]
) -> dict[Knob, float]:
    """The changes that bring the sizes nearest to the middle of their tolerances.

    One knob: the middle of the range in which every size is right, so that the tightest has as much
    room below as above. Several, or no such range: least squares.
    """
    if len(knobs) == 1:
        low, high = _range(group, knobs[0])
        if low <= high and high - low < float("inf"):
            return {knobs[0]: (low + high) / 2}
    wanted = _fit(group, knobs, [s.wanted for s in group]) or []
    return dict(zip(knobs, wanted, strict=True))


def _range(group: Sequence[Measured], knob: Knob) -> tuple[float, float]:
    """Changes of `knob` with which every size that it moves is right."""
    ends = list(_ends(group, knob))
    return max((e[0] for e in ends), default=0.0), min((e[1] for e in ends), default=0.0)


def _ends(group: Sequence[Measured], knob: Knob) -> Iterator[tuple[float, float]]:
    for size in group:
        rate = size.effects.get(knob, 0.0)
        if rate:
            low, high = sorted((size.room[0] / rate, size.room[1] / rate))
            yield (low, high) if size.room[0] <= size.room[1] else (high, low)
