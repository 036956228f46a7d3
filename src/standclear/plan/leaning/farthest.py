"""A search over whole steps for the last one that is good, with as few trials as can be.

A trial proves a job anew, which is what costs. So the search is a generator: it yields the step to
try and is sent whether that was good, and whoever runs it may serve several with one proof.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence

Search = Generator[int, bool, tuple[int, int | None]]


def farthest(most: int, first: Sequence[int] = ()) -> Search:
    """Yields steps from 1 to `most` to be tried; returns the farthest good one and the first bad.

    Step 0 is taken as good and not tried. What is returned lies side by side (`bad` is `good` + 1),
    and each was tried, or `bad` is None and `most` itself is good. The steps of `first` are tried
    before any halving, where they still can tell something.
    """
    good, bad = 0, most + 1
    ahead = list(first)
    while bad - good > 1:
        at = ahead.pop(0) if ahead else (good + bad) // 2
        if not good < at < bad:
            continue
        if (yield at):
            good = at
        else:
            bad = at
    return good, (bad if bad <= most else None)


def run(search: Search, good: Callable[[int], bool]) -> tuple[int, int | None]:
    """The outcome of one search by itself."""
    try:
        at = next(search)
        while True:
            at = search.send(good(at))
    except StopIteration as done:
        found: tuple[int, int | None] = done.value
        return found


def run_together(
    searches: Sequence[Search], good: Callable[[Sequence[int]], Sequence[bool]]
) -> list[tuple[int, int | None]]:
    """The outcomes of several searches, a trial of all of them at a time.

    `good` gets the step of each search, 0 for those that are done, and tells of each whether it
    was good.
    """
    at = [0] * len(searches)
    found: list[tuple[int, int | None] | None] = [None] * len(searches)
    for k, search in enumerate(searches):
        try:
            at[k] = next(search)
        except StopIteration as done:
            found[k] = done.value
    while any(each is None for each in found):
        answers = good([0 if found[k] is not None else step for k, step in enumerate(at)])
        for k, search in enumerate(searches):
            if found[k] is not None:
                continue
            try:
                at[k] = search.send(answers[k])
            except StopIteration as done:
                found[k] = done.value
    return [each for each in found if each is not None]
