"""What a call of a macro hands on: letters and the variables that they set."""

from __future__ import annotations

from judge.motion import Undecided
from judge.state import State
from judge.words import Line

_FIRST_LIST = {
    "A": 1, "B": 2, "C": 3, "I": 4, "J": 5, "K": 6, "D": 7, "E": 8, "F": 9, "H": 11, "Q": 17,
    "R": 18, "S": 19, "T": 20, "U": 21, "V": 22, "W": 23, "X": 24, "Y": 25, "Z": 26,
}  # fmt: skip
_SECOND_LIST = {"A": 1, "B": 2, "C": 3}
_GROUPS = 10


def handed_on(state: State, line: Line) -> dict[int, float]:
    """The locals that a G65 or G66 sets. I, J or K given twice: the second list, in groups."""
    letters = [letter for letter, _ in line.arguments]
    grouped = any(letters.count(letter) > 1 for letter in "IJK")
    found: dict[int, float] = {}
    group, last = 0, ""
    for letter, text in line.arguments:
        table = _SECOND_LIST if grouped else _FIRST_LIST
        number = table.get(letter)
        if grouped and letter in "IJK":
            group += letter <= last
            last = letter
            if group >= _GROUPS:
                raise Undecided(f"line {line.number}: more than {_GROUPS} groups of I, J and K")
            number = 4 + 3 * group + "IJK".index(letter)
        if number is None or number in found:
            raise Undecided(f"line {line.number}: argument {letter}{text}")
        value = state.value(text)
        if value is not None:
            found[number] = value
    return found
