"""What is left of the grip at speed, and what cutting asks of it.

Estimates after the form of VDI 3106 (from memory): the chuck maker's plate and manual govern.
"""

from __future__ import annotations

from math import pi, sqrt

from standclear.interval import Interval
from standclear.job.models import Clamping

SAFETY = 2.0
"""On the cutting force; VDI 3106 asks for 1.5 at least (from memory)."""
FRICTION = Interval(0.1, 0.25)
"""Between jaws and steel, smooth to serrated; common practice, no source."""


def centrifugal_loss(clamping: Clamping, rpm: float) -> float:
    """Force that all jaws together lose in an outside grip at `rpm`, N: sum of m r times
    (pi n / 30)^2, m in kg and r in m."""
    return clamping.jaws * clamping.jaw_mass * clamping.jaw_centre / 1000.0 * (pi * rpm / 30.0) ** 2


def grip_left(clamping: Clamping, rpm: float) -> float:
    """Gripping force of all jaws at `rpm`, N; below 0 where they would hold nothing."""
    return clamping.force - centrifugal_loss(clamping, rpm)


def grip_needed(force: Interval, cut_diameter: float, grip_diameter: float) -> Interval:
    """Gripping force that keeps the part from turning in the jaws, N:

        F = S Fc dcut / (mu dgrip)

    with the cutting force `force` in N at `cut_diameter`; least with the best friction, most with
    the worst. Diameters in one unit.
    """
    turning = force * (SAFETY * cut_diameter / grip_diameter)
    return Interval(turning.lo / FRICTION.hi, turning.hi / FRICTION.lo)


def permitted_speed(clamping: Clamping, needed: float) -> float:
    """Speed at which just `needed` N of grip are left, rpm; 0 where there is less at rest:

    n = (30 / pi) sqrt((F0 - F) / sum of m r)
    """
    spare = clamping.force - needed
    moved = clamping.jaws * clamping.jaw_mass * clamping.jaw_centre / 1000.0
    return 30.0 / pi * sqrt(spare / moved) if spare > 0 else 0.0
