"""What stands in the chuck when a set-up starts: metal, jaws, chuck and stop in its frame.

Frame: the section (z, r) of the set-up, Z0 at its part zero, millimetres.
"""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.job.models import Jaws, Job, Setup
from standclear.job.placing import Placing
from standclear.proof.section import rectangle, slide
from standclear.sweeps.areas import common

CHUCK_DEPTH_MM = 300.0
"""How far chuck and stop are drawn towards the spindle: further than any tool can reach."""
WIDE = 1e6
HOLD_MM = 1.0
"""Where the job gives no jaws: how far around the seat the blank counts as held."""


@dataclass(frozen=True)
class Metal:
    """The blank or what is left of it: `most` that may be there, `least` that surely is, and what
    is there when every size and zero lies in the middle of its tolerance (`nominal`)."""

    most: BaseGeometry
    least: BaseGeometry
    nominal: BaseGeometry


def raw_metal(placing: Placing) -> Metal:
    """The largest raw outline of the first set-up's blank, the smallest, and the one in the
    middle."""
    least_radius = placing.cleanup_radius + placing.skin
    least_bore = max(placing.bore_cleanup - placing.skin, 0.0)
    return Metal(
        rectangle(
            placing.back_face.lo, placing.face_strike_z, placing.bore_strike, placing.strike_radius
        ),
        rectangle(placing.back_face.hi, placing.raw_face.lo, least_bore, least_radius),
        rectangle(
            placing.back_face.middle,
            placing.raw_face.middle,
            (placing.bore_strike + least_bore) / 2,
            (placing.strike_radius + least_radius) / 2,
        ),
    )


def clean_outline(placing: Placing) -> BaseGeometry:
    """Raw outline of the first set-up's smallest blank less its skin: what lies outside must come
    off."""
    return rectangle(
        placing.back_face.hi + placing.skin,
        placing.face_cleanup_z,
        placing.bore_cleanup,
        placing.cleanup_radius,
    )


def obstacles_of(
    jaws: Jaws | None, setup: Setup, placing: Placing, metal: Metal, moved: Interval
) -> tuple[dict[str, BaseGeometry], Interval]:
    """Jaws, chuck and stop at every corner of the tolerances, and Z between which jaws hold.

    The jaws move with the gripped diameter: the largest bar has its jaw corners furthest out, the
    smallest furthest in; both and all between are taken. `moved` is how far the face that they are
    placed from lies from where the placing has it.
    """
    stop = placing.stop_plane + moved
    if jaws is None:
        return {}, Interval(stop.lo - HOLD_MM, stop.hi + HOLD_MM)
    held = [z for z, h in jaws.profile if abs(h) < 1e-9] or [z for z, _ in jaws.profile]
    grip = Interval(stop.lo + min(held), stop.hi + max(held))
    radius = _gripped_radius(setup, metal, grip, placing)
    profile = shapely.Polygon([(z, h) for z, h in jaws.profile])
    found = {"jaws": common(slide(profile, stop, radius), rectangle(-WIDE, WIDE, 0.0, WIDE))}
    if jaws.chuck is not None:
        face = stop.hi + jaws.chuck.face
        found["chuck"] = rectangle(face - CHUCK_DEPTH_MM, face, 0.0, jaws.chuck.diameter / 2)
    if jaws.stop is not None:
        found["stop"] = rectangle(stop.hi - CHUCK_DEPTH_MM, stop.hi, 0.0, jaws.stop.diameter / 2)
    return found, grip


def _gripped_radius(setup: Setup, metal: Metal, grip: Interval, placing: Placing) -> Interval:
    """From the metal between the jaws; what the job states is taken too, never alone: jaws close on
    what is there. But of a bar that is not round only the job can say that they close on its
    flats."""
    between = rectangle(grip.lo, grip.hi, 0.0, WIDE)
    found = [common(a, between) for a in (metal.least, metal.most)]
    radii = [float(a.bounds[3]) if not a.is_empty else placing.strike_radius for a in found]
    if setup.on_flats and placing.flats is not None:
        radii = [min(radius, placing.flats.hi) for radius in radii]
    if setup.grip_diameter is not None:
        radii.append(setup.grip_diameter / 2)
    return Interval(min(radii), max(radii))


def finished_outline(job: Job) -> BaseGeometry | None:
    """The finished part in the first set-up's frame, bores filled; None where the job has none."""
    if job.part.outline is None:
        return None
    upper = [(z, d / 2) for z, d in job.part.outline]
    return shapely.Polygon([(upper[0][0], 0.0), *upper, (upper[-1][0], 0.0)])
