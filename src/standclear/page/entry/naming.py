"""Places of the form by name: the field that stands there, and what it is called."""

from __future__ import annotations

from standclear.page.entry.entries import whole_form
from standclear.page.entry.field import Field, Group


def field_at(name: str) -> Field | None:
    """The field of the form of that name; None for a group or a row."""
    found = place_at(name)
    return found if isinstance(found, Field) else None


def place_at(name: str) -> Field | Group | None:
    """The field or group of that name; a row counts as its list, which has the same fields."""
    group: Group | None = whole_form()
    for part in name.replace("[", ".[").split("."):
        if group is None or not part:
            continue
        if part.startswith("["):
            pair = next((f for f in group.fields if f.key == part), None)
            if pair is not None and not group.many:
                return pair
            continue
        field = next((f for f in group.fields if f.key == part), None)
        if field is not None:
            return field
        group = next((g for g in group.groups if g.key == part), None)
    return group


def label_of(name: str) -> str:
    """A place of the form in its own words: `Set-up 2: How is part zero set?`."""
    found = place_at(name)
    if found is None:
        return name
    words = found.label if isinstance(found, Field) else found.title
    number = name[name.index("[") + 1 : name.index("]")] if "[" in name else ""
    if not number:
        return words
    row = place_at(name[: name.index("[")])
    called = row.row if isinstance(row, Group) else ""
    called = f"{called[:1].upper()}{called[1:]} {int(number) + 1}"
    return called if isinstance(found, Group) and found is row else f"{called}: {words}"
