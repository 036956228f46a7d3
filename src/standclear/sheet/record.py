"""What a sheet carries along: hashes of every file and of the tool, as keywords of the PDF.

Each keyword is `name:value`, the values of free text percent-encoded, so that none holds a blank or
a comma and a list of them can be told apart again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote, unquote

MARK = "standclear-sheet:1"
"""First keyword of every sheet."""
SHOWN = 8
"""Digits of a hash that a page shows; the last page shows all."""


@dataclass(frozen=True)
class Record:
    """What was proved, when and by what."""

    verdict: str
    proved_at: str
    version: str
    tool: str
    """SHA-256 of the tool's source."""
    job: str
    """The job file, from the folder of the sheet, with `/` between names; empty where there is no
    way from one to the other."""
    given: Mapping[str, float]
    """Sizes that stood in for the job's own, in its unit."""
    files: Mapping[str, str]
    """Name, from the job file's folder, and SHA-256 of every file read."""


def given_words(given: Mapping[str, float]) -> str:
    """`bar 52, length 86.5 in place of the job's own`; empty where nothing is given."""
    sizes = ", ".join(f"{name} {value:g}" for name, value in given.items())
    return f"{sizes} in place of the job's own" if sizes else ""


def keywords_of(record: Record) -> tuple[str, ...]:
    """The record as keywords."""
    return (
        MARK,
        f"verdict:{record.verdict}",
        f"proved:{_coded(record.proved_at)}",
        f"version:{_coded(record.version)}",
        f"tool:{record.tool}",
        f"job:{_coded(record.job)}",
        *(f"given-{name}:{value!r}" for name, value in record.given.items()),
        *(f"sha256-{digest}:{_coded(name)}" for name, digest in sorted(record.files.items())),
    )


def record_of(keywords: Sequence[str]) -> Record | None:
    """The record that keywords hold; None where they are not those of a sheet."""
    if MARK not in keywords:
        return None
    found = dict(word.split(":", 1) for word in keywords if ":" in word)
    try:
        return Record(
            found["verdict"],
            unquote(found["proved"]),
            unquote(found["version"]),
            found["tool"],
            unquote(found["job"]),
            {k.removeprefix("given-"): float(v) for k, v in found.items() if k[:6] == "given-"},
            {unquote(v): k.removeprefix("sha256-") for k, v in _of_files(keywords)},
        )
    except (KeyError, ValueError):
        return None


def _of_files(keywords: Sequence[str]) -> list[tuple[str, str]]:
    """(hash, name): two files may have the same bytes, so these are no table by hash."""
    pairs = [word.split(":", 1) for word in keywords if word.startswith("sha256-")]
    return [(pair[0], pair[1]) for pair in pairs if len(pair) == 2]


def _coded(text: str) -> str:
    return quote(text, safe="/._-+")
