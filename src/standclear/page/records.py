"""Shop records: the jobs of a folder, what was last answered of each, and what changed since.

All of it is read from plain files: the job, and the dated answers in `proofs/` beside it.
"""

from __future__ import annotations

import hashlib
import json
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from standclear.errors import FileError
from standclear.files import read_limited
from standclear.findings.finding import Severity, Verdict
from standclear.page.store import JobPlace, Store
from standclear.plan.later.since import TOOL, tool_hash
from standclear.report.words import SEVERITY_WORD

VERDICTS = ("clear", "unproven", "contact")


def records(store: Store, find: str = "") -> list[dict[str, Any]]:
    """One row a job, those that hold every word of `find` in name, title, blank or files."""
    words = find.casefold().split()
    rows = []
    tool = tool_hash()
    for place in store.jobs():
        row = _row(store, place, tool)
        text = " ".join([row["ident"], row["title"], row["blank"], row["file"], *row["names"]])
        if all(word in text.casefold() for word in words):
            rows.append(row)
    return rows


def _row(store: Store, place: JobPlace, tool: str) -> dict[str, Any]:
    raw = _tables(place)
    kept = _last(place)
    names = list(kept.get("files", {})) if kept else []
    return {
        "ident": place.ident,
        "title": _text(raw.get("title")) or place.ident.rpartition("~")[2],
        "blank": _blank(raw),
        "file": str(place.path.relative_to(store.root)),
        "names": names,
        "verdict": kept.get("verdict", "") if kept else "",
        **_word_and_state(kept),
        "headline": kept.get("headline", "") if kept else "",
        "proved_at": (kept.get("proved_at") or "")[:16].replace("T", " ") if kept else "",
        "changed": _changed(store, place, kept, tool) if kept else [],
    }


def _tables(place: JobPlace) -> dict[str, Any]:
    try:
        return tomllib.loads(read_limited(place.path).decode("utf-8-sig"))
    except (FileError, ValueError, RecursionError):
        return {}


def _word_and_state(kept: Mapping[str, Any] | None) -> dict[str, str]:
    """The verdict as the bench says it: a clear one with the gravest of what it leaves open."""
    verdict = str(kept.get("verdict", "")) if kept else ""
    found = kept.get("findings", []) if kept and verdict == Verdict.CLEAR else []
    still_open = {
        each.get("severity")
        for each in found
        if isinstance(each, dict) and not each.get("allowed_because")
    }
    for severity in (Severity.STOP, Severity.MEND):
        if SEVERITY_WORD[severity] in still_open:
            return {"word": f"{verdict}, but {SEVERITY_WORD[severity]}", "state": "mend"}
    return {"word": verdict, "state": verdict}


def _last(place: JobPlace) -> dict[str, Any] | None:
    """The latest kept answer of this job; jobs of one folder share `proofs/`."""
    kept = (place.folder / "proofs").glob("*.json")
    for path in sorted(kept, key=_when, reverse=True):
        try:
            answer = json.loads(read_limited(path))
        except (FileError, ValueError, RecursionError):
            continue
        if _is_of(answer, place.path.name):
            return dict(answer)
    return None


def _is_of(answer: Any, job_file: str) -> bool:
    if not isinstance(answer, dict) or answer.get("verdict") not in VERDICTS:
        return False
    files = answer.get("files")
    return isinstance(files, dict) and job_file in files


def _when(path: Path) -> tuple[str, int]:
    count = path.stem[20:]
    return path.stem[:19], int(count) if count.isdigit() else 1


def _changed(store: Store, place: JobPlace, kept: Mapping[str, Any], tool: str) -> list[str]:
    """Files that are not what they were when the answer was kept."""
    changed = []
    for name, before in kept["files"].items():
        if name == TOOL:
            if before != tool:
                changed.append("standclear itself")
            continue
        try:
            data = read_limited(store.inside(place.folder, name))
        except FileError:
            changed.append(f"{name} (gone)")
            continue
        if hashlib.sha256(data).hexdigest() != before:
            changed.append(name)
    return changed


def _blank(raw: Mapping[str, Any]) -> str:
    """`round 48 x 83 mm, C45`."""
    blank = raw.get("blank")
    if not isinstance(blank, dict):
        return ""
    size, length = blank.get("size"), blank.get("length")
    parts = [
        _text(blank.get("shape")),
        f"{_number(size)} x {_number(length)}",
        _text(raw.get("units")),
    ]
    material = _text(blank.get("material"))
    return " ".join(part for part in parts if part) + (f", {material}" if material else "")


def _number(value: object) -> str:
    return f"{value:g}" if isinstance(value, int | float) else "?"


def _text(value: object) -> str:
    return value if isinstance(value, str) else ""
