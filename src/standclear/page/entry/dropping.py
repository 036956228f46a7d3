"""Files dropped onto the form: a program goes into the folder, a DXF file into the part."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from standclear.draft.draft import NothingToDraft, draft_job
from standclear.page.answers import Refused
from standclear.page.entry.desk import NO_PROGRAM, Desk
from standclear.page.entry.documents import Documents, form_of_documents
from standclear.page.entry.dxf.profile import profile_from_dxf
from standclear.page.entry.dxf.stretches import NoProfile
from standclear.page.entry.entries import NEW, ROW, Entries, entries_of, rows_in
from standclear.page.entry.guesses import GUESSES, WHY, guesses_of
from standclear.page.entry.numbers import number_text
from standclear.page.entry.part_reading import steps_of
from standclear.page.entry.part_rows import SAGITTA_MM, Step
from standclear.page.entry.sharing import whole_again
from standclear.page.store import Store, revision_of

MM_PER_INCH = 25.4
_OF_LATHE = re.compile(
    r"units|machine\.(home|second_home|safe_x|safe_z)"
    r"|machine\.control\.(?!x_words|controlled_point)\w+"
)
_OF_SETUP = re.compile(r"setup\[\d+\]\.(offset|(start|end)\..+)")
"""What the form takes from a drafted job, where nothing is answered yet."""


def dropped_dxf(desk: Desk, data: bytes, *, front_left: bool) -> tuple[Desk, str]:
    """The part out of a DXF file, as steps where it has them, else as points. Raises Refused."""
    units = desk.entries.get("units", "")
    if not units:
        raise Refused(422, "Say first in which unit the job is, then drop the drawing.")
    try:
        profile = profile_from_dxf(data, units, front_left=front_left)
    except NoProfile as error:
        raise Refused(422, f"The drawing: {error}.") from error
    sagitta = SAGITTA_MM / MM_PER_INCH if units == "inch" else SAGITTA_MM
    steps = steps_of(profile.outline, profile.length, sagitta)
    kept = {
        key: text
        for key, text in desk.entries.items()
        if not key.startswith(("part.rows[", "part.outline[")) and key != "part.length"
    }
    if steps is not None:
        entries = {**kept, "part.given": "rows", **_rows(steps)}
        what = f"{len(steps)} steps"
    else:
        entries = {**kept, "part.given": "points", "part.length": number_text(profile.length)}
        for index, point in enumerate(profile.outline):
            name = f"part.outline[{index}]"
            entries[f"{name}.{ROW}"] = NEW
            entries |= {f"{name}[{i}]": number_text(value) for i, value in enumerate(point)}
        what = f"{len(profile.outline)} points"
    told = " ".join([f"The part was read as {what}.", *profile.notes])
    return replace(desk, entries=entries), told


def _rows(steps: list[Step]) -> Entries:
    entries: Entries = {}
    for index, step in enumerate(steps):
        name = f"part.rows[{index}]"
        entries[f"{name}.{ROW}"] = NEW
        entries[f"{name}.diameter"] = number_text(step.diameter)
        if step.to is not None:
            entries[f"{name}.to"] = number_text(step.to)
        entries[f"{name}.length"] = number_text(step.length)
        for key, corner in (("front", step.front), ("back", step.back)):
            if corner.size:
                entries[f"{name}.{key}"] = corner.words
    return entries


def dropped_program(store: Store, desk: Desk, name: str, data: bytes) -> tuple[Desk, str]:
    """The program put into the folder of the job, and named where a set-up has none.

    A second program goes to the first set-up that runs all of another's, as a guess to confirm.
    What the program tells of set-ups that are still empty is put in as guesses too.
    Raises Refused and FileError.
    """
    if not data.strip():
        raise Refused(422, "The program is empty.")
    if not name or any(name.lower().endswith(ending) for ending in NO_PROGRAM):
        raise Refused(422, f"{name or 'The file'} has a name that no program has here; use NAME.nc")
    path = desk.place.folder / name
    if path.exists():
        there, _ = store.read(path)
        if revision_of(there) != revision_of(data):
            raise Refused(409, f"{name} is there already and says something else: rename one.")
    else:
        store.add(desk.place.folder, name, data)
    entries, told = _named(dict(desk.entries), name)
    told = f"{name} is in the folder{told}"
    try:
        draft = draft_job(data, name)
    except NothingToDraft as error:
        return replace(desk, entries=entries), f"{told} Of it: {error}."
    named = {str(tool.station): tool.because for tool in draft.tools if tool.named}
    entries, taken = _with_draft(entries, draft.text, named)
    if taken:
        told += f" Guessed from it: {taken}, to be confirmed one by one."
    return replace(desk, entries=entries), told


def _named(entries: Entries, name: str) -> tuple[Entries, str]:
    """The entries with a program named in set-ups, and the end of the sentence that says where."""
    rows = rows_in(entries, "setup")
    programs = {index: entries.get(f"setup[{index}].program", "") for index in rows}
    empty = [index for index in rows if not programs[index]]
    if empty:
        for index in empty:
            entries[f"setup[{index}].program"] = name
        return entries, "."
    if name in programs.values():
        return entries, "."
    for index, _ in whole_again(entries):
        other = programs[index]
        entries[f"setup[{index}].program"] = name
        why = f"set-up {rows.index(index) + 1} had {other}, which another set-up runs already"
        told = (
            f" and in set-up {rows.index(index) + 1}, which had {other} as another has: confirm it."
        )
        return _with_guess(entries, f"setup[{index}].program", why), told
    return entries, ". No set-up uses it: choose it in the set-up that it is for."


def _with_guess(entries: Entries, key: str, because: str) -> Entries:
    """The entries with one more guess to confirm, unless it is open already."""
    rows = rows_in(entries, GUESSES)
    if key in {entries.get(f"{GUESSES}[{i}]") for i in rows}:
        return entries
    name = f"{GUESSES}[{max(rows, default=-1) + 1}]"
    return {**entries, f"{name}.{ROW}": NEW, name: key, f"{name}.{WHY}": because}


def _with_draft(entries: Entries, text: str, named: Mapping[str, str]) -> tuple[Entries, int]:
    """Entries with what a drafted job knows and they do not, and how many guesses that makes.

    Taken over are the unit, stations and names of tools, offsets and marks of set-ups, and what the
    program tells of the lathe; sizes and zeros are left to whoever knows them, and so are tools but
    for those that a comment names: `named` has why, by station.
    """
    documents = Documents("job.toml", {"job.toml": text})
    form = form_of_documents(documents)
    drafted = entries_of(form)
    made = _with_tools(dict(entries), drafted)
    made, tools = _with_named(made, drafted, named)
    setups = rows_in(drafted, "setup")
    same = len(setups) == len(rows_in(entries, "setup"))
    new = {
        key: value
        for key, value in drafted.items()
        if (_OF_LATHE.fullmatch(key) or (same and _OF_SETUP.fullmatch(key)))
        and not entries.get(key)
        and not _answered(key, entries)
    }
    made |= new
    guessed = [
        guess
        for guess in guesses_of(documents, form, drafted)
        if guess.name in new or any(key.startswith(f"{guess.name}.") for key in new)
    ]
    for guess in guessed:
        made = _with_guess(made, guess.key, guess.because)
    return made, len(guessed) + tools


def _with_tools(entries: Entries, drafted: Entries) -> Entries:
    """A row for each station that the program calls and the form does not have."""
    known = {entries.get(f"tools[{i}].station") for i in rows_in(entries, "tools")}
    count = max(rows_in(entries, "tools"), default=-1) + 1
    for index in rows_in(drafted, "tools"):
        old = f"tools[{index}]"
        if drafted.get(f"{old}.station") in known:
            continue
        entries[f"tools[{count}].{ROW}"] = NEW
        for key in ("station", "offset", "name"):
            if f"{old}.{key}" in drafted:
                entries[f"tools[{count}].{key}"] = drafted[f"{old}.{key}"]
        count += 1
    return entries


def _with_named(
    entries: Entries, drafted: Entries, named: Mapping[str, str]
) -> tuple[Entries, int]:
    """Insert and holder of the tools that a comment names, in rows that say nothing of them yet,
    and how many guesses that makes."""
    theirs = {drafted.get(f"tools[{i}].station"): i for i in rows_in(drafted, "tools")}
    count = 0
    for index in rows_in(entries, "tools"):
        own = f"tools[{index}]"
        station = entries.get(f"{own}.station", "")
        if station not in named or station not in theirs or entries.get(f"{own}.kind"):
            continue
        for key in ("kind", "insert", "holder"):
            entries[f"{own}.{key}"] = drafted[f"tools[{theirs[station]}].{key}"]
        entries = _with_guess(entries, f"tools.T{station}", named[station])
        count += 1
    return entries, count


def _answered(key: str, entries: Entries) -> bool:
    """Whether the group that a key of a set-up stands in has an answer already: a mark or a zero
    is taken as a whole or not at all."""
    holder = key.rpartition(".")[0]
    inner = holder.count(".") > 0 and holder.startswith("setup[")
    return inner and any(k.startswith(f"{holder}.") and v for k, v in entries.items())
