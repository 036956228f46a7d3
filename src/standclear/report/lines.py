"""Lines of an answer, with a role each, and their printing.

On a terminal Rich colours and wraps them; into a pipe or a file they go as they are, one line
each. Colour is never the only cue: every severity and verdict stands there as a word.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from standclear.report.words import CAUTIONS

if TYPE_CHECKING:
    from rich.console import Console


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the answer. `role` is a key of `STYLE`; `indent` counts blanks."""

    text: str
    role: str = "plain"
    indent: int = 0


STYLE = {
    "plain": "",
    "clear": "bold green",
    "unproven": "bold yellow",
    "contact": "bold red",
    "heading": "bold",
    "stop": "bold red",
    "mend": "yellow",
    "note": "cyan",
    "words": "dim",
    "cure": "bold",
}


def titled(title: str, sentences: tuple[str, ...]) -> Iterator[Line]:
    """A heading with its sentences below, after an empty line; nothing where there are none."""
    if not sentences:
        return
    yield Line("")
    yield Line(title, "heading")
    for sentence in sentences:
        yield Line(sentence, indent=2)


def cautions() -> Iterator[Line]:
    """What no answer takes off the setter, as every answer ends."""
    yield from titled("Before you press cycle start", CAUTIONS)


def plain(answer: tuple[Line, ...]) -> str:
    """The answer as text for a pipe or a file: no colour, no wrapping, newline at the end."""
    return "".join(f"{' ' * line.indent if line.text else ''}{line.text}\n" for line in answer)


def show(answer: tuple[Line, ...], console: Console) -> None:
    """Print the answer on `console`; wraps with hanging indent where it is a terminal."""
    if not console.is_terminal:
        console.file.write(plain(answer))
        return
    from rich.padding import Padding
    from rich.text import Text

    for line in answer:
        if not line.text:
            console.print()
            continue
        text = Text(line.text, style=STYLE[line.role])
        indent = min(line.indent, console.width // 4)
        console.print(Padding(text, (0, 0, 0, indent), expand=False), highlight=False)
