"""How often something may happen at most, that was seen a few times in many trials."""

from __future__ import annotations

CONFIDENCE = 0.95


def at_most(seen: int, trials: int) -> float:
    """Greatest share, one-sided at 95 %, with which `seen` of `trials` still goes together.

    The exact bound of Clopper and Pearson (Biometrika 26, 1934). For none seen it is close to three
    divided by the trials (Hanley and Lippman-Hand, JAMA 249, 1983). 1 without trials.
    """
    if trials == 0:
        return 1.0
    from scipy.stats import binomtest  # type: ignore[import-untyped]

    found = binomtest(seen, trials, alternative="less")
    return float(found.proportion_ci(CONFIDENCE, method="exact").high)


def bound_text(seen: int, trials: int) -> str:
    """Such a bound in words."""
    return f"{seen} of {trials}, at most {100 * at_most(seen, trials):.3g} % (95 %)"
