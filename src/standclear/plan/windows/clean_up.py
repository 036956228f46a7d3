"""Blanks of a window that do not clean up: metal that no cut takes reaches their raw surface.

Of the body that the cuts leave, the raw face and diameter must lie further out than all of it; what
the cuts do not reach at all must lie outside the blank.
"""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.interval import Interval
from standclear.plan.windows.plane import Axis, blocked_blanks, drawn, shared_slides
from standclear.plan.windows.sources import Cuts, Scope, Source, cuts_of, fallen_z, raw_faced
from standclear.proof.section import rectangle, slide
from standclear.proof.sizes import allowed_under
from standclear.proof.skin import LEAST_SKIN_MM
from standclear.sweeps.areas import SLIVER_MM, common, less, thickness, union

FAR_MM = 1e4
NEAR_MM = 1e-4
"""Two borders this near are one."""
UNCLEAN = "does not clean up"
FACE_STAYS = (
    "clean-up of the face is left out: some of it is cut by no set-up, however far it stands out"
)
SEAT_STAYS = (
    "clean-up of the face that the part lies on is left out: some of it is cut by no set-up "
    "before, however far it stands out"
)
BAND_STAYS = (
    "clean-up of the diameter is left out: some of it is cut by no set-up, however thick the bar"
)
FLATS_STAY = (
    "flats stay on this part: the width across them is the drawing's, and clean-up of the diameter "
    "is not asked for"
)


@dataclass(frozen=True)
class _Left:
    """What no cut takes, in the frame of one set-up."""

    body: BaseGeometry
    """Of which the part is made."""
    beyond: BaseGeometry
    """Outside the reach of the cuts."""


def not_cleaned(scope: Scope, k: int) -> tuple[list[Source], list[str]]:
    """What blocks blanks as not cleaning up on the end of set-up `k`, and sentences on what is
    left out."""
    frame, box, job = scope.frames[k], scope.box, scope.job
    cuts = cuts_of(scope, range(len(scope.frames)), k)
    found: list[Source] = []
    notes: list[str] = []
    left = _left(scope, k, cuts)
    columns = _columns(scope, k, left.body)
    body = less(left.body, union(c.place for c in columns)) if columns else left.body
    if not body.is_empty:
        z_top = body.bounds[2] + LEAST_SKIN_MM
        if z_top < scope.faces(k)[1]:
            face = shapely.box(-FAR_MM, -FAR_MM, z_top, FAR_MM)
            region = drawn(face, frame.clean_face, frame.clean_radius, box)
            found.append(Source(region, UNCLEAN, "face", k))
        else:
            notes.append(FACE_STAYS)
    if job.blank.flats_stay:
        notes.append(FLATS_STAY)
    else:
        side = _side(scope, k, body, cuts)
        if side is None:
            notes.append(BAND_STAYS)
        else:
            found.append(Source(side, UNCLEAN, "diameter", k))
        found += [source for c in columns for source in _of_column(scope, k, c)]
    reach = drawn(blocked_blanks(left.beyond, scope.plane(k)), frame.face, frame.radius, box)
    found.append(Source(reach, UNCLEAN, "out of reach", k))
    return found, notes


def _left(scope: Scope, k: int, cuts: Cuts) -> _Left:
    """Sorted into body and what lies beyond the reach of the cuts that do not slide."""
    part = scope.job.part.length
    fallen = fallen_z(scope.proof, k)
    back = fallen if fallen is not None else scope.back(k)
    if fallen is None and k in raw_faced(scope.proof) and len(scope.frames) > 1:
        # The raw face at the back is the other end's.
        back = max(back, -part)
    front, radius = scope.faces(k)[1], scope.radius(k)
    left = less(rectangle(back, front, scope.bore(k), radius), cuts.fixed)
    made = rectangle(back, min(0.0, front), 0.0, scope.frames[k].clean_radius.at)
    body: list[BaseGeometry] = []
    beyond: list[BaseGeometry] = []
    for piece in shapely.get_parts(left):
        if not piece.is_empty and thickness(piece) >= SLIVER_MM:
            within = common(piece, made)
            of_part = not within.is_empty and thickness(within) >= SLIVER_MM
            (body if of_part else beyond).append(piece)
    return _Left(union(body), union(beyond))


def _side(scope: Scope, k: int, body: BaseGeometry, cuts: Cuts) -> BaseGeometry | None:
    """Blanks too thin for their diameter to clean up; None where no bar is thick enough."""
    frame, radius = scope.frames[k], scope.radius(k)
    if cuts.sliding.is_empty:
        if body.is_empty or body.bounds[3] > radius - NEAR_MM:
            return None
        r_top = body.bounds[3] + LEAST_SKIN_MM
        thin = shapely.box(-FAR_MM, -FAR_MM, FAR_MM, r_top)
        return drawn(thin, frame.clean_face, frame.clean_radius, scope.box)
    room = abs(cuts.rate) * scope.most + 1.0
    z_min, _, z_max, _ = body.bounds
    others = less(rectangle(z_min - room, z_max + room, 0.0, radius), cuts.sliding)
    if common(body, others).bounds[3] > radius - NEAR_MM:
        return None
    thinner = Interval(-radius, LEAST_SKIN_MM)
    pairs = slide(shared_slides(others, body, room), Interval(0.0, 0.0), thinner)
    along = Axis(0.0, cuts.rate, scope.varied.stated)
    return drawn(pairs, along, frame.clean_radius, scope.box)


@dataclass(frozen=True)
class _Column:
    """A stretch of the finished outline that is the bar's own surface."""

    place: BaseGeometry
    """From that surface outwards."""
    radius: float


def _columns(scope: Scope, k: int, body: BaseGeometry) -> list[_Column]:
    """Where the finished outline reaches out to the surface of the bar in hand, which no cut takes
    there."""
    finished, frame = scope.proof.setups[k].finished, scope.frames[k]
    if finished is None:
        return []
    surface = frame.clean_radius.at + (scope.job.blank.skin or 0.0) - LEAST_SKIN_MM
    found = []
    for piece in shapely.get_parts(common(finished, rectangle(-FAR_MM, FAR_MM, surface, FAR_MM))):
        if piece.is_empty:
            continue
        z_from, _, z_to, radius = piece.bounds
        place = rectangle(z_from, z_to, frame.clean_radius.at - LEAST_SKIN_MM, FAR_MM)
        if not common(body, place).is_empty:
            found.append(_Column(place, radius))
    return found


def _of_column(scope: Scope, k: int, column: _Column) -> list[Source]:
    """A thicker bar stands out over the outline there, a thinner one does not fill it."""
    frame, skin = scope.frames[k], scope.job.blank.skin or 0.0
    thick = column.radius - skin + LEAST_SKIN_MM
    # The bar in hand fills it: its own tolerance is the drawing's affair.
    thin = min(column.radius - skin - allowed_under(scope.job.part), frame.clean_radius.at)
    boxes = (
        (shapely.box(-FAR_MM, thick, FAR_MM, FAR_MM), "diameter"),
        (shapely.box(-FAR_MM, -FAR_MM, FAR_MM, thin), "outline"),
    )
    return [
        Source(drawn(box, frame.clean_face, frame.clean_radius, scope.box), UNCLEAN, against, k)
        for box, against in boxes
    ]
