"""What changed since a proof that was kept: files, the tool itself, verdict, findings, gaps."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from standclear.errors import Fault, FileError
from standclear.files import read_text_bytes

SAME_MM = 0.001
"""Gaps that differ by less are the same."""
TOOL = "standclear"
"""Name under which a kept answer holds the hash of the tool itself."""


@dataclass(frozen=True)
class GapChange:
    """A place to watch whose gap is another one now, mm."""

    setup: str
    line: int
    tool: str
    old: float
    new: float


@dataclass(frozen=True)
class Since:
    """A kept answer beside the one in hand."""

    kept: str
    proved_at: str
    old_verdict: str
    new_verdict: str
    old_headline: str
    changed: tuple[str, ...]
    """Files that are there both times with other bytes."""
    added: tuple[str, ...]
    gone: tuple[str, ...]
    new_findings: tuple[str, ...]
    ended_findings: tuple[str, ...]
    gaps: tuple[GapChange, ...]


def tool_hash() -> str:
    """SHA-256 over the source files of the tool: equal as long as none of them changes."""
    root = Path(__file__).parents[2]
    total = hashlib.sha256()
    for path in sorted(root.rglob("*.py")):
        total.update(str(path.relative_to(root)).encode() + b"\0" + path.read_bytes())
    return total.hexdigest()


def last_kept(folder: Path) -> Path:
    """The latest answer in `proofs/` of the job's folder. Raises FileError where there is none."""
    kept = list((folder / "proofs").glob("*.json"))
    if not kept:
        found = "no proof is kept here"
        accepted = "keep one first: standclear prove JOB --keep"
        raise FileError(Fault(str(folder / "proofs"), "", found, accepted))
    # Of one second the second is `-2`: the number counts, not its digits as text.
    return max(kept, key=lambda path: (path.stem[:19], int(path.stem[20:] or 1)))


def since(kept: Path, answer: Mapping[str, Any]) -> Since:
    """`answer`, as the JSON answer has it, beside the one kept in the file.

    Raises FileError where the file is no kept answer.
    """
    try:
        old = json.loads(read_text_bytes(kept))
        return _since(kept, old, answer)
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        fault = Fault(str(kept), "", "this is no kept answer", "give one written by --keep")
        raise FileError(fault) from error


def _since(kept: Path, old: Mapping[str, Any], new: Mapping[str, Any]) -> Since:
    before, now = old["files"], new["files"]
    had, has = _findings(old), _findings(new)
    gaps_before, gaps_now = _gaps(old), _gaps(new)
    gaps = tuple(
        GapChange(*key[:3], gaps_before[key], gap)
        for key, gap in gaps_now.items()
        if key in gaps_before and abs(gaps_before[key] - gap) >= SAME_MM
    )
    return Since(
        kept.name,
        old["proved_at"] or "",
        old["verdict"],
        new["verdict"],
        old["headline"],
        tuple(name for name in now if name in before and before[name] != now[name]),
        tuple(name for name in now if name not in before),
        tuple(name for name in before if name not in now),
        tuple(sentence for sentence in has if sentence not in had),
        tuple(sentence for sentence in had if sentence not in has),
        gaps,
    )


def _findings(answer: Mapping[str, Any]) -> tuple[str, ...]:
    return tuple(
        f"{f['severity']} {f['code']} (set-up {f['setup']}): {f['sentence']}"
        for f in answer["findings"]
        if f["severity"] != "note"
    )


def _gaps(answer: Mapping[str, Any]) -> dict[tuple[str, int, str, int], float]:
    """Gap by set-up, line, tool, and number among the places of that line."""
    found: dict[tuple[str, int, str, int], float] = {}
    for setup in answer["setups"]:
        for near in setup["watch"]:
            line, tool = near["place"]["line"], near["tool"]
            count = sum(key[:3] == (setup["name"], line, tool) for key in found)
            found[setup["name"], line, tool, count] = float(near["gap"])
    return found
