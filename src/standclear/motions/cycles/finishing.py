"""Finishing along a profile: G70.

Common practice across makes of lathe: from where the tool stands the profile once as it is
written, with its own F and S, then home to the point of call.
"""

from __future__ import annotations

from standclear.job.models import Control
from standclear.motions.cycles.path import Result, follow, home_of, only_moving, way_home
from standclear.motions.step import CycleFault, Profile, Reading


def finish(profile: Profile, control: Control) -> Result:
    """G70: the profile as written, then a rapid to S. One reading: an open way home is swept whole.

    Faults: `profile-missing` (unproven) for a profile without motion.
    """
    if not profile.moves:
        fault = CycleFault(
            "profile-missing",
            "The finishing call names a profile without a single motion.",
            "Write the profile between the two labels of the call.",
            unproven=True,
        )
        return (Reading((), ()),), (fault,)
    steps = [
        *follow(profile.moves, own_feed=True),
        *way_home(profile.exit, profile.start, home_of(control)),
    ]
    return (Reading((), only_moving(profile.start, steps)),), ()
