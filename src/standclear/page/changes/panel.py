"""The panel of changes: what to edit, each piece taken or left, proved, written to a new file, and
the job put onto it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path, PurePosixPath
from typing import Any

from standclear.job.models import Job
from standclear.page.answers import Refused
from standclear.page.changes.searching import amendment_for, stop_search
from standclear.page.changes.switching import switched
from standclear.page.lines import line_data
from standclear.page.panels import on_bench
from standclear.page.working import Sent, moved, sent
from standclear.plan.amend.amend import Amendment
from standclear.plan.amend.pieces import with_pieces
from standclear.proof.held import hold
from standclear.proof.prove import judge
from standclear.report.plan.amending import amendment_lines
from standclear.report.sizes import fill
from standclear.report.words import exit_status, headline

MOST_NAMES = 100
"""Numbers tried for the name of a new file."""


def changes(asked: Sent) -> dict[str, Any]:
    """The edits for the blank as dragged, and what they do together."""
    found = _amendment(asked)
    units = asked.job.ready[0].job.units
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


def stopped(asked: Sent) -> dict[str, Any]:
    """A search that is under way, ended."""
    return {"stopped": stop_search(asked.job, asked.values)}


def proved(asked: Sent) -> dict[str, Any]:
    """The answer with some of the edits made."""
    files, held, _ = asked.job.ready
    found, programs = _programs(asked)
    now = hold(replace(files, programs={**files.programs, **programs}), held)
    proof = judge(now, _job_then(asked, found))
    return {
        "verdict": str(proof.verdict),
        "clean": exit_status(proof) == 0,
        "headline": headline(proof),
        "programs": sorted(programs),
    }


def written(asked: Sent) -> dict[str, Any]:
    """Those edits in new files beside the programs; nothing is written over."""
    _, programs = _programs(asked)
    if not programs:
        raise Refused(422, "No piece is taken: there is nothing to write.")
    told = proved(asked)
    names = {}
    for name, data in programs.items():
        path = PurePosixPath(name)
        folder = asked.job.place.folder / path.parent
        names[name] = str(path.with_name(asked.store.add(folder, _free(folder, path), data).name))
    return {"written": [PurePosixPath(name).name for name in names.values()], "use": names, **told}


def taken_over(asked: Sent) -> dict[str, Any]:
    """The job file with the amended programs in place of its own, `use`, and with the zero that
    goes with them; what it was before is kept."""
    found, _ = _programs(asked)
    return switched(asked, _job_then(asked, found))


def _amendment(asked: Sent) -> Amendment:
    moved(asked.job, asked.values)  # a value that lies outside its travel is refused here
    return amendment_for(asked.job, asked.values)


def _pieces(asked: Sent) -> tuple[int, ...] | None:
    """Numbers of the edits that are taken; None: all."""
    given = asked.body.get("pieces")
    try:
        return None if given is None else tuple(int(each) for each in given)
    except (TypeError, ValueError, OverflowError) as error:
        raise Refused(400, f"What was sent names no pieces: {error}") from error


def _job_then(asked: Sent, found: Amendment) -> Job:
    """The job as it is to be run: with the offset keyed in where all of the edits are made."""
    pieces = _pieces(asked)
    whole = pieces is None or len(pieces) == len(found.edits)
    if found.offset is not None and whole:
        return found.offset.job
    return moved(asked.job, asked.values)[0]


def _programs(asked: Sent) -> tuple[Amendment, dict[str, bytes]]:
    """The amendment, and the programs that change with the pieces taken."""
    pieces, found = _pieces(asked), _amendment(asked)
    every = tuple(range(len(found.edits)))
    taken = every if pieces is None else pieces
    if taken == every:
        return found, dict(found.programs)
    if found.moved is not None:
        raise Refused(422, "Lines change places here: take all of it or nothing.")
    if any(not 0 <= number < len(every) for number in taken):
        raise Refused(400, f"There are {len(every)} pieces.")
    own: dict[str, list[int]] = {}
    for number in taken:
        own.setdefault(found.edits[number].program, []).append(number)
    programs = asked.job.ready[0].programs
    return found, {
        name: with_pieces(programs[name], [found.edits[n] for n in numbers])
        for name, numbers in own.items()
    }


def _free(folder: Path, path: PurePosixPath) -> str:
    """A name for the amended program that nothing has yet."""
    for number in range(1, MOST_NAMES):
        mark = "amended" if number == 1 else f"amended-{number}"
        name = f"{path.stem}.{mark}{path.suffix}"
        if not (folder / name).exists():
            return name
    raise Refused(422, f"{MOST_NAMES} amended files lie beside {path.name}: clear them away first.")


PANEL = on_bench(
    __file__,
    "What to change",
    sent("changes/look", changes),
    sent("changes/stop/look", stopped),
    sent("changes/proved/look", proved),
    sent("changes/write", written),
    sent("changes/use", taken_over),
)
