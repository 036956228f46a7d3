"""Entries, what stands in the fields by name, out of the tables of a job and into them.

`Form` below means the tables as the form has them: those of the job file with shared files in
place of their names, and the form's own keys beside them (`standclear.page.entry.shapes`).
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from standclear.job.wording import shown
from standclear.page.entry.field import Field, Group, joined
from standclear.page.entry.numbers import NotRead, text_of, value_of
from standclear.page.entry.table import SECTIONS

Entries = dict[str, str]
Form = dict[str, Any]

ROW = "@"
"""The field of every row that says which row of the file it goes on from; `+` for a new one."""
NEW = "+"


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong at a place of the form. Reads on after the field's label and 'is'."""

    name: str
    found: str
    accepted: str
    forget: str = ""
    """The key of the file that can be taken out, where the form has no field for it."""

    @property
    def words(self) -> str:
        """As it stands beside the field."""
        return f"{self.found}: {self.accepted}"


@cache
def whole_form() -> Group:
    """All fields of the form as one group, each key once."""
    root = Group("", "", ())
    for section in SECTIONS:
        for group in section.groups:
            root = _put(root, group.key.split(".") if group.key else [], group)
    return root


def _put(into: Group, path: list[str], group: Group) -> Group:
    if not path:
        groups = into.groups
        for inner in group.groups:
            groups = (*groups, inner)
        return replace(
            into,
            title=into.title or group.title,
            row=group.row,
            fields=(*into.fields, *group.fields),
            groups=groups,
            many=group.many,
            shown=group.shown,
            own=group.own,
        )
    old = next((each for each in into.groups if each.key == path[0]), Group(path[0], "", ()))
    new = _put(old, path[1:], group)
    if old in into.groups:
        return replace(into, groups=tuple(new if each is old else each for each in into.groups))
    return replace(into, groups=(*into.groups, new))


def entries_of(form: Mapping[str, Any]) -> Entries:
    """What the fields show of a job. A value that a field cannot hold is shown as it is written."""
    return dict(_read(whole_form(), "", form))


def _read(group: Group, name: str, value: object) -> Iterator[tuple[str, str]]:
    if group.many:
        for index, row in enumerate(value if isinstance(value, list) else ()):
            row_name = f"{name}[{index}]"
            yield joined(row_name, ROW), str(index)
            yield from _read_one(group, row_name, row)
    else:
        yield from _read_one(group, name, value)


def _read_one(group: Group, name: str, value: object) -> Iterator[tuple[str, str]]:
    for field in group.fields:
        found = _member(value, field.key)
        if found is not None:
            text = text_of(field, found)
            yield joined(name, field.key), shown(found) if text is None else text
    for inner in group.groups:
        found = _member(value, inner.key)
        if found is not None:
            yield from _read(inner, joined(name, inner.key), found)


def _member(value: object, key: str) -> object:
    if not key:
        return value
    if key.startswith("["):
        index = int(key[1:-1])
        return value[index] if isinstance(value, list) and index < len(value) else None
    return value.get(key) if isinstance(value, Mapping) else None


def form_of(entries: Mapping[str, str], base: Mapping[str, Any]) -> tuple[Form, list[Problem]]:
    """The form that holds what was entered, and what of it could not be read.

    `base` is the form that the entries began from: keys of its that no field knows are kept, and
    so are tables that the form cannot show.
    """
    problems: list[Problem] = []
    form = _write_one(whole_form(), "", entries, _without(base, entries), problems)
    assert isinstance(form, dict)
    return form, problems


FORGET = "forget."
"""Begins the entry that takes a key out which the form has no field for; the key follows."""
_STEP = re.compile(r"\.?([^.\[\]]+)|\[(\d+)\]")


def _without(base: Mapping[str, Any], entries: Mapping[str, str]) -> Mapping[str, Any]:
    """The form without the keys that are to be forgotten."""
    keys = [name.removeprefix(FORGET) for name in entries if name.startswith(FORGET)]
    left = copy.deepcopy(dict(base)) if keys else base
    for key in keys:
        holder: Any = left
        path = [word or int(index) for word, index in _STEP.findall(key)]
        for part in path[:-1]:
            inside = isinstance(part, int) and isinstance(holder, list) and part < len(holder)
            known = inside or (isinstance(holder, dict) and part in holder)
            holder = holder[part] if known else None
        if isinstance(holder, dict) and path:
            holder.pop(path[-1], None)
    return left


_ABSENT = object()


def _write(
    group: Group, name: str, entries: Mapping[str, str], base: object, problems: list[Problem]
) -> object:
    if not group.many:
        return _write_one(group, name, entries, base, problems)
    rows = []
    for index in rows_in(entries, name):
        row_name = f"{name}[{index}]"
        began = entries.get(joined(row_name, ROW), NEW)
        old = _member(base, f"[{began}]") if began.isdecimal() else None
        row = _write_one(group, row_name, entries, old, problems)
        rows.append({} if row is _ABSENT else row)
    return rows or _ABSENT


def _write_one(
    group: Group, name: str, entries: Mapping[str, str], base: object, problems: list[Problem]
) -> object:
    if is_pair(group):
        return _pair(group, name, entries, problems)
    if len(group.fields) == 1 and not group.fields[0].key:
        return _value(group.fields[0], name, entries, problems)
    made: dict[str, object] = {}
    known = {each.key for each in group.fields} | {each.key for each in group.groups}
    for field in group.fields:
        value = _value(field, joined(name, field.key), entries, problems)
        if value is not _ABSENT:
            made[field.key] = value
    for inner in group.groups:
        if is_put_away(group, inner, name, entries):
            continue
        old = _member(base, inner.key)
        value = _write(inner, joined(name, inner.key), entries, old, problems)
        if value is not _ABSENT:
            made[inner.key] = value
        elif old is not None and not _can_show(inner, old):
            made[inner.key] = old
    before = base if isinstance(base, Mapping) else {}
    kept = {
        key: made.get(key, value)
        for key, value in before.items()
        if key in made or key not in known
    }
    whole = {**kept, **made}
    return whole if whole or not name or base == {} else _ABSENT


def is_put_away(holder: Group, inner: Group, name: str, entries: Mapping[str, str]) -> bool:
    """Whether a choice of the form's own, such as the kind of a tool, leaves the group `inner` of
    `holder` out. Another choice only hides what is empty: nothing typed is lost by it."""
    if inner.shown is None or inner.shown.holds(entries, name):
        return False
    return any(field.own and field.key == inner.shown.key for field in holder.fields)


def _can_show(group: Group, value: object) -> bool:
    if group.many or is_pair(group):
        return isinstance(value, list)
    return isinstance(value, Mapping)


def _value(field: Field, name: str, entries: Mapping[str, str], problems: list[Problem]) -> object:
    text = entries.get(name, "").strip()
    if not text:
        return _ABSENT
    try:
        return value_of(field, text)
    except NotRead as error:
        problems.append(Problem(name, f'"{text[:40]}"', error.accepted))
        return _ABSENT


def is_pair(group: Group) -> bool:
    """Whether the group is two numbers in brackets."""
    return bool(group.fields) and group.fields[0].key == "[0]"


def _pair(group: Group, name: str, entries: Mapping[str, str], problems: list[Problem]) -> object:
    before = len(problems)
    values = [_value(f, joined(name, f.key), entries, problems) for f in group.fields]
    if all(value is _ABSENT for value in values) and len(problems) == before:
        return _ABSENT
    pair = []
    for field, value in zip(group.fields, values, strict=True):
        field_name = joined(name, field.key)
        if value is _ABSENT and field.fill is not None:
            pair.append(field.fill)
        elif value is _ABSENT:
            if not entries.get(field_name, "").strip():
                problems.append(Problem(field_name, "missing", "give a number"))
        else:
            assert isinstance(value, float)
            pair.append(value)
    return pair if len(pair) == len(values) else _ABSENT


def rows_in(entries: Mapping[str, str], name: str) -> list[int]:
    """The numbers of the rows that `name` has, in rising order."""
    pattern = re.compile(rf"{re.escape(name)}\[(\d{{1,6}})\]")
    found = {int(match[1]) for key in entries if (match := pattern.match(key))}
    return sorted(found)
