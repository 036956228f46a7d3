"""Set-up arithmetic: where blank and jaws lie at each corner of the tolerance box.

Frame of each set-up: z from its part zero, + away from the spindle, millimetres. A sawn face that
leans is drawn flat at its highest point; a rule, a standing touch or a measurement may have found
it as much as its lean lower.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import product

from judge.jobfile import BlankRange, Clamping, JawSet
from judge.motion import Undecided


@dataclass(frozen=True, slots=True)
class Placed:
    """One set-up at one corner."""

    stop_plane: float
    """z of the jaws' own zero."""
    front: float
    """z of the raw face of the blank; of a turned blank: of its raw back, now in front."""
    back: float
    """z of the other end."""
    mirror: float | None
    """z here = mirror - z of the set-up before; None in the first set-up."""
    grip: float
    """Radius at which the jaws' h = 0 lies; NaN: taken from the metal."""


def _signed(error: float) -> tuple[float, ...]:
    return (-error, error) if error > 0 else (0.0,)


def _up_to(lean: float) -> tuple[float, ...]:
    return (0.0, lean) if lean > 0 else (0.0,)


def _planes(c: Clamping, inner: float, outer: float, lean: float) -> list[float]:
    """Where the jaws' zero may lie for a blank between `inner` and `outer`."""
    if c.jaws is None or c.seat_on == "stop":
        return [inner]
    if c.seat_on == "step":
        return [inner - c.jaws.steps[c.seat_step]]
    return [
        outer - low - c.stick_out - c.jaws.front + error
        for low, error in product(_up_to(lean), _signed(c.seat_error))
    ]


def _rule_plane(c: Clamping, jaws: JawSet) -> float:
    """Jaws of a blank set with a rule: zero is set from where the blank is meant to stand out."""
    return c.allowance - c.stick_out - jaws.front


def first_places(c: Clamping, blank: BlankRange) -> list[Placed]:
    """Every corner of the first set-up, each once."""
    grips = {blank.radius_low, blank.radius_high} if c.grip is None else {c.grip}
    spans = {length + lean for length in blank.lengths for lean in _up_to(blank.lean)}
    found: dict[Placed, None] = {}
    for span, grip, error in product(sorted(spans), sorted(grips), _signed(c.error)):
        if c.way == "stop":
            if c.from_stop is None:
                raise Undecided("way 'stop' without from_stop")
            fronts = [span - c.from_stop + error]
        elif c.way == "touch":
            above = _up_to(blank.lean if c.standing else 0.0)
            fronts = [c.allowance + error + lean for lean in above]
        elif c.way == "rule":
            slack = _signed(c.seat_error)
            fronts = [
                c.allowance + error + lean + seat
                for lean, seat in product(_up_to(blank.lean), slack)
            ]
        else:
            raise Undecided(f"way {c.way!r} at the first end")
        for front in fronts:
            back = front - span
            if c.way == "rule" and c.seat_on == "stick-out" and c.jaws is not None:
                planes = [_rule_plane(c, c.jaws)]
            else:
                planes = _planes(c, back, front, blank.lean)
            for plane in planes:
                found[Placed(plane, front, back, None, grip)] = None
    return list(found)


def turned_places(c: Clamping, blank: BlankRange, part: float, before: Placed, face: float
                  ) -> list[Placed]:  # fmt: skip
    """Every corner of a second set-up, the part turned round.

    `face`: z, in the set-up before, of the face that was made there and is the inner end now. It
    is what a stop and a measurement find, wherever the program meant it to be.
    """
    grip = math.nan if c.grip is None else c.grip
    found: dict[Placed, None] = {}
    for error in _signed(c.error):
        if c.way in ("finished-on-stop", "stop"):
            mirrors = [face - (part if c.from_stop is None else c.from_stop) + error]
        elif c.way == "measured":
            leans = {-blank.lean, 0.0, blank.lean if c.standing else 0.0}
            mirrors = [face - part + error + lean for lean in sorted(leans)]
        elif c.way in ("nominal", "touch"):
            above = _up_to(blank.lean if c.standing else 0.0)
            mirrors = [c.allowance + error + lean + before.back for lean in above]
        else:
            raise Undecided(f"way {c.way!r} at the second end")
        for mirror in mirrors:
            inner, outer = mirror - face, mirror - before.back
            for plane in _planes(c, inner, outer, blank.lean):
                found[Placed(plane, outer, inner, mirror, grip)] = None
    return list(found)
