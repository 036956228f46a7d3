"""One end of the answer to a finger: its picture, its gaps, and where the stepping stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from standclear.drawing.section.focus import hits
from standclear.drawing.section.readings import readings_of
from standclear.drawing.shapes import Box
from standclear.findings.finding import Finding, Severity, Verdict
from standclear.page.bench import OpenJob
from standclear.page.form_words import behaviour_words
from standclear.page.handles import handles
from standclear.page.moments import moment_of
from standclear.page.picture import HEIGHT, Moment, frame_of, grips_of, picture
from standclear.page.stepping import beside, shown_rows
from standclear.proof.result import Approach, SetupProof
from standclear.proof.tool_place import corner_gap
from standclear.report.sizes import MM_PER_INCH
from standclear.report.words import SEVERITY_WORD, distance_to_go, gap_words, position_words

STRIKES, NOTHING_SEEN = f"{Verdict.CONTACT} (quick look)", "no strike found (quick look)"
"""Of a glance: its strike is the proof's own verdict, and it does not say `clear`."""
MOST_WAYS = 5000
"""Motions of a set-up whose ways are drawn: of more nothing could be told apart."""
IN_METAL = "no gap: the tool is in the metal there"
NEAREST = 4
"""Gaps of a set-up that the page lists."""
SEVERAL = (
    ". The control's behaviour leaves a cycle several readings: drawn is the one that strikes, "
    "else the first; step into the cycle to see another"
)


def end_data(
    job: OpenJob,
    setup: SetupProof,
    index: int,
    motion: int,
    found: Sequence[Finding] | None,
) -> dict[str, Any]:
    """Set-up number `index` as it is shown with the tool in `motion`, -1 being the whole run.
    `found` are the findings as they are listed; None after a glance."""
    held, proof = job.ready[1:]
    window, units = _windows(job)[index], proof.units
    own = [f for f in found or () if f.setup == setup.name and is_open(f)]
    drawn = found is not None and len(setup.trace.motions) <= MOST_WAYS
    struck = motions_that_strike(setup)
    at = moment_of(held, setup, index, motion)
    grips = grips_of(setup, index, window, {handle.key for handle in handles(held.files.job)})
    svg = picture(
        setup,
        own,
        window,
        units,
        f"end-{index}",
        moment=at,
        with_ways=drawn,
        struck=struck,
        grips=grips,
    )
    unit = MM_PER_INCH if units == "inch" else 1.0
    return {
        "name": setup.name,
        "verdict": str(setup.verdict),
        "word": word_of(setup.verdict, own),
        "state": state_of(setup.verdict, own),
        **(_after_a_glance(setup) if found is None else {}),
        "program": setup.program.name,
        "gaps": _gaps(setup, units),
        "motions": len(shown_rows(setup.trace.motions, -1, struck)),
        **_at(setup, at, struck),
        "svg": svg,
        "marks": _marks(setup, found) if found is not None else [],
        "grips": [
            {
                "key": grip.key,
                "axis": grip.axis,
                "x": round(grip.at[0], 3),
                "y": round(HEIGHT - grip.at[1], 3),
                "per": grip.per / unit,
            }
            for grip in grips
        ],
    }


def word_of(verdict: Verdict, still_open: Sequence[Finding]) -> str:
    """A verdict in large letters, with the gravest of the findings that it leaves open."""
    if state_of(verdict, still_open) != "mend":
        return str(verdict)
    return f"{verdict}, but {SEVERITY_WORD[max(f.severity for f in still_open)]}"


def state_of(verdict: Verdict, still_open: Sequence[Finding]) -> str:
    """The verdict, and `mend` where it is clear and leaves findings open."""
    return "mend" if verdict is Verdict.CLEAR and still_open else str(verdict)


def is_open(finding: Finding) -> bool:
    """Whether it still asks for something: above `note` and not allowed by the job."""
    return finding.severity > Severity.NOTE and not finding.allowed_because


def motions_that_strike(setup: SetupProof) -> list[int]:
    """A motion of each block that strikes, in order."""
    return [hit.motion for hit in hits(setup)]


def _after_a_glance(setup: SetupProof) -> dict[str, str]:
    if setup.verdict is Verdict.CONTACT:
        return {"word": STRIKES, "state": str(Verdict.CONTACT)}
    return {"word": NOTHING_SEEN, "state": "open"}


def _marks(setup: SetupProof, found: Sequence[Finding]) -> list[dict[str, int]]:
    """Of each numbered strike in the picture which finding of the list tells of its block, from 0;
    those that have one."""
    blocks = setup.trace.motions.block

    def block_of(motion: int) -> int:
        return int(blocks[motion]) if 0 <= motion < len(blocks) else -1

    marks = []
    for hit in hits(setup):
        own = [
            number
            for number, finding in enumerate(found)
            if finding.setup == setup.name
            and finding.motion >= 0
            and block_of(finding.motion) == block_of(hit.motion)
        ]
        if own:
            marks.append({"number": hit.number, "finding": own[0]})
    return marks


def _windows(job: OpenJob) -> tuple[Box, ...]:
    """The frame of each picture, the same for as long as no file changes."""
    if "windows" not in job.memo:
        files, _, proof = job.ready
        unit = MM_PER_INCH if proof.units == "inch" else 1.0
        most = next(handle.most for handle in handles(files.job) if handle.key == "bar") * unit
        # Room for a good deal more than the blank has now, not for all the travel there is.
        across = min(most, files.job.blank.size * 1.2) / 2
        job.memo["windows"] = frame_of(
            proof.setups, across, max(8.0, 0.12 * files.job.blank.length)
        )
    found: tuple[Box, ...] = job.memo["windows"]
    return found


def _at(setup: SetupProof, moment: Moment | None, struck: Sequence[int]) -> dict[str, Any]:
    """Where the stepping stands: the block in words, the motions of the blocks beside it, and
    which reading of its cycle that is."""
    motions = setup.trace.motions
    rows = shown_rows(motions, -1 if moment is None else moment.motion, struck)
    if moment is None:
        several = SEVERAL if len(rows) < len(motions) else ""
        return {
            "at": f"{len(rows)} motions; step, or touch a way in the picture{several}",
            "line": None,
            "next": None,
            "previous": None,
            "readings": 1,
        }
    now = int(motions.block[moment.motion])
    written = setup.program.blocks[now] if 0 <= now < len(setup.program.blocks) else None
    where = f"motion {int(np.searchsorted(rows, moment.motion)) + 1} of {len(rows)}"
    if written is not None:
        place = f"{written.file} line {written.line}" if written.file else f"line {written.line}"
        where = f"{place}: {written.shown} ({where})"
    readings = readings_of(motions, moment.motion)
    if readings > 1:
        where += f". Reading {motions.variant[moment.motion] + 1} of {readings} of this cycle"
        call = next(c for c in setup.trace.calls if c.number == motions.call[moment.motion])
        meant = behaviour_words(call.readings[int(motions.variant[moment.motion])])
        where += "".join(f". {words}" for words in meant)
    before, after = beside(motions, moment.motion, struck)
    return {
        "at": where,
        "line": written.line if written is not None and not written.file else None,
        "next": after,
        "previous": before,
        "readings": readings,
    }


def _gaps(setup: SetupProof, units: str) -> list[dict[str, Any]]:
    """The nearest places, in the order of the run."""
    nearest = sorted(setup.approaches, key=lambda a: a.gap)[:NEAREST]
    return [_gap(setup, near, units) for near in sorted(nearest, key=lambda a: a.motion)]


def _gap(setup: SetupProof, near: Approach, units: str) -> dict[str, Any]:
    return {
        "motion": near.motion,
        "line": near.place.line if not near.place.elsewhere else None,
        "block": near.place.words,
        "against": near.against,
        "words": gap_words(near, units, corner_gap(setup, near)) if near.gap > 0 else IN_METAL,
        "stands": position_words(near.position, units),
        "to_go": distance_to_go(setup, near.motion, units),
    }
