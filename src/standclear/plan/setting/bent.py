"""Rapids whose way passes nearer to the metal than the place where they end.

Where each axis runs at its own rate until it arrives, a rapid bends; the gap at its end then says
nothing of its way. Frame: the section of one set-up, millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

from shapely.affinity import translate

from standclear.findings.finding import Place
from standclear.motions.table import FAR, Kind, Motions, Path
from standclear.proof.approach import swept_ways
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
    """Rapids in both axes between known places that do not run straight and pass nearer than they
    end, one a block."""
    trace = reading.trace
    motions = trace.motions
    scene = Scene(setup.name, setup.program, trace, len(motions))
    z_min, _, z_max, r_max = setup.raw.bounds
    reach = (z_min - AROUND_MM, 0.0, z_max + AROUND_MM, r_max + AROUND_MM)
    clock = MetalClock(setup.metal_before, reading.keep.cut)
    found: dict[int, BentApproach] = {}
    for legs in _bent(motions):
        left = clock.before(legs[0])
        outline = setup.tool_outlines[int(motions.tool[legs[0]])]
        place = scene.place(int(motions.block[legs[0]]))
        if outline.is_empty or left.is_empty or place is None:
            continue
        z, r = motions.end[legs[-1]]
        ways = [w for w in swept_ways(motions, reading.tools, legs, reach) if not w.is_empty]
        if not ways:
            continue
        nearest = min(float(way.distance(left)) for way in ways)
        at_end = float(translate(outline, float(z), float(r)).distance(left))
        if nearest < at_end - NEARER_MM:
            known = bool(motions.path[legs[0]] != Path.ANYWHERE)
            found.setdefault(place.block, BentApproach(setup.name, place, nearest, at_end, known))
    return tuple(found.values())


def _bent(motions: Motions) -> list[list[int]]:
    """The rows of each rapid of both axes between known places that may not run straight."""
    found: list[list[int]] = []
    plain = (motions.kind == Kind.RAPID) & (motions.call < 0)
    row = 0
    while row < len(motions):
        legs = [row]
        while (
            plain[row]
            and legs[-1] + 1 < len(motions)
            and plain[legs[-1] + 1]
            and motions.block[legs[-1] + 1] == motions.block[row]
        ):
            legs.append(legs[-1] + 1)
        bent = motions.path[row] == Path.ANYWHERE or len(legs) > 1
        known = max(abs(motions.start[row]).max(), abs(motions.end[legs[-1]]).max()) < FAR / 2
        if plain[row] and bent and known:
            found.append(legs)
        row = legs[-1] + 1
    return found
