"""Where blank, part zero and jaws stand in each set-up, as intervals.

Frame of a set-up: its part zero at z = 0, + away from the spindle, millimetres. The finished
front face is z1 = 0 of the first set-up, the finished face that a set-up makes is its z = 0.

Every face that the saw left leans by up to q (`out_of_square`): its highest point is named here
and its other points lie up to q behind it. Terms, all of one frame:

    H   highest point of the outer raw face      X   outermost point of the chuck-side face
    L   blank length with its saw tolerance      e   error of the zero         P   finished length
    D   span from X to H of the uncut blank: L + [0, q]. The tolerance of L bounds the length
        between the faces at every place (two-point size, ISO 14405-1, from memory); at the place
        of X the outer face is at most q below H, at the place of H the span is at least L

First set-up, f the face allowance:

    stop    X = -from_stop +/- e                               H = X + D
    touch   H = f +/- e (turning) or f +/- e + [0, q]          X = H - D
    rule    as touch, always standing; e is the zero's error and that of the stick-out together

Turned round, z2 = c - z1; Y is the face of the set-up before that is now the chuck side (z1 = 0,
finished, flat), O the one that is now outside (the first time X, raw; later a finished face):

    finished-on-stop  c = -from_stop +/- e, from_stop left out: P
    measured          c = -P +/- e + [-q, 0] (turning) or + [-q, q]: the length keyed in may have
                      been measured at a place that is up to q lower than the one touched
    nominal           c = t + O with t = f +/- e (turning) or f +/- e + [0, q]; with O = f1 - L
                      that is c = f + f1 - L = f - M, M = L - f1

and H = c - X of the set-up before (nominal, first time round: H = t, which does not move with
the saw). Finished length = -c. Not turned round: z2 = z1 + s, s = X2 - X1 on a stop, else 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from standclear.interval import Interval
from standclear.job.bounds import bounds_not_given
from standclear.job.models import Blank, Jaws, Job, Setup
from standclear.job.setup_checks import is_turned, jaws_of, same_clamping
from standclear.job.units import Point

CORNER_OVER_FLAT = {"round": 1.0, "tube": 1.0, "hexagon": 2 / sqrt(3), "square": sqrt(2)}
"""Circumscribed circle over the width across flats, closed form."""


@dataclass(frozen=True)
class Placing:
    """One set-up. Z values are of its frame; radii in millimetres."""

    name: str
    turned: bool
    raw_face: Interval
    """Z of the outer raw face: every point of it, for every blank of the tolerance."""
    back_face: Interval
    """Z of the chuck-side end: every point of it (sawn, or the finished face once turned)."""
    mirror: Interval | None
    """c in z = c - z_before; None where the part was not turned round."""
    shift: Interval | None
    """s in z = z_before + s; None for the first set-up and where the part was turned round."""
    length_follows_saw: bool
    """The mirror slides with the length of the blank (way `nominal`)."""
    stop_plane: Interval
    """Z of the jaws' stop plane, from which their profile counts. Where the blank is set by its
    stick-out and the job gives no jaws: Z of the jaws' front."""
    strike_radius: float
    """No metal of the blank lies farther out."""
    cleanup_radius: float
    """Turned to this radius or less, no raw skin is left outside."""
    flats: Interval | None
    """Radius of the flats of a bar that is not round; None for one that is."""
    bore_strike: float
    """No metal of the blank lies nearer the axis; 0 for a solid blank."""
    bore_cleanup: float
    """Bored to this radius or more, no raw skin is left inside; 0 for a solid blank."""
    skin: float
    """Depth of bad skin on the faces."""
    unknown: tuple[str, ...]
    """Sentences: bounds of the job that are not given and count as 0."""

    @property
    def face_strike_z(self) -> float:
        """No metal of the blank stands out farther than this Z."""
        return self.raw_face.hi

    @property
    def face_cleanup_z(self) -> float:
        """Faced to this Z or less, no raw skin is left on the outer face."""
        return self.raw_face.lo - self.skin

    @property
    def finished_length(self) -> Interval | None:
        """Length between the finished faces once this set-up has faced z = 0; None where the part
        was not turned round."""
        return None if self.mirror is None else -self.mirror


@dataclass(frozen=True)
class _Ends:
    """The faces of the piece in one set-up: points H and X of the module's notes."""

    outer_raw: Interval
    chuck_side: Interval
    """Highest point of the face that really is on the chuck side."""
    chuck_side_raw: Interval
    """Where that end's sawn face was or is."""
    sawn: bool
    """The chuck side is a sawn face."""


def place_setups(job: Job) -> tuple[Placing, ...]:
    """Where everything stands in each set-up of a job in millimetres.

    The intervals are a box around every blank, zero and seat of the tolerances: they leave
    correlations out where that only widens them. The job must have passed `read_job`.
    """
    placings: list[Placing] = []
    ends: _Ends | None = None
    unknown = bounds_not_given(job)
    for index, setup in enumerate(job.setup):
        mirror: Interval | None = None
        shift: Interval | None = None
        if ends is None:
            ends = _first(job, setup)
        elif is_turned(index, setup):
            mirror, ends = _turned(job, setup, ends)
        else:
            shift, ends = _same_end(job, index, setup, ends)
        placings.append(_placing(job, index, setup, ends, mirror, shift, unknown))
    return tuple(placings)


def _first(job: Job, setup: Setup) -> _Ends:
    span = _span(job.blank)
    if setup.zero.way == "stop":
        seat = _seat(setup, job)
        return _Ends(seat + span, seat, seat, sawn=True)
    highest = _touched(setup, _lean(job.blank))
    return _Ends(highest, highest - span, highest - span, sawn=True)


def _turned(job: Job, setup: Setup, before: _Ends) -> tuple[Interval, _Ends]:
    """The mirror and the faces of a set-up before which the part was turned round."""
    lean = _lean(job.blank) if before.sawn else 0.0
    way, error = setup.zero.way, setup.zero.error
    touched: Interval | None = None
    if way == "finished-on-stop":
        mirror = _seat(setup, job)
    elif way == "measured":
        above = lean if setup.zero.touched == "standing" else 0.0
        mirror = Interval.about(-job.part.length, error) + Interval(-lean, above)
    else:
        touched = _touched(setup, lean)
        mirror = touched + before.chuck_side
    outer_raw = touched if touched and before.sawn else mirror - before.chuck_side_raw
    return mirror, _Ends(outer_raw, mirror, mirror - before.outer_raw, sawn=False)


def _same_end(job: Job, index: int, setup: Setup, before: _Ends) -> tuple[Interval, _Ends]:
    """The shift and the faces of a set-up before which the part was not turned round."""
    if same_clamping(job, index):
        return Interval(0.0, 0.0), before
    seat = _seat(setup, job)
    shift = seat - before.chuck_side
    chuck_side_raw = seat if before.sawn else before.chuck_side_raw + shift
    outer_raw = seat + _span(job.blank) if before.sawn else before.outer_raw + shift
    return shift, _Ends(outer_raw, seat, chuck_side_raw, before.sawn)


def _placing(
    job: Job,
    index: int,
    setup: Setup,
    ends: _Ends,
    mirror: Interval | None,
    shift: Interval | None,
    unknown: tuple[str, ...],
) -> Placing:
    blank = job.blank
    lean = _lean(blank)
    raw_face = Interval(ends.outer_raw.lo - lean, ends.outer_raw.hi)
    back_lean = lean if ends.sawn else 0.0
    strike, cleanup = _outside(blank)
    bore_strike, bore_cleanup = _inside(blank)
    return Placing(
        name=setup.name,
        turned=is_turned(index, setup),
        raw_face=raw_face,
        back_face=Interval(ends.chuck_side.lo, ends.chuck_side.hi + back_lean),
        mirror=mirror,
        shift=shift,
        length_follows_saw=setup.zero.way == "nominal",
        stop_plane=_stop_plane(job, setup, ends.chuck_side, raw_face),
        strike_radius=strike,
        cleanup_radius=cleanup,
        flats=_flats(blank),
        bore_strike=bore_strike,
        bore_cleanup=bore_cleanup,
        skin=blank.skin or 0.0,
        unknown=unknown,
    )


def _lean(blank: Blank) -> float:
    return blank.out_of_square or 0.0


def _span(blank: Blank) -> Interval:
    """D of the module's notes."""
    return Interval.toleranced(blank.length, blank.length_tolerance) + Interval(0.0, _lean(blank))


def _seat(setup: Setup, job: Job) -> Interval:
    """Z of the seat where zero is fixed from it."""
    from_stop = job.part.length if setup.zero.from_stop is None else setup.zero.from_stop
    return Interval.about(-from_stop, setup.zero.error)


def _touched(setup: Setup, lean: float) -> Interval:
    """Highest point of a face whose touched point stands at the face allowance."""
    error, standing = setup.zero.error, setup.zero.touched == "standing"
    if setup.zero.way == "rule":
        standing = True
        error += setup.seat.error if setup.seat.on == "stick-out" else 0.0
    allowance = setup.zero.face_allowance or 0.0
    return Interval.about(allowance, error) + Interval(0.0, lean if standing else 0.0)


def _stop_plane(job: Job, setup: Setup, chuck_side: Interval, raw_face: Interval) -> Interval:
    jaws = jaws_of(job, setup)
    if setup.seat.on == "step":
        assert isinstance(jaws, Jaws)
        return chuck_side - jaws.steps[setup.seat.step]
    if setup.seat.on == "stop":
        return chuck_side
    front = jaws_front(jaws.profile) if isinstance(jaws, Jaws) else 0.0
    stick_out = Interval.about(setup.seat.stick_out or 0.0, setup.seat.error)
    return raw_face - stick_out - front


def jaws_front(profile: list[Point]) -> float:
    """Greatest z, from the stop plane, of what of the profile lies outside the gripping surface
    (h at least 0)."""
    heights = [z for z, h in profile if h >= 0]
    for (z0, h0), (z1, h1) in zip(profile, [*profile[1:], profile[0]], strict=True):
        if min(h0, h1) < 0 < max(h0, h1):
            heights.append(z0 + (z1 - z0) * h0 / (h0 - h1))
    return max(heights)


def _wander(blank: Blank) -> float:
    """How far the blank's surface may leave its true place in the chuck, on radius."""
    return (blank.run_out or 0.0) / 2 + (blank.bow or 0.0)


def _outside(blank: Blank) -> tuple[float, float]:
    """Strike and clean-up radius."""
    size = Interval.toleranced(blank.size, blank.size_tolerance)
    strike = size.hi / 2 * CORNER_OVER_FLAT[blank.shape] + _wander(blank)
    return strike, max(0.0, size.lo / 2 - _wander(blank) - (blank.skin or 0.0))


def _flats(blank: Blank) -> Interval | None:
    if CORNER_OVER_FLAT[blank.shape] == 1.0:
        return None
    return Interval.toleranced(blank.size, blank.size_tolerance) / 2


def _inside(blank: Blank) -> tuple[float, float]:
    """Strike and clean-up radius of a tube's bore; zeros for a solid blank."""
    if blank.bore is None:
        return 0.0, 0.0
    bore = Interval.toleranced(blank.bore, blank.bore_tolerance)
    strike = max(0.0, bore.lo / 2 - _wander(blank))
    return strike, bore.hi / 2 + _wander(blank) + (blank.skin or 0.0)
