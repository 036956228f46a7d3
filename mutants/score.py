"""The share of faults that are seen, with what so many trials can tell of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from scipy.stats import binomtest

from mutants.run import Outcome

CONFIDENCE = 0.95


def interval(seen: int, tried: int) -> tuple[float, float]:
    """Between which shares the true one lies, two-sided at 95 %: the interval of Wilson, Probable
    inference (JASA 22, 1927). (0, 1) without trials."""
    if tried == 0:
        return 0.0, 1.0
    found = binomtest(seen, tried).proportion_ci(CONFIDENCE, method="wilson")
    return float(found.low), float(found.high)


def score_text(outcomes: Sequence[Outcome]) -> str:
    """Counts in words, and who saw how many."""
    seen = [each.seen_by for each in outcomes if each.seen_by]
    low, high = interval(len(seen), len(outcomes))
    share = 100 * len(seen) / len(outcomes) if outcomes else 0.0
    folders = Counter("/".join(name.split("/")[:2]) for name in seen)
    who = ", ".join(f"{name} {count}" for name, count in folders.most_common())
    return (
        f"{len(seen)} of {len(outcomes)} seen: {share:.1f} % "
        f"({100 * low:.1f} to {100 * high:.1f} % at 95 %)\nfirst seen by: {who or 'nobody'}"
    )
