"""What is being typed, kept beside the job until it goes into its files: a reload loses nothing.

The draft lies in the folder `.form` beside the job file. It says which revision of each file it
was begun from, so that a file that somebody else has changed meanwhile is noticed.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from standclear.errors import FileError
from standclear.files import read_limited, write_aside
from standclear.page.entry.entries import Entries
from standclear.page.store import Store

FOLDER = ".form"
MOST_ENTRIES = 20_000
LONGEST_ENTRY = 4_000


@dataclass(frozen=True, slots=True)
class Draft:
    """Entries that are not in the files yet."""

    entries: Entries
    seen: Mapping[str, str]
    """Name of each file that the entries were begun from -> its revision."""
    number: int
    """Counts the times it was kept: a second tab is known by an older one."""


def draft_path(store: Store, job: Path) -> Path:
    """Where the draft of a job lies. Raises FileError where that is out of the folder of jobs."""
    return store.inside(job.parent, f"{FOLDER}/{job.name}.json")


def read_draft(store: Store, job: Path) -> Draft | None:
    """The draft of a job; None where there is none that can be read."""
    try:
        raw = json.loads(read_limited(draft_path(store, job)))
        return Draft(entries_in(raw["entries"]), texts_in(raw["seen"]), int(raw["number"]))
    except (FileError, ValueError, KeyError, TypeError, RecursionError):
        return None


def keep_draft(store: Store, job: Path, draft: Draft) -> None:
    """Put a draft in place of the one before. Raises FileError."""
    path = draft_path(store, job)
    path.parent.mkdir(exist_ok=True)
    kept = {"entries": draft.entries, "seen": dict(draft.seen), "number": draft.number}
    write_aside(path, json.dumps(kept, ensure_ascii=False, indent=0).encode("utf-8"))


def drop_draft(store: Store, job: Path) -> None:
    """Take the draft away: what it held is in the files, or is not wanted."""
    draft_path(store, job).unlink(missing_ok=True)


def entries_in(raw: object) -> Entries:
    """Entries as they were sent. Raises ValueError where they are not names and texts."""
    found = texts_in(raw)
    if len(found) > MOST_ENTRIES or any(len(text) > LONGEST_ENTRY for text in found.values()):
        raise ValueError("more was sent than a form holds")
    return found


def texts_in(raw: object) -> dict[str, str]:
    """A table of names and texts. Raises ValueError where it is none."""
    if not isinstance(raw, dict):
        raise ValueError("not a table of names and texts")
    if not all(isinstance(k, str) and isinstance(v, str) for k, v in raw.items()):
        raise ValueError("not a table of names and texts")
    return dict(raw)
