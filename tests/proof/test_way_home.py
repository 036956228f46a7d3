"""A way home that is not stated: every way is swept, and the ones that strike are named.

The profile ends under a shoulder, at X30. Z-20. in a bar of 40, and the cycle was called at X46.
Z5. Each level leaves the round of the nose, 0.8, at the shoulder. Straight up along it, X first,
runs through those rounds; aslant or along Z first runs over what was turned.
"""

from __future__ import annotations

import pytest
from proof_shop import CONTROL, TOOLS, only, proof_of

from standclear import JobProof, Verdict

PROGRAM = (
    "G00 X46. Z5.\nG71 U2. R0.5\nG71 P10 Q11 U0.4 W0.1 F0.3\n"
    "N10 G00 X30.\nN11 G01 Z-20.\nG28 U0 W0\n"
)
ROUND = {
    **TOOLS,
    1: TOOLS[1].replace("cutting", "corners = [{ point = 0, radius = 0.8 }], cutting"),
}


def proof(way: str) -> JobProof:
    control = CONTROL.replace('home_after_cycle = "direct", ', way)
    return proof_of(PROGRAM, control=control, tools=ROUND)


@pytest.mark.parametrize("way", ["direct", "x-first", "z-first"])
def test_the_named_ways_are_those_that_strike_alone(way: str) -> None:
    named = only(proof(""), "rapid-into-metal")
    assert named.tags == ("home_after_cycle=x-first",)
    assert "the way home after a cycle is not stated" in named.message
    stated = proof(f'home_after_cycle = "{way}", ')
    assert (stated.verdict is Verdict.CONTACT) == (way == "x-first")
