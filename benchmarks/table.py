"""Tables of figures as Markdown, each figure with its spread."""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Sequence


def spread(values: Sequence[float], digits: int = 2) -> str:
    """The median of some figures, and the least and greatest beside it where there are several."""
    middle = f"{statistics.median(values):,.{digits}f}"
    if len(values) == 1:
        return middle
    return f"{middle} ({min(values):,.{digits}f} to {max(values):,.{digits}f})"


def markdown(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table with its first column to the left and the others to the right, columns aligned."""
    cells = [list(heads), *(list(row) for row in rows)]
    widths = [max(len(line[k]) for line in cells) for k in range(len(heads))]
    cells.insert(1, [("-" * w if k == 0 else "-" * (w - 1) + ":") for k, w in enumerate(widths)])
    return "\n".join(
        "| " + " | ".join(
            text.ljust(width) if k == 0 else text.rjust(width)
            for k, (text, width) in enumerate(zip(line, widths, strict=True))
        ) + " |"
        for line in cells
    )  # fmt: skip
