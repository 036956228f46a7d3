"""Lathe, tools or jaws taken from another job: the same shop seldom changes them."""

from __future__ import annotations

from standclear.page.answers import Refused
from standclear.page.entry.desk import Desk
from standclear.page.entry.documents import units_by_place
from standclear.page.entry.entries import NEW, ROW, Entries, rows_in
from standclear.page.entry.guesses import GUESSES

TAKEN = ("machine", "tools", "jaws")
"""Names of what another job can lend."""


def taken_from(desk: Desk, name: str, other: Desk) -> tuple[Entries, str]:
    """The entries with what `other` has of `name`, and the field to go on at.

    What is answered already stays; tools are filled in by their stations. A guess that nobody has
    confirmed is not lent. Raises Refused.
    """
    units, theirs = desk.entries.get("units", ""), other.entries.get("units", "")
    if name not in TAKEN:
        raise Refused(400, f"{name} cannot be taken from another job.")
    if not units:
        raise Refused(422, "Say first in which unit this job is.")
    if units != theirs or any(place.partition("[")[0] == name for place in _other_units(other)):
        raise Refused(422, f"{other.place.ident} keeps them in another unit: type them here.")
    lent = {key: text for key, text in other.entries.items() if text}
    open_there = [lent.get(f"{GUESSES}[{i}]", "") for i in rows_in(lent, GUESSES)]
    if name == "tools":
        return _tools(desk.entries, lent, open_there), "tools[0].kind"
    if name == "jaws" and not _below(lent, "jaws"):
        lent = {key.removeprefix("setup[0]."): text for key, text in lent.items()}
    entries = dict(desk.entries)
    for key, text in _below(lent, name).items():
        group = key.partition("[")[0]
        if not entries.get(key) and key not in open_there and not rows_in(desk.entries, group):
            entries[key] = NEW if key.endswith(f".{ROW}") else text
    return entries, f"{name}.given" if name == "jaws" else f"{name}.name"


def _other_units(desk: Desk) -> list[str]:
    """Places of a job that its own unit does not hold for."""
    units = units_by_place(desk.documents)
    return [place for place, unit in units.items() if place and unit != units[""]]


def _below(entries: Entries, name: str) -> Entries:
    parts = (f"{name}.", f"{name}[")
    return {key: text for key, text in entries.items() if key.startswith(parts)}


def _tools(own: Entries, lent: Entries, open_there: list[str]) -> Entries:
    entries = dict(own)
    rows = rows_in(own, "tools")
    at = {own.get(f"tools[{i}].station", ""): i for i in rows if not own.get(f"tools[{i}].kind")}
    taken = {own.get(f"tools[{i}].station", "") for i in rows}
    count = max(rows, default=-1) + 1
    for index in rows_in(lent, "tools"):
        station = lent.get(f"tools[{index}].station", "")
        if f"tools.T{station}" in open_there or f"tools[{index}]" in open_there:
            continue
        if station in at:
            place = at[station]
        elif rows or station in taken:
            continue
        else:
            place, count = count, count + 1
        old, new = f"tools[{index}]", f"tools[{place}]"
        for key, text in _below(lent, old).items():
            own_key = new + key[len(old) :]
            if not entries.get(own_key):
                entries[own_key] = NEW if key.endswith(f".{ROW}") else text
    return entries
