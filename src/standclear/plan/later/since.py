"""What changed since a proof that was kept: files, the tool itself, verdict, findings, gaps, the
words of its programs, and what is to be keyed in anew."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from standclear.errors import Fault, FileError, StandclearError
from standclear.files import read_text_bytes
from standclear.job.models import Job
from standclear.job.read import JobFiles
from standclear.plan.later.compare import Difference, differences_of, lines_now
from standclear.plan.later.kept_files import kept_job
from standclear.plan.later.keyed_anew import KeyIn, key_in
from standclear.proof.held import Held

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
class ProgramChange:
    """A program that is another one now, compared word by word."""

    name: str
    differences: tuple[Difference, ...]
    """The gravest first; line numbers of the kept program, then of the one in hand."""


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
    programs: tuple[ProgramChange, ...] = ()
    key_in: KeyIn | None = None
    """None where the kept job cannot be read again: `not_read` says why."""
    not_read: str = ""


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


def since(kept: Path, answer: Mapping[str, Any], held: Held | None = None) -> Since:
    """`answer`, as the JSON answer has it, beside the one kept in the file; with the job that it
    answers for in `held` also beside the files kept with it.

    Raises FileError where the file is no kept answer.
    """
    before: JobFiles | None = None
    not_read = ""
    try:
        old = json.loads(read_text_bytes(kept))
        hashes = {str(name): str(digest) for name, digest in old["files"].items()}
        if held is not None:
            try:
                before = kept_job(kept, hashes)
            except StandclearError as error:
                not_read = str(error)
        found = _since(kept, old, answer, _same_lines(before, held))
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        fault = Fault(str(kept), "", "this is no kept answer", "give one written by --keep")
        raise FileError(fault) from error
    if before is None or held is None:
        return replace(found, not_read=not_read)
    programs = tuple(_programs(before, held))
    return replace(found, programs=programs, key_in=key_in(before.job, held.files.job))


Lines = Mapping[str, Mapping[int, int]]
"""By program: the line that each kept line has now."""


def _same_lines(before: JobFiles | None, held: Held | None) -> Lines:
    if before is None or held is None:
        return {}
    return {
        name: lines_now(name, old, held.files.programs[name])
        for name, old in before.programs.items()
        if name in held.files.programs
    }


def _programs(before: JobFiles, held: Held) -> Iterator[ProgramChange]:
    """Programs of the same name with other bytes, traced with the tools and jaws of today."""
    job: Job = held.files.job
    for name, new in held.files.programs.items():
        old = before.programs.get(name)
        if old is not None and old != new:
            yield ProgramChange(name, differences_of(held, job, name, old, new))


def _since(kept: Path, old: Mapping[str, Any], new: Mapping[str, Any], lines: Lines) -> Since:
    before, now = old["files"], new["files"]
    had, has = _findings(old), _findings(new)
    moved = {name for name in now if before.get(name) != now[name]}
    gaps_before, gaps_now = _gaps(old, lines, moved), _gaps(new, {}, ())
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


def _gaps(
    answer: Mapping[str, Any], lines: Lines, moved: Container[str]
) -> dict[tuple[str, int, str, int], float]:
    """Gap by set-up, line, tool, and number among the places of that line. Lines of the programs
    in `lines` are given as they are there; one of `moved` that is not among them is left out."""
    found: dict[tuple[str, int, str, int], float] = {}
    for setup in answer["setups"]:
        for near in setup["watch"]:
            program, line = near["place"]["program"], near["place"]["line"]
            if program in lines:
                line = lines[program].get(line, 0)
            elif program in moved:
                line = 0
            if line:
                tool = near["tool"]
                count = sum(key[:3] == (setup["name"], line, tool) for key in found)
                found[setup["name"], line, tool, count] = float(near["gap"])
    return found
