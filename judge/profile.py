"""The profile between two labels, as roughing and finishing cycles read it."""

from __future__ import annotations

from judge.cycles import ProfileBlock
from judge.motion import Leg, Undecided
from judge.nose import Nose
from judge.state import AXES, State
from judge.trace import chord_ways
from judge.words import Line

_MOTIONS = ("G00", "G01", "G02", "G03")
_SIDES = {"G40": 0, "G41": -1, "G42": 1}


def profile(state: State, lines: list[Line], nose: Nose | None, compensate: bool
            ) -> list[ProfileBlock]:  # fmt: skip
    """The blocks of a profile, run from where the tool stands, along the way of the tip.

    With `compensate` compensation words count. Raises `Undecided`.
    """
    at, mode, side = state.at, "", 0
    legs: list[Leg] = []
    letters = []
    for line in lines:
        if line.statement or line.deleted:
            raise Undecided(f"line {line.number}: a jump or a deleted block inside a profile")
        for code in line.codes:
            if code in _SIDES:
                side = _SIDES[code] if compensate else 0
                state.used[code] += code != "G40"
            elif code in _MOTIONS:
                mode = code
            else:
                raise Undecided(f"line {line.number}: {code} inside a profile")
        named = line.values.keys() & AXES
        if not named:
            continue
        leg = state.leg(line, mode or "G00", at, side)
        if leg.corner is not None:
            state.used["," + leg.corner[0]] += 1
        legs.append(leg)
        letters.append(frozenset({"U": "X", "W": "Z"}.get(a, a) for a in named))
        at = leg.end
    if not legs:
        raise Undecided("empty profile")
    if legs[-1].side != 0:
        raise Undecided("a profile that ends under compensation")
    ways = chord_ways(state.at, legs, nose, state.job.control)
    return [
        ProfileBlock(leg.rapid, tuple(way), names)
        for leg, way, names in zip(legs, ways, letters, strict=True)
        if way
    ]  # fmt: skip
