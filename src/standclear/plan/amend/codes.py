"""Findings that a change of words may mend, by their codes."""

from __future__ import annotations

RUN_IN_SHORT = "thread-run-in-short"
NOT_FOLLOWED = "cannot-follow"
"""A call that makes no motions, for it stands where it has no way to go, say."""
SUNK = "start-inside-metal"
MENDABLE = frozenset(
    {
        "rapid-into-metal",
        SUNK,
        "start-too-near",
        "approach-too-near",
        "tool-appears-in-metal",
        RUN_IN_SHORT,
        NOT_FOLLOWED,
    }
)
"""Findings that a clearance point may be to blame for."""
FROM_ELSEWHERE = MENDABLE | {
    "holder-into-metal",
    "cut-too-deep",
    "profile-not-monotone",
    "allowance-wrong-side",
    "level-outside-profile",
}
"""Findings that may come of a cycle called at the wrong place."""
WRONG_OFFSET = "wrong-work-offset"
"""Where another zero is in force, clearance points are not to blame: nothing is moved there."""
