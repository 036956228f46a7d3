"""Blanks of a window that are struck: metal in the keep-out, jaws in what the tools sweep."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.motions.table import Spindle
from standclear.plan.windows.plane import Axis, blocked_blanks, blocked_slides, drawn, shared_slides
from standclear.plan.windows.sources import Cuts, Scope, Source, cuts_of, falls_of
from standclear.proof.held import HeldReading, contact_limit
from standclear.proof.keep_out import Layer
from standclear.proof.result import JobProof
from standclear.proof.section import grow, rectangle, slide
from standclear.proof.skin import LEAST_SKIN_MM
from standclear.sweeps.areas import EMPTY, common, less, union
from standclear.sweeps.sweep import sweep

FAR_MM = 1e4
"""Further than any blank reaches."""


def metal_struck(scope: Scope, k: int, reading: HeldReading) -> Iterator[Source]:
    """The blanks that overlap the keep-out of set-up `k` less what earlier set-ups surely cut."""
    cuts = cuts_of(scope, range(k), k)
    behind = rectangle(scope.back(k), FAR_MM, scope.bore(k), FAR_MM)
    for layer in reading.keep.layers:
        area = grow(_after_falls(layer, scope.proof, k), layer.grow, layer.grow)
        met = common(less(area, cuts.fixed), behind)
        yield Source(_blocked(scope, k, met, cuts), "strikes", "metal", k, 0, layer, cuts)


def _blocked(scope: Scope, k: int, met: BaseGeometry, cuts: Cuts) -> BaseGeometry:
    """The blanks of which `met` meets what `cuts` leave."""
    frame = scope.frames[k]
    faces_too = cuts.rate == frame.face.rate
    if cuts.sliding.is_empty or not (faces_too or frame.face.rate == 0.0):
        return drawn(blocked_blanks(met, scope.plane(k)), frame.face, frame.radius, scope.box)
    # Metal may be where the face is further out and nothing has been cut; it slides with the cuts,
    # and the face with it or not.
    if met.is_empty:
        return EMPTY
    least, _, greatest, _ = met.bounds
    room = abs(cuts.rate) * scope.most + 1.0
    front = frame.face.at if faces_too else greatest + room
    if not faces_too:
        met = common(met, rectangle(-FAR_MM, frame.face.at, 0.0, FAR_MM))
    metal = less(rectangle(least - room, front, 0.0, scope.radius(k) + 1.0), cuts.sliding)
    pairs = shared_slides(metal, met, room)
    if pairs.is_empty:
        return EMPTY
    # What is met at a radius is met by every larger blank.
    larger = slide(pairs, Interval(0.0, 0.0), Interval(0.0, scope.radius(k) + 1.0))
    along = Axis(0.0, cuts.rate, scope.varied.stated)
    return drawn(larger, along, frame.radius, scope.box)


def _after_falls(layer: Layer, proof: JobProof, k: int) -> BaseGeometry:
    """The keep-out of a layer; motions after metal has fallen meet none where it was."""
    falls = falls_of(proof, k)
    if not falls or not layer.tree:
        return layer.area
    kept = []
    for group, own in enumerate(layer.owned(layer.area)):
        members = layer.pieces[layer.group == group]
        first = int(layer.sweeps.strike_motion[members].min(initial=10**9))
        gone = [z for motion, z in falls if motion <= first]
        kept.append(less(own, rectangle(min(gone), FAR_MM, 0.0, FAR_MM)) if gone else own)
    return union(kept)


def obstacles_struck(scope: Scope, k: int, reading: HeldReading) -> Iterator[Source]:
    """Jaws, chuck and stop against all that the tools sweep near them; jaws that close on the bar
    itself move with its diameter."""
    proof, frame, box = scope.proof, scope.frames[k], scope.box
    gripped = _grips_bar(proof, k)
    most = max(
        abs(frame.jaws.rate) * scope.most,
        frame.radius.rate * max(box[3] - frame.radius.zero, frame.radius.zero - box[1]),
    )
    most += 1.0
    wear = max(reading.wear, default=0.0)
    for name, area in proof.setups[k].obstacles.items():
        if area.is_empty:
            continue
        swept = swept_near(scope, reading, area, most + wear)
        slides = blocked_slides(grow(area, wear, wear), swept, most)
        still = replace(frame.radius, at=0.0, rate=0.0)
        ways = [still]
        if name == "jaws" and gripped:
            ways = [replace(frame.grip, at=0.0)]
            if scope.job.setup[k].grip_diameter is not None:
                ways.append(still)
        for up in ways:
            yield Source(drawn(slides, frame.jaws, up, box), "strikes", name, k)


def swept_near(scope: Scope, reading: HeldReading, area: BaseGeometry, most: float) -> BaseGeometry:
    """All that the whole tools sweep within `most` mm of `area`, edges included."""
    z_min, _, z_max, r_max = area.bounds
    near = (z_min - most, 0.0, z_max + most, r_max + most)
    motions = reading.trace.motions
    whole = replace(motions, spindle=np.full_like(motions.spindle, Spindle.STOPPED))
    swept = sweep(whole, reading.tools, contact_limit(scope.job), near, rapid_corner=reading.corner)
    return union(swept.strike)


def _grips_bar(proof: JobProof, k: int) -> bool:
    """Whether the jaws close on the bar's own surface, so that they move with its diameter."""
    setup = proof.setups[k]
    jaws = setup.obstacles.get("jaws")
    if jaws is None or jaws.is_empty:
        return False
    between = common(setup.metal_before, rectangle(jaws.bounds[0], jaws.bounds[2], 0.0, FAR_MM))
    if between.is_empty:
        return False
    return bool(between.bounds[3] > setup.raw.bounds[3] - LEAST_SKIN_MM)
