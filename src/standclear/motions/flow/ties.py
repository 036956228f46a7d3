"""Comparisons that only rounding decides: each is a row of the control, both answers proved."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.motions.run import Run

ROW = "comparison_tie"


@dataclass(frozen=True)
class RunTies:
    """Asks the job, else the reading in hand. The same block comparing the same values always gets
    the same answer; any other tie is a row of its own."""

    run: Run

    def are_equal(self, a: float, b: float) -> bool:
        """True: as equal."""
        ties = self.run.walk.ties
        number = ties.setdefault((self.run.walk.index, a, b), len(ties) + 1)
        row = ROW if number == 1 else f"{ROW}/{number}"
        stated = self.run.control.comparison_tie
        return self.run.chooser.value(row, stated, ("equal", "unequal")) == "equal"
