"""Rows put in, taken out and moved, and guesses confirmed: entries to entries."""

from __future__ import annotations

import re

from standclear.page.answers import Refused
from standclear.page.entry.entries import FORGET, NEW, ROW, Entries, rows_in
from standclear.page.entry.field import Field, Group, joined
from standclear.page.entry.guesses import GUESSES, without_guess
from standclear.page.entry.naming import place_at

MOST_ROWS = 400
_ROW_NAME = re.compile(r"(?P<list>.+)\[(?P<index>\d{1,6})\]")


def acted(entries: Entries, act: object, name: object) -> tuple[Entries, str]:
    """The entries after `act` on the place `name`, and the field to go on at; empty for the first.

    `add` puts a row at the end of a list, `remove` takes one out, `up` moves one before the one
    before it, `confirm` takes a guess off the list, `forget` a key out of the file that no field
    has. Raises Refused.
    """
    if not isinstance(act, str) or not isinstance(name, str):
        raise Refused(400, "Say what is to be done, and where.")
    if act == "add":
        return _added(entries, name)
    if act == "forget":
        return {**entries, f"{FORGET}{name}": "yes"}, name.rpartition(".")[0]
    row = _ROW_NAME.fullmatch(name)
    if row is None or not _is_list(row["list"]):
        raise Refused(400, f"{name} is no row of the form.")
    index = int(row["index"])
    if act == "confirm" and row["list"] == GUESSES:
        kept_open = _numbered(without_guess(entries, index), GUESSES)
        last = len(rows_in(kept_open, GUESSES)) - 1
        return kept_open, f"{GUESSES}[{min(index, last)}]" if last >= 0 else ""
    if act == "remove":
        gone = {k: v for k, v in entries.items() if not _in_row(k, name)}
        kept = rows_in(gone, row["list"])
        after = _numbered(gone, row["list"])
        left = min(index, len(kept) - 1)
        return after, _first_field(f"{row['list']}[{left}]") if kept else row["list"]
    if act == "up" and index > 0:
        return _swapped(entries, row["list"], index), _first_field(f"{row['list']}[{index - 1}]")
    raise Refused(400, f"{act} is nothing that can be done with {name}.")


def _is_list(name: str) -> bool:
    found = place_at(name)
    return isinstance(found, Group) and found.many


def _added(entries: Entries, name: str) -> tuple[Entries, str]:
    if not _is_list(name):
        raise Refused(400, f"{name} is no list of the form.")
    rows = rows_in(entries, name)
    if len(rows) >= MOST_ROWS:
        raise Refused(422, f"More than {MOST_ROWS} rows do not fit on the form.")
    numbered = _numbered(entries, name)
    new = f"{name}[{len(rows)}]"
    added = {**numbered, joined(new, ROW): NEW}
    if name == "tools":
        stations = [entries.get(f"tools[{i}].station", "") for i in rows]
        used = [int(each) for each in stations if each.isdecimal()]
        added[f"{new}.station"] = str(max(used, default=0) + 1)
        return added, f"{new}.kind"
    return added, _first_field(new)


def _first_field(row: str) -> str:
    group = place_at(row)
    field = group.fields[0] if isinstance(group, Group) and group.fields else None
    return joined(row, field.key) if isinstance(field, Field) else row


def _in_row(key: str, row: str) -> bool:
    return key == row or key.startswith((f"{row}.", f"{row}["))


def _numbered(entries: Entries, name: str) -> Entries:
    """The rows of a list numbered from 0 without gaps, in their order."""
    numbers = {old: new for new, old in enumerate(rows_in(entries, name))}
    return _renumbered(entries, name, numbers)


def _swapped(entries: Entries, name: str, index: int) -> Entries:
    return _renumbered(entries, name, {index: index - 1, index - 1: index})


def _renumbered(entries: Entries, name: str, numbers: dict[int, int]) -> Entries:
    pattern = re.compile(rf"{re.escape(name)}\[(\d{{1,6}})\]")
    made: Entries = {}
    for key, text in entries.items():
        match = pattern.match(key)
        if match:
            number = numbers.get(int(match[1]), int(match[1]))
            key = f"{name}[{number}]{key[match.end() :]}"
        made[key] = text
    return made
