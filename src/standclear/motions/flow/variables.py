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


def nothing_known(number: int) -> Value:
    """The control's variables where nothing is known of them: raises FlowFault."""
    raise FlowFault(f"what #{number} of the control holds is not known")


@dataclass
class _Table:
    """Some variables, and what they held when they were first read without having been set."""

    values: dict[int, Value] = field(default_factory=dict)
    begun_with: dict[int, Value] = field(default_factory=dict)
    written: set[int] = field(default_factory=set)

    def read(self, number: int) -> Value:
        value = self.values.get(number, EMPTY)
        if number not in self.written:
            self.begun_with.setdefault(number, value)
        return value

    def write(self, number: int, value: Value) -> bool:
        """Returns True where the value changes."""
        self.written.add(number)
        if self.values.get(number) == value:
            return False
        self.values[number] = value
        return True

    def as_begun(self) -> bool:
        return all(self.values.get(n, EMPTY) == value for n, value in self.begun_with.items())


@dataclass
class Variables:
    """All variables of one run."""

    of_control: Callable[[int], Value]
    """Reads a variable of the control; raises FlowFault where it is not known."""
    commons: _Table = field(default_factory=_Table)
    levels: list[_Table] = field(default_factory=lambda: [_Table()])
    """Locals, one table a macro level; the last one is in force."""
    changes: int = 0
    """Counts up whenever a value changes or the control is asked: while it stands still, every
    condition answers as it did before."""
    local_assumed: bool = False
    """A local of the main program was read before it was set: taken as empty."""

    @classmethod
    def of_job(cls, stated: Mapping[str, float], of_control: Callable[[int], Value]) -> Variables:
        """The variables as a job states them, where a program starts."""
        values = {int(name): written(value) for name, value in stated.items()}
        return cls(of_control, _Table(values))

    def read(self, number: int) -> Value:
        """The value; raises FlowFault where it is not known."""
        if number in LOCALS:
            table = self.levels[-1]
            if len(self.levels) == 1 and number not in table.values:
                self.local_assumed = True
            return table.read(number)
        if is_common(number):
            if number not in self.commons.values:
                raise FlowFault(f"#{number} is set neither by the program nor by the job")
            return self.commons.read(number)
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
        elif is_common(number):
            table = self.commons
        else:
            raise FlowFault(f"#{number} is set, which is not followed")
        self.changes += table.write(number, value)

    def written(self) -> tuple[tuple[int, float | None], ...]:
        """Number and value of every variable that the run has set and that is in force, in order
        of the numbers; None stands for the empty value."""
        tables = (self.levels[-1], self.commons)
        found = {n: table.values[n].number for table in tables for n in table.written}
        return tuple(sorted(found.items()))

    def enter(self, arguments: Mapping[int, Value]) -> None:
        """A macro begins: a new table of locals that holds its arguments."""
        self.levels.append(_Table(dict(arguments)))
        self.changes += 1

    def leave(self) -> None:
        """The macro ends: the locals before it are in force again."""
        self.levels.pop()
        self.changes += 1

    def locals_as_begun(self) -> bool:
        """True where the locals in force that their macro goes by hold what it began with."""
        return self.levels[-1].as_begun()

    def as_begun(self) -> bool:
        """True where every variable that the main program goes by holds what it began with."""
        return self.levels[0].as_begun() and self.commons.as_begun()
