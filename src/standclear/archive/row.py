"""One job of many: its answer as a row, whatever happens while it is proved."""

from __future__ import annotations

import hashlib
import json
import time
from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from functools import cache
from pathlib import Path, PurePosixPath
from typing import Any

from standclear.archive.wanted import Wanted
from standclear.errors import StandclearError, told
from standclear.files import JOB_FILE, read_limited
from standclear.job.read import read_job
from standclear.job.unchanged import check_unchanged
from standclear.plan.later.kept_files import ASKED, Asked
from standclear.plan.later.since import TOOL, last_kept, tool_hash
from standclear.proof.held import hold
from standclear.proof.prove import judge
from standclear.report.json_answer import answer
from standclear.report.keep import keep_proof

NO_ANSWER = 2


@dataclass(frozen=True)
class Row:
    """The answer to one job."""

    job: str
    verdict: str
    """`clear`, `contact` or `unproven`; empty where there is no answer."""
    status: int
    """As the exit status of `prove`: 0 clear with nothing to mend, 1 any other answer, 2 none."""
    headline: str
    findings: Mapping[str, int] = field(default_factory=dict)
    """How many above `note` of each code."""
    faults: tuple[str, ...] = ()
    """Why there is no answer."""
    proved: bool = True
    """False where the kept answer still holds, and where there is no answer."""
    kept: str = ""
    """Name of the kept answer that this one is, or became."""
    before: str = ""
    """With `since`, the verdict of the last kept answer; empty where none is kept."""
    differs: bool = False
    """With `since`, verdict or status is another one than was kept."""
    seconds: float = 0.0

    def as_line(self) -> str:
        """The row as one line of JSON, without its end."""
        return json.dumps(asdict(self))


def prove_row(path: Path, wanted: Wanted) -> Row:
    """The answer to the job at `path`; never raises, so that one job cannot stop the rest."""
    begun = time.perf_counter()
    try:
        row = _row(path, wanted)
    except Exception as error:  # the last net, as of a single proof
        row = no_answer(path, told(error, path))
    return replace(row, seconds=round(time.perf_counter() - begun, 3))


def no_answer(path: Path, faults: tuple[str, ...]) -> Row:
    """The row of a job that could not be proved."""
    return Row(str(path), "", NO_ANSWER, faults[0], faults=faults, proved=False)


def _row(path: Path, wanted: Wanted) -> Row:
    before = _last_answer(path) if wanted.since else None
    if before is not None and wanted.as_it_stands and _holds_still(path, *before):
        kept, old = before
        return _of_answer(path, old, proved=False, kept=kept.name, before=str(old["verdict"]))
    now, kept_as = _proved(path, wanted)
    row = _of_answer(path, now, kept=kept_as)
    if before is None:
        return row
    old = before[1]
    differs = (row.verdict, row.status) != (old["verdict"], int(old["exit_status"]))
    return replace(row, before=str(old["verdict"]), differs=differs)


def _proved(path: Path, wanted: Wanted) -> tuple[dict[str, Any], str]:
    """The answer of a proof made now, and the name that it is kept under, if it is."""
    sizes = wanted.bar, wanted.length, wanted.face
    files = read_job(path, bar=sizes[0], length=sizes[1], face=sizes[2], large=wanted.large)
    held = hold(files)
    proof = judge(held, files.job)
    check_unchanged(files)
    kept = keep_proof(files, proof, Asked(*sizes)).name if wanted.keep else ""
    return answer(proof).model_dump(mode="json"), kept


def _of_answer(path: Path, found: Mapping[str, Any], **known: Any) -> Row:
    weighty = [f for f in found["findings"] if f["severity"] != "note"]
    return Row(
        str(path),
        str(found["verdict"]),
        int(found["exit_status"]),
        str(found["headline"]),
        dict(Counter(str(f["code"]) for f in weighty)),
        **known,
    )


def _last_answer(path: Path) -> tuple[Path, dict[str, Any]] | None:
    """The last kept answer of the job's folder; None where none is kept, where it is another job's
    or cannot be read."""
    folder, name = _place(path)
    try:
        kept = last_kept(folder)
        old = json.loads(read_limited(kept))
        _of_answer(path, old)  # says whether it has what a row takes
        return (kept, old) if name in old["files"] else None
    except (StandclearError, ValueError, KeyError, TypeError):
        return None


def _holds_still(path: Path, kept: Path, old: Mapping[str, Any]) -> bool:
    """Whether the kept answer was proved of the job as it stands, with this tool, and every file
    that was read for it still has the bytes it had."""
    folder, name = _place(path)
    hashes = dict(old["files"])
    if hashes.pop(TOOL, "") != _tool():
        return False
    try:
        asked = json.loads(read_limited(kept.with_suffix("") / ASKED))
        if PurePosixPath(asked["job"]).name != name or any(
            asked[key] for key in ("bar", "length", "face", "material", "grips", "jaws")
        ):
            return False
        return all(
            hashlib.sha256(read_limited(folder / file, large=True)).hexdigest() == digest
            for file, digest in hashes.items()
        )
    except (StandclearError, ValueError, KeyError, TypeError, AttributeError):
        return False


def _place(path: Path) -> tuple[Path, str]:
    """Folder and file name of a job."""
    return (path, JOB_FILE) if path.is_dir() else (path.parent, path.name)


@cache
def _tool() -> str:
    return tool_hash()
