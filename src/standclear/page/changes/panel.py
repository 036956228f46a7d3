"""The panel of changes: what to edit, each piece taken or left, proved, written to a new file."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.job.models import Job
from standclear.page.answers import Refused, bench_of, job_of, json_body, threaded
from standclear.page.bench import OpenJob
from standclear.page.handles import dragged
from standclear.page.measured.tables import line_data
from standclear.page.panels import Panel
from standclear.page.store import Store
from standclear.plan.amend.amend import Amendment, amend
from standclear.plan.amend.pieces import with_pieces
from standclear.proof.held import hold
from standclear.proof.prove import judge
from standclear.report.plan.amending import amendment_lines
from standclear.report.sizes import fill
from standclear.report.words import exit_status, headline

MOST_NAMES = 100
"""Numbers tried for the name of a new file."""


@dataclass(frozen=True)
class _Asked:
    values: dict[str, float]
    pieces: tuple[int, ...] | None
    """Numbers of the edits that are taken; None: all."""


async def changes(request: Request) -> Response:
    """The edits for the blank as dragged, and what they do together."""
    job, asked = await threaded(job_of, request), await _asked(request)
    return JSONResponse(await threaded(_changes, job, asked))


async def proved(request: Request) -> Response:
    """The answer with some of the edits made."""
    job, asked = await threaded(job_of, request), await _asked(request)
    return JSONResponse(await threaded(_proved, job, asked))


async def written(request: Request) -> Response:
    """Those edits in new files beside the programs; nothing is written over."""
    job, asked = await threaded(job_of, request), await _asked(request)
    return JSONResponse(await threaded(_written, bench_of(request).store, job, asked))


async def _asked(request: Request) -> _Asked:
    body = await json_body(request)
    values, pieces = body.get("values", {}), body.get("pieces")
    try:
        numbers = {str(key): float(value) for key, value in values.items()}
        taken = None if pieces is None else tuple(int(each) for each in pieces)
    except (AttributeError, TypeError, ValueError, OverflowError) as error:
        raise Refused(400, f"What was sent names no pieces: {error}") from error
    return _Asked(numbers, taken)


def _moved(job: OpenJob, asked: _Asked) -> Job:
    filed = job.ready[0].job
    return dragged(filed, asked.values) if asked.values else filed


def _amendment(job: OpenJob, asked: _Asked) -> Amendment:
    """Worked out once for each place of the handles."""
    _, held, proof = job.ready
    known = job.memo.setdefault("changes", {})
    key = tuple(sorted(asked.values.items()))
    if key not in known:
        moved = _moved(job, asked)
        known[key] = amend(held, moved, judge(held, moved) if asked.values else proof)
    found: Amendment = known[key]
    return found


def _changes(job: OpenJob, asked: _Asked) -> dict[str, Any]:
    found = _amendment(job, asked)
    units = job.ready[0].job.units
    # Edits that stand above as pieces are not said twice.
    pieces = bool(found.edits) and found.moved is None and found.offset is None
    lines = amendment_lines(replace(found, edits=()) if pieces else found, None, units)
    return {
        "before": str(found.before),
        "after": str(found.after),
        "edits": [
            {
                "program": edit.program,
                "line": edit.line,
                "setup": edit.setup,
                "word": bool(edit.old),
                "old": edit.old,
                "new": edit.new,
                "before": edit.before,
                "after": edit.after,
                "level": str(edit.level),
                "reason": fill(edit.reason, edit.measures, units),
            }
            for edit in found.edits
        ],
        # What is not a piece of text: an offset to key in, lines that change places, what is left.
        "whole_only": found.moved is not None,
        "keyed": found.offset is not None,
        "lines": line_data(lines),
    }


def _programs(job: OpenJob, asked: _Asked) -> tuple[Amendment, dict[str, bytes]]:
    """The amendment, and the programs that change with the pieces taken."""
    found = _amendment(job, asked)
    every = tuple(range(len(found.edits)))
    taken = every if asked.pieces is None else asked.pieces
    if taken == every:
        return found, dict(found.programs)
    if found.moved is not None:
        raise Refused(422, "Lines change places here: take all of it or nothing.")
    if any(not 0 <= number < len(every) for number in taken):
        raise Refused(400, f"There are {len(every)} pieces.")
    own: dict[str, list[int]] = {}
    for number in taken:
        own.setdefault(found.edits[number].program, []).append(number)
    programs = job.ready[0].programs
    return found, {
        name: with_pieces(programs[name], [found.edits[n] for n in numbers])
        for name, numbers in own.items()
    }


def _proved(job: OpenJob, asked: _Asked) -> dict[str, Any]:
    files, held, _ = job.ready
    found, programs = _programs(job, asked)
    now = hold(replace(files, programs={**files.programs, **programs}), held)
    whole = asked.pieces is None or len(asked.pieces) == len(found.edits)
    moved = found.offset.job if found.offset is not None and whole else _moved(job, asked)
    proof = judge(now, moved)
    return {
        "verdict": str(proof.verdict),
        "clean": exit_status(proof) == 0,
        "headline": headline(proof),
        "programs": sorted(programs),
    }


def _written(store: Store, job: OpenJob, asked: _Asked) -> dict[str, Any]:
    _, programs = _programs(job, asked)
    if not programs:
        raise Refused(422, "No piece is taken: there is nothing to write.")
    told = _proved(job, asked)
    names = {}
    for name, data in programs.items():
        path = PurePosixPath(name)
        folder = job.place.folder / path.parent
        names[name] = str(path.with_name(store.add(folder, _free(folder, path), data).name))
    using = {
        setup.name: names[setup.program]
        for setup in job.ready[0].job.setup
        if setup.program in names
    }
    return {"written": [PurePosixPath(name).name for name in names.values()], "use": using, **told}


def _free(folder: Path, path: PurePosixPath) -> str:
    """A name for the amended program that nothing has yet."""
    for number in range(1, MOST_NAMES):
        mark = "amended" if number == 1 else f"amended-{number}"
        name = f"{path.stem}.{mark}{path.suffix}"
        if not (folder / name).exists():
            return name
    raise Refused(422, f"{MOST_NAMES} amended files lie beside {path.name}: clear them away first.")


PANEL = Panel(
    key="changes",
    folder=Path(__file__).parent,
    title="What to change",
    template="changes/panel.html",
    scripts=("changes.js",),
    routes=(
        Route("/job/{job}/changes/look", changes, methods=["POST"]),
        Route("/job/{job}/changes/proved/look", proved, methods=["POST"]),
        Route("/job/{job}/changes/write", written, methods=["POST"]),
    ),
)
