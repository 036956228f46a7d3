"""Rapids whose way passes nearer to the metal than the place where they end.

Where each axis runs at its own rate until it arrives, a rapid bends; the gap at its end then says
nothing of its way. Frame: the section of one set-up, millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

from shapely.affinity import translate

from standclear.findings.finding import Place
from standclear.motions.table import FAR, Kind, Motions, Path
from standclear.proof.approach import placed_stations
from standclear.proof.clock import MetalClock
from standclear.proof.facts import Scene
from standclear.proof.held import HeldReading
from standclear.proof.result import SetupProof

AROUND_MM = 25.0
"""How far around the blank ways are looked at: beyond it no way is near. Our choice, no source."""
NEARER_MM = 0.01
"""A way nearer by less than this is the noise of the outlines."""


@dataclass(frozen=True)
class BentApproach:
    """One such rapid."""

    setup: str
    place: Place
    nearest: float
    """On the way, mm; 0 where it strikes."""
    at_end: float
    known: bool
    """The way is known to bend; else it is only not known to be straight."""


def bent_approaches(reading: HeldReading, setup: SetupProof) -> tuple[BentApproach, ...]:
    """Rapids in both axes from and to known places outside the raw outline, one a block."""
    trace = reading.trace
    motions = trace.motions
    scene = Scene(setup.name, setup.program, trace, len(motions))
    z_min, _, z_max, r_max = setup.raw.bounds
    reach = (z_min, 0.0, z_max + AROUND_MM, r_max + AROUND_MM)
    clock = MetalClock(setup.metal_before, reading.keep.cut)
    found: dict[int, BentApproach] = {}
    for motion, way in placed_stations(trace, reading.tools, setup.raw, reach):
        left = clock.before(motion)
        last = _last_leg(motions, motion)
        outline = setup.tool_outlines[int(motions.tool[motion])]
        place = scene.place(int(motions.block[motion]))
        if last is None or outline.is_empty or way.is_empty or left.is_empty or place is None:
            continue
        z, r = motions.end[last]
        nearest = float(way.distance(left))
        at_end = float(translate(outline, float(z), float(r)).distance(left))
        if nearest < at_end - NEARER_MM:
            known = bool(motions.path[motion] != Path.ANYWHERE)
            found.setdefault(place.block, BentApproach(setup.name, place, nearest, at_end, known))
    return tuple(found.values())


def _last_leg(motions: Motions, motion: int) -> int | None:
    """The row in which the rapid that row `motion` is a leg of ends; None where it is no rapid of
    both axes between known places, or where it runs straight."""
    if motions.kind[motion] != Kind.RAPID or motions.call[motion] >= 0:
        return None
    last = motion
    while (
        last + 1 < len(motions)
        and motions.block[last + 1] == motions.block[motion]
        and motions.kind[last + 1] == Kind.RAPID
        and motions.call[last + 1] < 0
    ):
        last += 1
    bent = motions.path[motion] == Path.ANYWHERE or last > motion
    ends = abs(motions.start[motion]).max(), abs(motions.end[last]).max()
    return last if bent and max(ends) < FAR / 2 else None
