"""The judge's own reading of program text: programs of lines of words, and the three families."""

from __future__ import annotations

import re
from dataclasses import dataclass

from judge.motion import Undecided

_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)")
_REFERENCE = re.compile(r"[-+]?#\d+")
_COMMENT = re.compile(r"\([^)]*\)")
_STATEMENT = re.compile(r"(#\d+=|#\[|IF\[|WHILE\[|GOTO|END\d|DO\d)")

# Words of the other two families, each by its twin in the family whose single turning pass is G90.
# "ABS" and "INC" stand for the two words that switch between absolute and incremental.
_FAMILIES: dict[str, dict[str, str]] = {
    "cycles-g90": {"G33": "G32"},
    "cycles-g77": {
        "G77": "G90", "G78": "G92", "G79": "G94", "G92": "G50", "G94": "G98", "G95": "G99",
        "G90": "ABS", "G91": "INC", "G33": "G32", "G98": "INITIAL", "G99": "RLEVEL",
    },
    "cycles-g20": {
        "G70": "G20", "G71": "G21", "G72": "G70", "G73": "G71", "G74": "G72", "G75": "G73",
        "G76": "G74", "G77": "G75", "G78": "G76", "G20": "G90", "G21": "G92", "G24": "G94",
        "G92": "G50", "G94": "G98", "G95": "G99", "G90": "ABS", "G91": "INC", "G33": "G32",
        "G98": "INITIAL", "G99": "RLEVEL",
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
    """The other words: letter (a corner word: comma and letter) to number as written, `#n` or
    `[expression]`."""
    statement: str = ""
    """An assignment, IF, WHILE, END or GOTO without its blanks, in capitals."""
    arguments: tuple[tuple[str, str], ...] = ()
    """(letter, value as written) of what G65 or G66 hands on, in order."""


@dataclass(frozen=True, slots=True)
class Program:
    """The blocks of one program of a file."""

    number: int | None
    """Of its O word."""
    lines: tuple[Line, ...]


def canonical(code: str, family: str) -> str:
    """A G word of the given family by its name in the cycles-g90 family."""
    table = _FAMILIES.get(family)
    if table is None:
        raise Undecided(f"family of cycle words {family!r}")
    return table.get(code, code)


def spoken(code: str, family: str) -> str:
    """A word of the cycles-g90 family (or ABS, INC) as the given family writes it."""
    if family == "cycles-g90":
        return "" if code in ("ABS", "INC") else code
    backwards = {own: theirs for theirs, own in _FAMILIES[family].items()}
    return backwards.get(code, code)


def _bracketed(text: str, at: int) -> int:
    """Index behind the bracket that closes the one at `at`."""
    depth = 0
    for i in range(at, len(text)):
        depth += (text[i] == "[") - (text[i] == "]")
        if depth == 0:
            return i + 1
    raise Undecided(f"bracket left open: {text!r}")


def _words(body: str, number: int) -> list[tuple[str, str]]:
    """(letter, value as written) of a block without blanks."""
    found = []
    at = 0
    while at < len(body):
        letter = body[at]
        if letter == "," and at + 1 < len(body):
            letter += body[at + 1]
        at += len(letter)
        match = _NUMBER.match(body, at) or _REFERENCE.match(body, at)
        signed = at + (body[at : at + 1] in ("-", "+"))
        if not letter[-1].isalpha():
            raise Undecided(f"line {number}: {body!r}")
        if match is not None:
            end = match.end()
        elif body[signed : signed + 1] == "[":
            end = _bracketed(body, signed)
        else:
            raise Undecided(f"line {number}: {body!r}")
        found.append((letter, body[at:end]))
        at = end
    return found


def _line(body: str, number: int, family: str) -> Line | None:
    deleted = body.startswith("/")
    body = re.sub(r"^/[2-9]?(?!\d)", "", body)
    label: int | None = None
    marked = re.match(r"N(\d+)", body)
    if marked is not None:
        label, body = int(marked[1]), body[marked.end() :]
    if _STATEMENT.match(body):
        return Line(number, label, deleted, (), {}, body)
    codes: list[str] = []
    values: dict[str, str] = {}
    twice = ""
    for letter, digits in _words(body, number):
        if letter in "GM":
            whole = f"{letter}{int(digits):02d}" if digits.isdigit() else letter + digits
            codes.append(canonical(whole, family) if letter == "G" else whole)
        elif letter in values or letter == "N":
            twice = letter
        else:
            values[letter] = digits
    arguments: tuple[tuple[str, str], ...] = ()
    if {"G65", "G66"} & set(codes):
        arguments = tuple(pair for pair in _words(body, number) if pair[0] not in "GMPL")
    elif twice:
        raise Undecided(f"line {number}: {twice} twice")
    return Line(number, label, deleted, tuple(codes), values, arguments=arguments)


def read_programs(text: str, family: str) -> list[Program]:
    """The programs of a file, in order. Raises `Undecided` at text that is no word."""
    found: list[tuple[int | None, list[Line]]] = [(None, [])]
    for number, raw in enumerate(text.splitlines(), start=1):
        body = re.sub(r"\s", "", _COMMENT.sub(" ", raw.upper()).split(";")[0])
        if not body or body.startswith("%"):
            continue
        named = re.fullmatch(r"[O:](\d+)", body)
        if named is not None:
            if found[-1] == (None, []):
                found.pop()
            found.append((int(named[1]), []))
            continue
        line = _line(body, number, family)
        if line is not None:
            found[-1][1].append(line)
    return [Program(number, tuple(lines)) for number, lines in found]
