"""The form as data: fields in groups, groups in sections. Page, checks and tests read these alone.

A name such as `setup[1].zero.way` is a place in the form. Most names are those of the job file;
a few groups and choices stand on the form alone and are turned into keys of the file
(`standclear.page.entry.shapes`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What is typed or chosen."""

    LENGTH = "length"
    NUMBER = "number"
    WHOLE = "whole number"
    TEXT = "text"
    CHOICE = "choice"
    YES_NO = "yes or no"
    LENGTHS = "lengths"
    """Several, with spaces between them."""
    WHOLES = "whole numbers"


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: the word of the file, and how it is put to whoever is asked."""

    value: str
    words: str
    help: str = ""


@dataclass(frozen=True, slots=True)
class When:
    """A field or group is shown where the field `key` of the same group has one of `values`; the
    empty text stands for a field left empty."""

    key: str
    values: tuple[str, ...]

    def holds(self, entries: Mapping[str, str], prefix: str) -> bool:
        """`prefix` is the name of the group that both stand in."""
        return entries.get(joined(prefix, self.key), "") in self.values


@dataclass(frozen=True, slots=True)
class Field:
    """One entry. `key` counts from its group; the empty key is the row itself."""

    key: str
    label: str
    kind: Kind
    help: str = ""
    empty: str = ""
    """What counts where it is left empty, in words."""
    unit: str = ""
    """Of a number that is no length: `degrees`, `seconds`."""
    choices: tuple[Choice, ...] = ()
    needed: bool = False
    shown: When | None = None
    rare: bool = False
    """Stands behind 'more' until it holds something."""
    own: bool = False
    """On the form alone, no key of the file."""
    fill: float | None = None
    """Of two numbers that go together: what this one is where only the other is given."""


@dataclass(frozen=True, slots=True)
class Group:
    """Fields that belong together; with `many`, a list of rows that each have them."""

    key: str
    title: str
    fields: tuple[Field, ...]
    groups: tuple[Group, ...] = ()
    many: bool = False
    row: str = ""
    """What one row is called: `tool`."""
    help: str = ""
    shown: When | None = None
    """Where it does not hold and hangs on a choice of the form's own, nothing of the group goes
    into the file; else the group is hidden while it is empty."""
    rare: bool = False
    in_line: bool = False
    """Rows stand as a table with one head."""
    own: bool = False
    behind: str = ""
    """What 'more' hides, in a few words; empty where the labels behind it say it."""


@dataclass(frozen=True, slots=True)
class Section:
    """A step of the form."""

    name: str
    """In addresses: `blank`."""
    title: str
    intro: str
    groups: tuple[Group, ...]
    folded: bool = False
    """Shut until it holds something."""


def joined(prefix: str, key: str) -> str:
    """A name below a name: ("setup[0]", "zero") gives `setup[0].zero`, and "[1]" no point."""
    if not prefix or not key:
        return prefix or key
    return f"{prefix}{key}" if key.startswith("[") else f"{prefix}.{key}"
