"""A job file as text: tables of rows, a comment on each, and the names of what is guessed."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from standclear.draft.guess import Guess


@dataclass(frozen=True, slots=True)
class Row:
    """One key. `guess` is the name by which it stands in the list of guesses, empty for a fact."""

    key: str
    value: Any
    comment: str = ""
    guess: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """One table of the file: its header line, empty at the top, sentences above it, its rows."""

    header: str
    above: tuple[str, ...]
    rows: tuple[Row, ...]
    guess: str = ""
    """The name under which the table as a whole is guessed."""


def guessed(key: str, guess: Guess, table: str = "") -> Row:
    """A row for a guess, named by its table and key."""
    name = f"{table}.{key}" if table else key
    return Row(key, guess.value, f"guess: {guess.because}", name)


def names_of(blocks: Sequence[Table]) -> list[str]:
    """The names of all guesses, in the order of the file."""
    names = (n for block in blocks for n in (block.guess, *(row.guess for row in block.rows)) if n)
    return list(dict.fromkeys(names))


def text_of(top: Sequence[str], blocks: Sequence[Table]) -> str:
    """The file. `top` are its first comment lines; the first block has no header and comes with
    the list of guesses."""
    return "\n".join(_lines(top, blocks)) + "\n"


def _lines(top: Sequence[str], blocks: Sequence[Table]) -> Iterator[str]:
    yield from (_comment(sentence) for sentence in top)
    for number, block in enumerate(blocks):
        yield ""
        yield from (_comment(sentence) for sentence in block.above)
        if block.header:
            yield block.header
        for row in block.rows:
            note = f"  {_comment(row.comment)}" if row.comment else ""
            yield f"{row.key} = {value_text(row.value)}{note}"
        if number == 0:
            yield ""
            yield "# Check each of these keys, put it right, and take its name out of the list."
            yield "# While one is left here, the answer is unproven."
            yield "guesses = ["
            yield from (f"  {quoted(name)}," for name in names_of(blocks))
            yield "]"


def value_text(value: Any) -> str:
    """A value as TOML on one line."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0") + ("0" if f"{value:.6f}".endswith("000000") else "")
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, dict):
        inner = ", ".join(f"{key} = {value_text(each)}" for key, each in value.items())
        return f"{{ {inner} }}"
    return f"[{', '.join(value_text(each) for each in value)}]"


def quoted(text: str) -> str:
    """A TOML string of one line. `text` must have no lone surrogates."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def printable(text: str) -> str:
    """Text of a program as a title or comment shows it: signs that cannot be printed are left
    out, the rest in one line."""
    return " ".join("".join(each if each.isprintable() else " " for each in text).split())


def _comment(text: str) -> str:
    return f"# {printable(text)}"
