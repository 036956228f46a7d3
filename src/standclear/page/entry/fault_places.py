"""Where on the form a fault of the job belongs: its key, or the next place round it."""

from __future__ import annotations

import re
from collections.abc import Mapping

from standclear.errors import Fault
from standclear.page.entry.documents import Documents, named_files, raw_of
from standclear.page.entry.entries import Form, is_pair, whole_form
from standclear.page.entry.field import Group, joined
from standclear.page.entry.shapes import owner_of
from standclear.page.entry.table import jaws as jaw_table
from standclear.page.entry.table import part as part_table

MISSING = "missing"
_PART = re.compile(r"\.?(?P<word>[^.\[\]]+)|\[(?P<index>\d+)\]")
_STATION = re.compile(r"T\d+")
_TOOL = re.compile(r"tools\[\d+\]")
_MADE_POINT = re.compile(
    r"(?P<holder>(?:setup\[\d+\]\.)?(?:part\.outline|jaws\.profile))(?:\[(?P<index>\d+)\].*)?"
)


def slots_of(form: Form) -> set[str]:
    """Names of every field, row and group that the form shows of this job."""
    found = {""}

    def go(group: Group, name: str, value: object) -> None:
        found.add(name)
        if group.many:
            for index, row in enumerate(value if isinstance(value, list) else ()):
                go_in(group, f"{name}[{index}]", row)
        else:
            go_in(group, name, value)

    def go_in(group: Group, name: str, value: object) -> None:
        found.add(name)
        found.update(joined(name, field.key) for field in group.fields)
        for inner in group.groups:
            below = value.get(inner.key) if isinstance(value, Mapping) else None
            go(inner, joined(name, inner.key), below)

    go(whole_form(), "", form)
    return found


def place_of(fault: Fault, documents: Documents, form: Form) -> str:
    """The key of a fault counted from the job, tools by their row."""
    return _with_numbers(_key_in_job(fault, documents), form)


def name_of(fault: Fault, documents: Documents, form: Form, slots: set[str]) -> str:
    """The place of the form that a fault belongs to: its key, or the next one round it."""
    name = place_of(fault, documents, form)
    made = _MADE_POINT.fullmatch(name)
    if made and _made_of_rows(form, made["holder"]):
        rows = re.sub(r"(outline|profile)$", "rows", made["holder"])
        owner = owner_of(form, made["holder"], int(made["index"] or 0))
        name = rows if owner is None or made["index"] is None else f"{rows}[{owner}]"
    if name == "part.length" and name in slots and _made_of_rows(form, "part.outline"):
        name = "part.rows"
    while name not in slots:
        name = re.sub(r"(\.?[^.\[\]]+|\[\d+\])$", "", name)
    if fault.found and _TOOL.fullmatch(name):
        return f"{name}.station" if fault.found.startswith("T") else f"{name}.kind"
    return _within(name, form) if _is_whole(fault, name) else name


def _is_whole(fault: Fault, name: str) -> bool:
    """Whether a fault of a group is about one field of it that can be named."""
    return fault.found == MISSING or name.endswith((".start", ".end"))


def _within(name: str, form: Form) -> str:
    """The field of a group that is to be looked at first."""
    if name.endswith((".start", ".end")):
        at = chosen_at(value_at(form, name), "at")
        return joined(name, str(at or "at"))
    first = _asked_first(name)
    # What is answered already is not asked again: the whole group says what it lacks.
    return name if value_at(form, first) not in (None, "") else first


def value_at(form: Form, name: str) -> object:
    """What the form holds at a place."""
    value: object = form
    for match in _PART.finditer(name):
        if match["index"] is not None:
            inside = isinstance(value, list) and int(match["index"]) < len(value)
            value = value[int(match["index"])] if inside and isinstance(value, list) else None
        else:
            value = value.get(match["word"]) if isinstance(value, Mapping) else None
    return value


def chosen_at(value: object, key: str) -> object:
    """What a table holds under `key`; empty text where there is nothing."""
    return value.get(key, "") if isinstance(value, Mapping) else ""


def _made_of_rows(form: Form, holder: str) -> bool:
    given = chosen_at(value_at(form, holder.rpartition(".")[0]), "given")
    return given == (part_table.ROWS if holder.endswith("outline") else jaw_table.ROWS)


def _key_in_job(fault: Fault, documents: Documents) -> str:
    """The key counted from the job, wherever it is kept."""
    if fault.file == documents.main:
        return fault.key
    places = named_files(raw_of(documents))
    place = next((place for place, file in places.items() if file == fault.file), "")
    return fault.key if place == "tools" else joined(place, fault.key)


def _with_numbers(key: str, form: Form) -> str:
    """`tools.T3.wear` as `tools[1].wear`."""
    name = ""
    value: object = form
    for match in _PART.finditer(key):
        word, index = match["word"], match["index"]
        if word is not None and name == "tools" and _STATION.fullmatch(word):
            stations = [tool.get("station") for tool in value] if isinstance(value, list) else []
            station = int(word[1:])
            index = str(stations.index(station)) if station in stations else "0"
        if index is not None:
            name += f"[{index}]"
            inside = isinstance(value, list) and int(index) < len(value)
            value = value[int(index)] if inside and isinstance(value, list) else None
        else:
            name = joined(name, word)
            value = value.get(word) if isinstance(value, Mapping) else None
    return name


def _asked_first(name: str) -> str:
    """The field of a group that is to be filled in first, where the group as a whole is missing."""
    group: Group | None = whole_form()
    for match in _PART.finditer(name):
        if group is not None and match["word"] is not None:
            group = next((each for each in group.groups if each.key == match["word"]), None)
    if group is None or (group.many and not name.endswith("]")):
        return name
    first = next((f for f in group.fields if f.needed or f.own or is_pair(group)), None)
    first = first or next(iter(group.fields), None)
    return name if first is None else joined(name, first.key)
