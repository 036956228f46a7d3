"""How each size follows the work offsets and the tools' offsets, as sums.

Every surface is followed in the material, along z of the first set-up. A set-up's part zero lies

    on a finished face (`finished-on-stop`, `measured`): where that face came out
    on a raw face (`nominal`, and every way of the first end): where the blank lies

and moves by what its work offset is changed. A face lies where zero is, moved by the tool's Z.
Lengths are differences of two such places, diameters twice the tool's X.
"""

from __future__ import annotations

from dataclasses import dataclass

from standclear.job.models import Job
from standclear.job.setup_checks import is_turned, same_clamping
from standclear.plan.first_part.makers import Maker, SizeMade


@dataclass(frozen=True, order=True)
class Knob:
    """Something to key in. `zero`: Z of the work offset of set-up `number`; `z` and `x`: offset
    `number` of a tool, x on diameter. All in mm, + away from spindle and axis."""

    kind: str
    number: int


Effects = dict[Knob, float]
"""mm that a place or size moves for each mm keyed into a knob."""


def knob_of_zero(job: Job, index: int) -> Knob:
    """The work offset of set-up `index`: set-ups of one clamping that share the word share it."""
    first = index
    while (
        first > 0
        and same_clamping(job, first)
        and not is_turned(first, job.setup[first])
        and job.setup[first - 1].offset == job.setup[index].offset
    ):
        first -= 1
    return Knob("zero", first)


def effects_of(job: Job, made: SizeMade, front: Maker | None, back: Maker | None) -> Effects | None:
    """What moves a size; None where a surface that it hangs on is left by no cut that is known.

    front, back: makers of the part's two end faces.
    """
    if made.maker is None:
        return None
    if made.size.kind != "length":
        return None if made.maker.own_size else {Knob("x", made.maker.offset): 1.0}
    if made.front is None:
        return None
    here, there = (_face(job, m, front, back) for m in (made.front, made.maker))
    if here is None or there is None:
        return None
    return _sum(here, there, -1.0)


def _face(job: Job, maker: Maker, front: Maker | None, back: Maker | None) -> Effects | None:
    """Of the place in the material of a face."""
    zero = _zero(job, maker.setup, front, back)
    if zero is None:
        return None
    base, sign = zero
    moved = {knob_of_zero(job, maker.setup): sign}
    return _sum(_sum(base, moved, 1.0), {Knob("z", maker.offset): sign}, 1.0)


def _zero(
    job: Job, index: int, front: Maker | None, back: Maker | None
) -> tuple[Effects, float] | None:
    """(effects on the place that set-up `index` counts its zero from, direction of its +z)."""
    if index == 0:
        return {}, 1.0
    before = _zero(job, index - 1, front, back)
    if before is None:
        return None
    base, sign = before
    setup = job.setup[index]
    if not is_turned(index, setup):
        if same_clamping(job, index):
            return base, sign
        chuck_side = _end(job, index, sign < 0, front, back)
        return None if chuck_side is None else (chuck_side, sign)
    # Turned round, the end that was outside is the chuck side now.
    seat = _end(job, index, sign > 0, front, back)
    if setup.zero.way == "nominal":
        seat = _end(job, index, sign < 0, front, back)
    return None if seat is None else (seat, -sign)


def _end(
    job: Job, index: int, is_front: bool, front: Maker | None, back: Maker | None
) -> Effects | None:
    """Of the part's front or back end as it is when set-up `index` begins: raw, it stays."""
    maker = front if is_front else back
    if maker is None:
        return None
    return {} if maker.setup >= index else _face(job, maker, front, back)


def _sum(one: Effects, other: Effects, factor: float) -> Effects:
    total = dict(one)
    for knob, value in other.items():
        total[knob] = total.get(knob, 0.0) + factor * value
    return {knob: value for knob, value in total.items() if value}
