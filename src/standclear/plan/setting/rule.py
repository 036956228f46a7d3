"""The usual rule of the trade for clearance points, and what is left of it on the blank in hand.

The rule: 0.100 in (2.5 mm) over the bar's size on diameter and as much in front of the raw face;
common practice, no source. It counts from the sizes as stated, while the tool meets the largest
bar, its corners, and the highest spot of the face. Millimetres; r and gaps across are radial.
"""

from __future__ import annotations

from dataclasses import dataclass

from standclear.job.models import Job
from standclear.job.placing import CORNER_OVER_FLAT, place_setups
from standclear.job.tolerances import without_tolerances
from standclear.plan.setting.changed import is_parted
from standclear.plan.setting.split import Eaten
from standclear.proof.judge_setup import MARGIN_INCH_MM, MARGIN_MM, air_owed


@dataclass(frozen=True)
class Rule:
    """The rule on one axis of one set-up."""

    setup: str
    axis: str
    """`X` or `Z`."""
    point: float
    """The coordinate by the rule: r, or z."""
    left: float
    """Gap left there to the largest blank, real; negative inside it."""
    wanted: float
    """Margin of the job, real."""
    needed: float
    """The coordinate that leaves the margin."""
    eaten: tuple[Eaten, ...]
    """What the rule does not know of, real."""

    @property
    def enough(self) -> bool:
        """The rule leaves the margin."""
        return self.left >= self.wanted - 1e-9


def rules_of(job: Job) -> tuple[Rule, ...]:
    """The rule on both axes of each set-up that has a raw face, and its own X."""
    rule = MARGIN_INCH_MM if job.units == "inch" else MARGIN_MM
    placings, plain = place_setups(job), place_setups(without_tolerances(job))
    found = []
    for k, setup in enumerate(job.setup):
        if is_parted(job) and k > 0:
            continue
        air = air_owed(job, setup)
        across = job.blank.size / 2 + rule / 2
        radius = placings[k].strike_radius
        found.append(
            Rule(
                setup.name,
                "X",
                across,
                across - radius,
                air.across,
                radius + air.across,
                _eaten_across(job),
            )
        )
        along = plain[k].raw_face.lo + rule
        face = placings[k].raw_face.hi
        high = face - plain[k].raw_face.lo
        found.append(
            Rule(
                setup.name,
                "Z",
                along,
                along - face,
                air.along,
                face + air.along,
                (Eaten("saw, lean and zero", high),) if high > 1e-9 else (),
            )
        )
    return tuple(found)


def _eaten_across(job: Job) -> tuple[Eaten, ...]:
    """How far the largest blank may reach over the stated size, by source, on radius."""
    blank = job.blank
    corner = CORNER_OVER_FLAT[blank.shape]
    shares = (
        Eaten("corners", blank.size / 2 * (corner - 1.0)),
        Eaten("tolerance of the bar", blank.size_tolerance[1] / 2 * corner),
        Eaten("run-out", (blank.run_out or 0.0) / 2),
        Eaten("bow", blank.bow or 0.0),
    )
    return tuple(share for share in shares if abs(share.mm) > 1e-9)
