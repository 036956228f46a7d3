"""The judge's own reading of program text: lines of words, and the three families of words."""

from __future__ import annotations

import re
from dataclasses import dataclass

from judge.motion import Undecided

_WORD = re.compile(r"([A-Z])\s*([-+]?(?:\d+\.?\d*|\.\d+))")
_COMMENT = re.compile(r"\([^)]*\)")

# Words of the other two families, each by its twin in the family whose single turning pass is G90.
# "ABS" and "INC" stand for the two words that switch between absolute and incremental.
_FAMILIES: dict[str, dict[str, str]] = {
    "cycles-g90": {},
    "cycles-g77": {
        "G77": "G90", "G78": "G92", "G79": "G94", "G92": "G50", "G94": "G98", "G95": "G99",
        "G90": "ABS", "G91": "INC", "G33": "G32",
    },
    "cycles-g20": {
        "G70": "G20", "G71": "G21", "G72": "G70", "G73": "G71", "G74": "G72", "G75": "G73",
        "G76": "G74", "G77": "G75", "G78": "G76", "G20": "G90", "G21": "G92", "G24": "G94",
        "G92": "G50", "G94": "G98", "G95": "G99", "G90": "ABS", "G91": "INC", "G33": "G32",
    },
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """One block: its number in the file from 1, its label, its words in order."""

    number: int
    label: int | None
    deleted: bool
    """It carries a block-delete slash."""
    codes: tuple[str, ...]
    """G words in the names of the first family and M words, such as `G01`, `M03`."""
    values: dict[str, str]
    """The other words: letter to number as written."""


def canonical(code: str, family: str) -> str:
    """A G word of the given family by its name in the cycles-g90 family."""
    table = _FAMILIES.get(family)
    if table is None:
        raise Undecided(f"family of cycle words {family!r}")
    return table.get(code, code)


def spoken(code: str, family: str) -> str:
    """A word of the cycles-g90 family (or ABS, INC) as the given family writes it."""
    backwards = {own: theirs for theirs, own in _FAMILIES[family].items()}
    if family == "cycles-g90" and code in ("ABS", "INC"):
        return ""
    return backwards.get(code, code)


def read_lines(text: str, family: str) -> list[Line]:
    """Blocks of a program. Raises `Undecided` at text that is no word."""
    lines: list[Line] = []
    for number, raw in enumerate(text.splitlines(), start=1):
        body = _COMMENT.sub(" ", raw.upper()).split(";")[0].strip()
        if not body or body.startswith("%") or re.fullmatch(r"O\s*\d+", body):
            continue
        deleted = body.startswith("/")
        body = re.sub(r"^/[2-9]?(?!\d)", "", body)
        if re.sub(r"\s", "", _WORD.sub("", body)):
            raise Undecided(f"line {number}: {raw.strip()!r}")
        label: int | None = None
        codes: list[str] = []
        values: dict[str, str] = {}
        for letter, digits in _WORD.findall(body):
            if letter == "N":
                label = int(digits)
            elif letter in "GM":
                whole = f"{letter}{int(digits):02d}" if digits.isdigit() else letter + digits
                codes.append(canonical(whole, family) if letter == "G" else whole)
            elif letter in values:
                raise Undecided(f"line {number}: {letter} twice")
            else:
                values[letter] = digits
        lines.append(Line(number, label, deleted, tuple(codes), values))
    return lines
