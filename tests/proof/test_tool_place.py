"""Where the tool stands in a motion: at its end, or where it is deepest; nowhere if not known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from proof_shop import proof_of

from standclear.motions.table import FAR, Kind
from standclear.proof.result import Approach, SetupProof
from standclear.proof.tool_place import arriving, corner_gap, tool_at


@pytest.fixture(scope="module")
def turning() -> SetupProof:
    """In front of the bar of 40, its face at Z1, to X46. Z4., which is 3 over it and 3 in front;
    then a feed along it."""
    return proof_of("G00 X46. Z4.\nG01 X36. F0.2\nZ-10.\nX44.\nG28 U0 W0\n").setups[0]


def row_to(setup: SetupProof, x: float, z: float) -> int:
    """The one motion that ends at X, Z."""
    ends = setup.trace.motions.end
    (row,) = np.flatnonzero(np.isclose(ends, (z, x / 2)).all(axis=1)).tolist()
    return int(row)


def place(setup: SetupProof, motion: int, position: tuple[float, float]) -> Approach:
    """A place to watch, near metal; its gap does not matter."""
    return replace(setup.approaches[0], motion=motion, position=position, against="metal")


def test_of_a_place_from_which_a_motion_starts_the_one_before_brings_the_tool_there(
    turning: SetupProof,
) -> None:
    there = row_to(turning, 46, 4)
    assert turning.trace.motions.kind[there] == Kind.RAPID
    assert arriving(turning, place(turning, there, (4.0, 23.0))) == there
    assert arriving(turning, place(turning, there + 1, (4.0, 23.0))) == there
    assert arriving(turning, place(turning, there + 1, (4.0, 18.0))) == there + 1


def test_the_tool_stands_at_the_end_of_its_way(turning: SetupProof) -> None:
    # Its corner is programmed, its shank reaches 24 further along and 90 out.
    stands = tool_at(turning, row_to(turning, 46, 4), None)
    assert stands.bounds == pytest.approx((4.0, 23.0, 28.0, 113.0))


@pytest.mark.parametrize("short", [0.0, 2.5, 100.0])
def test_at_home_it_stands_nowhere_wherever_zero_was_moved_to(
    turning: SetupProof, short: float
) -> None:
    """Home is known only to lie beyond everything; moved with its zero it still does."""
    motions = turning.trace.motions
    last = len(motions) - 1
    assert (motions.end[last] == FAR).all() and tool_at(turning, last, None).is_empty
    moved = replace(motions, start=motions.start - short, end=motions.end - short)
    there = replace(turning, trace=replace(turning.trace, motions=moved))
    assert tool_at(there, last, None).is_empty
    assert not tool_at(there, row_to(turning, 46, 4), None).is_empty


def test_past_the_corner_of_the_metal_it_stands_off_both_ways(turning: SetupProof) -> None:
    # X46. over 40 is 3 on radius, Z4. in front of Z1 is 3: from corner to corner 3 times the root
    # of 2.
    there = place(turning, row_to(turning, 46, 4), (4.0, 23.0))
    assert corner_gap(turning, replace(there, gap=3 * 2**0.5)) == pytest.approx((3.0, 3.0))
    assert corner_gap(turning, replace(there, gap=3.0)) is None
    assert corner_gap(turning, replace(there, gap=3 * 2**0.5, against="jaws")) is None
    along = place(turning, row_to(turning, 36, -10), (-10.0, 18.0))
    assert corner_gap(turning, along) is None


def test_the_place_in_a_strike_is_the_deepest(turning: SetupProof) -> None:
    # Along X36. to Z-10.: of metal 2 by 2 at Z-5. to Z-3., 1 to 3 over the tip's way, the tool
    # covers all at the end of it and before, of which the end is taken.
    struck = shapely.box(-5.0, 19.0, -3.0, 21.0)
    stands = tool_at(turning, row_to(turning, 36, -10), struck)
    assert stands.intersection(struck).area == pytest.approx(4.0, abs=1e-9)
    assert stands.bounds[0] == pytest.approx(-10.0)
    # Metal 2 by 2 in front of the face it meets at the start of the way alone, and then less.
    begun = tool_at(turning, row_to(turning, 36, -10), shapely.box(26.0, 60.0, 28.0, 62.0))
    assert begun.bounds[0] == pytest.approx(4.0)
