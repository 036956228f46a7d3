"""Variables: locals of each macro level, commons, and whatever the control itself tells.

Numbering is common practice, no source: #0 empty, #1 to #33 local, #100 to #199 and #500 to #999
common, from #1000 on the control's own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from standclear.motions.flow.numbers import EMPTY, FlowFault, Value, written

LOCALS = range(1, 34)
COMMONS = (range(100, 200), range(500, 1000))
FIRST_OF_CONTROL = 1000


def is_common(number: int) -> bool:
    """True for the number of a common variable."""
    return any(number in numbers for numbers in COMMONS)


@dataclass
class Variables:
    """All variables of one run."""

    of_control: Callable[[int], Value]
    """Reads a variable of the control; raises FlowFault where it is not known."""
    commons: dict[int, Value] = field(default_factory=dict)
    levels: list[dict[int, Value]] = field(default_factory=lambda: [{}])
    """Locals, one table a macro level; the last one is in force."""
    changes: int = 0
    """Counts up whenever a value changes or the control is asked: while it stands still, every
    condition answers as it did before."""
    local_assumed: bool = False
    """A local of the main program was read before it was set: taken as empty."""
    begun_with: dict[int, Value] = field(default_factory=dict)
    """Commons and main locals that were read before they were set, as they were then."""
    touched: set[int] = field(default_factory=set)

    @classmethod
    def of_job(cls, stated: Mapping[str, float], of_control: Callable[[int], Value]) -> Variables:
        """The variables as a job states them, where a program starts."""
        return cls(of_control, {int(name): written(value) for name, value in stated.items()})

    def read(self, number: int) -> Value:
        """The value; raises FlowFault where it is not known."""
        if number in LOCALS:
            value = self.levels[-1].get(number, EMPTY)
            if len(self.levels) == 1:
                self.local_assumed = self.local_assumed or number not in self.levels[-1]
                self._begin_with(number, value)
            return value
        if is_common(number):
            if number not in self.commons:
                raise FlowFault(f"#{number} is set neither by the program nor by the job")
            value = self.commons[number]
            self._begin_with(number, value)
            return value
        if number == 0:
            return EMPTY
        if number >= FIRST_OF_CONTROL:
            self.changes += 1
            return self.of_control(number)
        raise FlowFault(f"#{number} is no variable that is followed")

    def write(self, number: int, value: Value) -> None:
        """Sets a local or a common; raises FlowFault for any other."""
        if number in LOCALS:
            table = self.levels[-1]
            if len(self.levels) == 1:
                self.touched.add(number)
        elif is_common(number):
            table = self.commons
            self.touched.add(number)
        else:
            raise FlowFault(f"#{number} is set, which is not followed")
        if table.get(number) != value:
            table[number] = value
            self.changes += 1

    def enter(self, arguments: Mapping[int, Value]) -> None:
        """A macro begins: a new table of locals that holds its arguments."""
        self.levels.append(dict(arguments))
        self.changes += 1

    def leave(self) -> None:
        """The macro ends: the locals before it are in force again."""
        self.levels.pop()
        self.changes += 1

    def as_begun(self) -> bool:
        """True where every variable that a run depends on holds what it held when it began."""
        main = self.levels[0]
        return all(
            (main if number in LOCALS else self.commons).get(number, EMPTY) == value
            for number, value in self.begun_with.items()
        )

    def _begin_with(self, number: int, value: Value) -> None:
        if number not in self.touched:
            self.begun_with.setdefault(number, value)
