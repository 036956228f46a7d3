"""Edits put into the text of a program by their places; every other byte stays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol


class Piece(Protocol):
    """A word put in place of another, or blocks put in front of a line."""

    @property
    def line(self) -> int:
        """Counts from 1, as `column` does."""

    @property
    def column(self) -> int:
        """Of the word's first sign."""

    @property
    def old(self) -> str:
        """Empty where blocks are put in."""

    @property
    def new(self) -> str:
        """The word, or the blocks with line breaks between."""


def with_pieces(data: bytes, edits: Sequence[Piece]) -> bytes:
    """The program `data` with `edits` made, each at its line and column.

    Raises ValueError where a word does not stand where its edit says: the text is another one.
    """
    lines = data.splitlines(keepends=True)
    # From the end of the text to its head, so that places in front of a change still hold; blocks
    # are put in front of a line after its words are changed.
    for edit in sorted(edits, key=lambda e: (e.line, e.column, bool(e.old)), reverse=True):
        number = edit.line - 1
        if not 0 <= number < len(lines):
            raise ValueError(f"there is no line {edit.line}")
        line = lines[number]
        if edit.old:
            start = edit.column - 1
            if line[start : start + len(edit.old)] != edit.old.encode("latin-1"):
                raise ValueError(f"{edit.old} does not stand at line {edit.line}")
            rest = line[start + len(edit.old) :]
            lines[number] = line[:start] + edit.new.encode("latin-1") + rest
        else:
            end = _end_of(lines[number - 1] if number else line)
            blocks = [text.encode("latin-1") + end for text in edit.new.splitlines()]
            lines[number:number] = blocks
    return b"".join(lines)


def _end_of(line: bytes) -> bytes:
    return line[len(line.rstrip(b"\r\n")) :] or b"\n"
