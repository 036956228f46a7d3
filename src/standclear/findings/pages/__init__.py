"""The pages behind the finding codes: one Markdown file each, read as data.

A page says what the check looks at, what happens at the machine when it is ignored, shows a
program that draws the finding beside one that does not, and owns up to what it cannot see.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from standclear.errors import StandclearError

HEADINGS = {
    "checks": "What it checks",
    "matters": "Why it matters at the machine",
    "bad": "A program that draws it",
    "better": "A better one",
    "limits": "Limits",
    "sources": "Sources",
}
"""Field of `Page` -> heading in the file, in the order of the file; `Sources` may be left out."""


class UnknownCode(StandclearError, KeyError):
    """No page has this code."""

    def __str__(self) -> str:
        """Return the message itself: KeyError would show it in quotes."""
        return str(self.args[0])


@dataclass(frozen=True, slots=True)
class Page:
    """One page; every field but `code` is Markdown."""

    code: str
    summary: str
    """One line."""
    checks: str
    matters: str
    bad: str
    better: str
    limits: str
    sources: str
    """Empty where the page uses no figure."""


@cache
def codes() -> tuple[str, ...]:
    """Return every code that has a page, in alphabetical order."""
    names = (entry.name for entry in files(__name__).iterdir())
    return tuple(sorted(name.removesuffix(".md") for name in names if name.endswith(".md")))


def page(code: str) -> Page:
    """Return the page of `code`.

    Raises `UnknownCode` (a `StandclearError` and a `KeyError`), naming the nearest code.
    """
    if code not in codes():
        near = get_close_matches(code, codes(), n=1, cutoff=0.4)
        hint = f"; the nearest is '{near[0]}'" if near else ""
        raise UnknownCode(f"no finding has the code '{code}'{hint}")
    return read_page(files(__name__).joinpath(f"{code}.md").read_text(encoding="utf-8"))


def read_page(text: str) -> Page:
    """Return the page that `text` holds.

    Raises `StandclearError` where the title or a section is missing, empty or out of order.
    """
    head, *sections = text.split("\n## ")
    title, _, summary = head.strip().partition("\n")
    bodies = dict(_section(section) for section in sections)
    wanted = [name for name in HEADINGS.values() if name in bodies or name != "Sources"]
    if list(bodies) != wanted or not title.startswith("# ") or not summary.strip():
        raise StandclearError(
            f"page '{title.removeprefix('# ')}': found the sections {', '.join(bodies) or 'none'}, "
            f"expected a title, a summary and {', '.join(wanted)}"
        )
    empty = [name for name, body in bodies.items() if not body]
    if empty:
        raise StandclearError(f"page '{title.removeprefix('# ')}': nothing under '{empty[0]}'")
    fields = {field: bodies.get(heading, "") for field, heading in HEADINGS.items()}
    return Page(code=title.removeprefix("# ").strip(), summary=summary.strip(), **fields)


def _section(text: str) -> tuple[str, str]:
    heading, _, body = text.partition("\n")
    return heading.strip(), body.strip()
