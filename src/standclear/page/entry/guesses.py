"""The guesses of a drafted job, to be confirmed one by one.

The list `guesses` of the job file names them; why each was made stands in the comment beside its
key. Confirming one takes its name off the list, and the comment stays as what it is: a reason.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from standclear.errors import Fault
from standclear.page.entry.documents import Documents
from standclear.page.entry.entries import Entries, Form, rows_in
from standclear.page.entry.fault_places import name_of, slots_of
from standclear.page.entry.field import Field, Group, Kind, joined
from standclear.page.entry.naming import field_at, label_of, place_at

GUESSES = "guesses"
WHY = "why"
"""An entry beside a guess that is in no file yet: its reason."""
_MARK = "# guess:"
_HEADER = re.compile(r"\[(?P<many>\[?)(?P<name>[\w.]+)\]")
_TOOL_OF_STATION = re.compile(r"tools\.T(\d+)")
_KEY = re.compile(r"(?P<name>\w+) *=")


@dataclass(frozen=True, slots=True)
class GuessToConfirm:
    """One guess that is still open."""

    index: int
    """Its place in the list of the file."""
    key: str
    """Its name in the job file."""
    name: str
    """The place of the form that it belongs to."""
    label: str
    value: str
    """What was guessed, in the words of the form; empty for a whole table."""
    because: str
    """Why, a sentence's part; empty where the file does not say."""


def guesses_of(documents: Documents, form: Form, entries: Entries) -> list[GuessToConfirm]:
    """The guesses that `entries` still hold, in the order of the file."""
    slots = slots_of(form)
    reasons = _reasons(documents.texts[documents.main])
    found = []
    for index in rows_in(entries, GUESSES):
        key = entries.get(f"{GUESSES}[{index}]", "")
        name = _tool_at(key, entries)
        name = name or name_of(Fault(documents.main, key, "", ""), documents, form, slots)
        because = entries.get(f"{GUESSES}[{index}].{WHY}") or reasons.get(key)
        because = because or reasons.get(name if "[" in name else f"{name}[0]", "")
        value = _in_words(name, entries)
        found.append(GuessToConfirm(index, key, name, _label(name), value, because))
    return found


def _tool_at(key: str, entries: Entries) -> str:
    """The row of a tool that a guess names by its station, in no file yet; empty for other keys."""
    match = _TOOL_OF_STATION.fullmatch(key)
    rows = rows_in(entries, "tools") if match else []
    row = next((i for i in rows if match and entries.get(f"tools[{i}].station") == match[1]), None)
    return "" if row is None else f"tools[{row}]"


def without_guess(entries: Entries, index: int) -> Entries:
    """The entries once the guess in row `index` of the list is confirmed."""
    gone = f"{GUESSES}[{index}]"
    return {key: text for key, text in entries.items() if not key.startswith(gone)}


def _reasons(text: str) -> dict[str, str]:
    """Key of the file -> why it was guessed, from the comments beside and above, as a drafted file
    has them."""
    found: dict[str, str] = {}
    counts: Counter[str] = Counter()
    table = above = ""
    for line in text.splitlines():
        said = line.rpartition(_MARK)[2].strip() if _MARK in line else ""
        header = _HEADER.match(line)
        key = _KEY.match(line)
        if header:
            table = header["name"]
            if header["many"]:
                table = f"{table}[{counts[table]}]"
                counts[header["name"]] += 1
            elif "." in table and counts[table.partition(".")[0]]:
                outer, _, inner = table.partition(".")
                table = f"{outer}[{counts[outer] - 1}].{inner}"
            if above:
                found[table] = above
            above = ""
        elif key:
            if said:
                found[joined(table, key["name"])] = said
        elif line.startswith("#"):
            above = said or above
    return found


def _in_words(name: str, entries: Entries) -> str:
    """What stands at a place, in the words of the form; of a tool its kind and designations, of a
    list the number of its rows."""
    place = place_at(name)
    if isinstance(place, Group) and place.many and not name.endswith("]"):
        return str(len(rows_in(entries, name)))
    if name.startswith("tools[") and name.endswith("]"):
        parts = (_text(f"{name}.{key}", entries) for key in ("kind", "insert", "holder"))
        return ", ".join([*(part for part in parts if part), *_sizes_of_tool(name, entries)])
    mark = _MARK_OF_RUN.fullmatch(name)
    if mark:
        return f"{_text(joined(mark[1], 'at'), entries)}: {entries.get(name, '')}"
    unit = entries.get("units", "") if isinstance(place, Field) and place.kind in LENGTHS else ""
    return f"{_text(name, entries)} {unit}".strip()


LENGTHS = (Kind.LENGTH, Kind.LENGTHS)


def _sizes_of_tool(name: str, entries: Entries) -> Iterator[str]:
    """What a drill, a grooving or a threading tool is guessed to measure, in words of the form."""
    group = f"{name}.{entries.get(f'{name}.kind', '')}"
    for key, text in entries.items():
        field = field_at(key) if key.startswith(f"{group}.") and text else None
        if field is not None:
            words = _text(key, entries) if field.choices else text
            yield f"{field.label[:1].lower()}{field.label[1:]} {words}"


_MARK_OF_RUN = re.compile(r"(setup\[\d+\]\.(?:start|end))\.(?:stop|offset|label)")


def _label(name: str) -> str:
    mark = _MARK_OF_RUN.fullmatch(name)
    if name == "setup":
        return "How many set-ups?"
    return label_of(joined(mark[1], "at") if mark else name)


def _text(name: str, entries: Entries) -> str:
    field, text = field_at(name), entries.get(name, "")
    choices = field.choices if field else ()
    return next((each.words for each in choices if each.value == text), text)
