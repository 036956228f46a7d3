"""Set-up arithmetic: where blank and jaws lie at each corner of the tolerance box.

Frame of each set-up: z from its part zero, + away from the spindle, millimetres. A sawn face that
leans is drawn flat at its highest point; a rule, a standing touch or a measurement may have found
it as much as its lean lower. Each length that varies is taken at the ends of its whole range.
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


def _ends(*values: float) -> tuple[float, ...]:
    """The least and the greatest, once where they are one."""
    return tuple(sorted({min(values), max(values)}))


def _planes(c: Clamping, inner: float, outer: float, lean: float) -> list[float]:
    """Where the jaws' zero may lie for a blank between `inner` and `outer`."""
    if c.jaws is None or c.seat_on == "stop":
        return [inner]
    if c.seat_on == "step":
        return [inner - c.jaws.steps[c.seat_step]]
    front = c.jaws.front
    return [outer + off - c.stick_out - front for off in _ends(-lean - c.seat_error, c.seat_error)]


def _rule_plane(c: Clamping, jaws: JawSet) -> float:
    """Jaws of a blank set with a rule: zero is set from where the blank is meant to stand out."""
    return c.allowance - c.stick_out - jaws.front


def first_places(c: Clamping, blank: BlankRange) -> list[Placed]:
    """Every corner of the first set-up, each once."""
    grips = {blank.radius_low, blank.radius_high} if c.grip is None else {c.grip}
    spans = _ends(min(blank.lengths), max(blank.lengths) + blank.lean)
    off = c.error
    above = blank.lean if c.standing else 0.0
    if c.way == "rule":
        off, above = c.error + c.seat_error, blank.lean
    elif c.way not in ("stop", "touch"):
        raise Undecided(f"way {c.way!r} at the first end")
    found: dict[Placed, None] = {}
    for span, grip in product(spans, sorted(grips)):
        if c.way == "stop":
            if c.from_stop is None:
                raise Undecided("way 'stop' without from_stop")
            fronts = _ends(span - c.from_stop - off, span - c.from_stop + off)
        else:
            fronts = _ends(c.allowance - off, c.allowance + off + above)
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
    above = blank.lean if c.standing else 0.0
    if c.way in ("finished-on-stop", "stop"):
        middle = face - (part if c.from_stop is None else c.from_stop)
        mirrors = _ends(middle - c.error, middle + c.error)
    elif c.way == "measured":
        mirrors = _ends(face - part - c.error - blank.lean, face - part + c.error + above)
    elif c.way in ("nominal", "touch"):
        middle = c.allowance + before.back
        mirrors = _ends(middle - c.error, middle + c.error + above)
    else:
        raise Undecided(f"way {c.way!r} at the second end")
    return [
        Placed(plane, mirror - before.back, mirror - face, mirror, grip)
        for mirror in mirrors
        for plane in _planes(c, mirror - face, mirror - before.back, blank.lean)
    ]
