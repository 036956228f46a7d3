"""Times that are the same, summed in two ways, differ in their last bit and still make a range."""

from __future__ import annotations

from standclear.estimate.timing import _between


def test_sums_that_cross_in_their_last_bit_are_a_range() -> None:
    found = _between(0.6114166666666666, 0.6114166666666665)
    assert (found.lo, found.hi) == (0.6114166666666665, 0.6114166666666666)
