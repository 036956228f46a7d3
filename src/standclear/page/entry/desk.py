"""A job on the form: its files, what is typed, what is wrong with that, and saving it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace

from standclear.errors import Fault, FileError
from standclear.files import JOB_FILE
from standclear.page.entry.checking import Checked, checked
from standclear.page.entry.documents import (
    Documents,
    form_of_documents,
    named_files,
    raw_of,
    units_by_place,
    with_form,
)
from standclear.page.entry.draft_file import Draft, drop_draft, keep_draft, read_draft
from standclear.page.entry.entries import Entries, Form, Problem, entries_of, form_of, rows_in
from standclear.page.entry.field import Group
from standclear.page.entry.guesses import guesses_of, without_guess
from standclear.page.entry.naming import place_at
from standclear.page.entry.table.part import ROWS
from standclear.page.store import JobPlace, Store

NO_PROGRAM = (".toml", ".json", ".csv", ".svg", ".png", ".pdf", ".dxf", ".txt", ".md")
MOST_PROGRAMS = 200


@dataclass(frozen=True)
class Desk:
    """What lies before whoever types."""

    place: JobPlace
    documents: Documents
    """As the files are."""
    seen: Mapping[str, str]
    """Their revisions."""
    begun: Mapping[str, str]
    """The revisions that the entries were begun from."""
    base: Form
    entries: Entries
    number: int = 0
    """Of the draft; 0 where nothing is typed that is not in the files."""
    changed: tuple[str, ...] = ()
    """Files that were changed by somebody else since the draft was begun."""


@dataclass(frozen=True)
class Looked:
    """What the entries amount to."""

    form: Form
    written: Documents
    """The files with the entries in them."""
    read: tuple[Problem, ...]
    """Entries that cannot be read: they can go into no file."""
    checked: Checked


def desk_of(store: Store, place: JobPlace) -> Desk:
    """The job with its draft, if there is one. Raises FileError where a file is not TOML."""
    documents, seen = _files(store, place)
    base = form_of_documents(documents)
    draft = read_draft(store, place.path)
    if draft is None:
        return Desk(place, documents, seen, seen, base, entries_of(base))
    changed = tuple(name for name, revision in seen.items() if draft.seen.get(name) != revision)
    return Desk(place, documents, seen, draft.seen, base, draft.entries, draft.number, changed)


def _files(store: Store, place: JobPlace) -> tuple[Documents, dict[str, str]]:
    main = place.path.name
    data, revision = store.read(place.path)
    texts, seen = {main: _text(data)}, {main: revision}
    for name in named_files(raw_of(Documents(main, texts))).values():
        try:
            data, revision = store.read(store.inside(place.folder, name))
        except FileError:
            continue  # the check names it, at its place
        texts[name], seen[name] = _text(data), revision
    return Documents(main, texts), seen


def _text(data: bytes) -> str:
    # Bytes that are no UTF-8 come out in the check of the file's text, with their line.
    return data.decode("utf-8-sig", "surrogateescape")


def program_names(place: JobPlace) -> list[str]:
    """Names of the files in the folder of the job that may be programs."""
    names = [
        path.name
        for path in place.folder.iterdir()
        if path.suffix.lower() not in NO_PROGRAM and path.name[0] != "." and path.is_file()
    ]
    return sorted(names)[:MOST_PROGRAMS]


def programs_of(store: Store, desk: Desk) -> dict[str, bytes]:
    """The programs that the entries name, as far as they can be read; the check tells of others."""
    named = {text for key, text in desk.entries.items() if _NAMES_PROGRAM.fullmatch(key)}
    found: dict[str, bytes] = {}
    for name in sorted(named):
        with suppress(FileError, OSError, ValueError):
            found[name] = store.read(store.inside(desk.place.folder, name))[0]
    return found


_NAMES_PROGRAM = re.compile(r"setup\[\d+\]\.program|subprograms\[\d+\]")


def looked(desk: Desk, programs: Mapping[str, bytes]) -> Looked:
    """What the entries on the desk amount to."""
    form, read = form_of(desk.entries, desk.base)
    written, more = with_form(desk.documents, form)
    problems = (*read, *more)
    return Looked(form, written, problems, checked(written, form, problems, programs))


def with_entries(desk: Desk, entries: Entries) -> Desk:
    """The desk with other entries. A guess whose value was changed is one no more: the browser goes
    on sending it, so that one that the desk does not hold any more stays away."""
    before = desk.entries
    held = {guess.key: guess for guess in guesses_of(desk.documents, desk.base, before)}
    for key in [k for k in entries if _IS_GUESS.fullmatch(k)]:
        guess = held.get(entries[key])
        if guess is None or _changed(guess.name, entries, before):
            entries = without_guess(entries, int(key[8:-1]))
    return replace(desk, entries=entries)


def _changed(name: str, entries: Entries, before: Entries) -> bool:
    """Whether the value at a place is another one. The finished length is what the steps of the
    part add up to, once these are given."""
    by_steps = name == "part.length" and entries.get("part.given") == ROWS
    return any(
        _below(entries, each) != _below(before, each)
        for each in ((name, "part.rows", "part.rows[0]") if by_steps else (name,))
    )


_IS_GUESS = re.compile(r"guesses\[\d+\]")


def _below(entries: Entries, name: str) -> object:
    """Entries at a place and below it, without marks of rows; of a list the number of its rows."""
    place = place_at(name)
    if isinstance(place, Group) and place.many and not name.endswith("]"):
        return len(rows_in(entries, name))
    parts = (f"{name}.", f"{name}[")
    return {
        key: text
        for key, text in entries.items()
        if text and not key.endswith("@") and (key == name or key.startswith(parts))
    }


def keep(store: Store, desk: Desk) -> Desk:
    """Keep the entries as a draft; none is kept where they are what the files hold."""
    plain = {key: text for key, text in desk.entries.items() if text.strip()}
    if plain == entries_of(desk.base) and not desk.changed:
        drop_draft(store, desk.place.path)
        return replace(desk, number=0)
    draft = Draft(desk.entries, desk.begun, desk.number + 1)
    keep_draft(store, desk.place.path, draft)
    return replace(desk, number=draft.number)


def save(store: Store, desk: Desk, found: Looked, seen: Mapping[str, str]) -> dict[str, str]:
    """Put the entries into the files; gives the new revision of each. What was there is kept.

    Raises Stale where a file is not what `seen` says.
    """
    after = dict(desk.seen)
    for name, text in found.written.texts.items():
        if text == desk.documents.texts.get(name):
            continue
        path = store.inside(desk.place.folder, name)
        after[name] = store.save(path, text.encode("utf-8", "surrogateescape"), seen.get(name, ""))
    drop_draft(store, desk.place.path)
    return after


def begin(store: Store, title: str, text: str) -> JobPlace:
    """A folder for a new job, with `text` as its job file. Raises FileError."""
    stem = re.sub(r"[^\w.+-]+", "-", title).strip("-._+")[:60].rstrip("-._+") or "job"
    for count in range(1, 1000):
        folder = store.inside(store.root, stem if count == 1 else f"{stem}-{count}")
        if not folder.exists():
            path = store.add(folder, JOB_FILE, text.encode("utf-8"))
            found = next((each for each in store.jobs() if each.path == path), None)
            if found is not None:
                return found
    raise FileError(Fault(title, "", "there are too many jobs of that name", "give another name"))


def units_of(desk: Desk) -> dict[str, str]:
    """Unit of the job as it is typed, and of files that have their own."""
    return {**units_by_place(desk.documents), "": desk.entries.get("units", "")}


def files_of(desk: Desk) -> dict[str, str]:
    """Places of the form that stand in a file of their own, with its name."""
    return named_files(raw_of(desk.documents))
