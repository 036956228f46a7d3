"""One way through a table of motions: where a call has several readings, one of them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from standclear.motions.table import Motions


def ways_through(motions: Motions) -> Iterator[NDArray[np.bool_]]:
    """Rows of one reading of every call, as often as the call with most readings has some: the
    first of each, then the second where there is one, and so on. At least one way."""
    last: dict[int, int] = {}
    for call, variant in zip(motions.call.tolist(), motions.variant.tolist(), strict=True):
        if variant:
            last[call] = max(last.get(call, 0), variant)
    most = np.array([last.get(call, 0) for call in motions.call.tolist()], dtype=np.int64)
    for number in range(max(last.values(), default=0) + 1):
        yield motions.variant == np.minimum(number, most)
