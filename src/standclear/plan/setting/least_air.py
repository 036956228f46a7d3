"""Clearance points moved to where they waste the least air, written as words and proved again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from standclear.blocks.program import Word
from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.models import Job
from standclear.plan.amend.edit import edited
from standclear.plan.amend.words import R, Site, Z, site_before
from standclear.plan.setting.clearance import ClearancePoint
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

PLACES = {"mm": 3, "inch": 4}
"""Decimals of a word in the plan: a thousandth of a millimetre, a tenth of a thousandth of an
inch."""

GRID_MM = 1e-6
"""What coordinates of areas are off by on their grid, with room to spare."""


@dataclass(frozen=True)
class PointWord:
    """A word that places the tool, and what it says where the point wastes the least air."""

    setup: str
    program: str
    line: int
    column: int
    old: str
    new: str


@dataclass(frozen=True)
class LeastAir:
    """All clearance points at their least, proved together on the whole job."""

    words: tuple[PointWord, ...]
    proof: JobProof | None
    """None where there is no word to change."""
    worse: tuple[Finding, ...]
    """What the changed job asks for, above `note` and not allowed, that the job as it stands does
    not."""

    @property
    def proved(self) -> bool:
        """Clear with these words, and nothing more to mend than without."""
        clear = self.proof is not None and self.proof.verdict is Verdict.CLEAR
        return clear and not self.worse


def least_air(
    held: Held, job: Job, proof: JobProof, points: Sequence[Sequence[ClearancePoint]]
) -> LeastAir:
    """`points` by set-up, as `clearance_points` gives them of `proof`; nothing is written."""
    wanted: dict[tuple[str, int, int], tuple[str, Site, float]] = {}
    for k, own in enumerate(points):
        program, motions = proof.setups[k].program, proof.setups[k].trace.motions
        for point in own:
            for axis, at in ((Z, point.least[0]), (R, point.least[1])):
                site = site_before(program, motions, point.motion, axis, job)
                if site is None:
                    continue
                key = (job.setup[k].program, site.block, site.word)
                known = wanted.get(key)
                if known is None or known[2] < at:
                    wanted[key] = (point.setup, site, at)
    words: list[PointWord] = []
    edits: dict[str, dict[tuple[int, int], str]] = {}
    for (name, block, number), (setup, site, at) in sorted(wanted.items(), key=lambda e: e[0]):
        word = held.programs[name].blocks[block].words[number]
        new = _text(word, site, at, job.units)
        if new is not None:
            edits.setdefault(name, {})[block, number] = new
            words.append(PointWord(setup, name, word.line, word.column, word.text, new))
    if not words:
        return LeastAir((), None, ())
    programs = dict(held.files.programs)
    for name, own_edits in edits.items():
        programs[name] = edited(held.programs[name], own_edits)
    changed = judge(hold(replace(held.files, job=job, programs=programs)), job)
    return LeastAir(tuple(words), changed, _worse(proof, changed))


def _text(word: Word, site: Site, at: float, units: str) -> str | None:
    """The word that gives at least `at` mm, to the last place of the unit; None where it says so
    already."""
    if not word.has_point:
        return None
    unit = site.step.scaleb(len(word.value_text.partition(".")[2]))
    step = Decimal(1).scaleb(-PLACES[units])
    number = (Decimal(repr(round(at - site.shift - GRID_MM, 6))) / unit / step).to_integral_value(
        ROUND_CEILING
    )
    value = number * step
    if word.number is None or abs(value - word.number) < step:
        return None
    text = f"{value:f}".rstrip("0")
    return word.text[: len(word.text) - len(word.value_text)] + text


def _worse(before: JobProof, after: JobProof) -> tuple[Finding, ...]:
    known = {(f.setup, f.code, f.place and f.place.line) for f in before.findings}
    return tuple(
        f
        for f in after.findings
        if (f.severity > Severity.NOTE or f.unproven)
        and not f.allowed_because
        and (f.setup, f.code, f.place and f.place.line) not in known
    )
