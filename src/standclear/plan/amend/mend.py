"""The words to change: clearance points moved out of the metal, one finding after the other.

The first finding of the program is mended first, for what is struck there stays and makes others
of what comes after. A change counts only if the whole job, proved anew with it, is free up to a
later block, cuts what it cut, and shows no other stop. What turns out needless is taken back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from standclear.findings.finding import Finding, Severity
from standclear.job.models import Job
from standclear.plan.amend.edit import edited
from standclear.plan.amend.places import Choice, NewWord, choices
from standclear.plan.amend.same_cuts import cuts_outside_only, same_cuts
from standclear.proof.held import Held, HeldReading, hold
from standclear.proof.judge_setup import air_owed
from standclear.proof.prove import judge
from standclear.proof.result import Changed, JobProof, WordChange

MENDABLE = frozenset(
    {
        "rapid-into-metal",
        "start-inside-metal",
        "start-too-near",
        "approach-too-near",
        "tool-appears-in-metal",
    }
)
"""Findings that a clearance point may be to blame for."""
WRONG_OFFSET = "wrong-work-offset"
"""Where another zero is in force, clearance points are not to blame: nothing is moved there."""
MOST_MOTIONS = 200_000
"""Motions proved in one search. A small job has some hundreds; a dozen proofs mend most jobs."""
A_PROOF = 5_000
"""What a proof costs however short the program is, in motions: at most 40 proofs are made."""

Key = tuple[str, int, int]
"""(program, index of the block, index of the word)."""
Spot = tuple[int, int]
"""(index of the set-up, index of the block)."""


@dataclass(frozen=True)
class _Trial:
    """A job with some words changed, held and judged."""

    words: Mapping[Key, tuple[str, NewWord]]
    """With the name of the set-up whose finding each was changed for."""
    held: Held
    proof: JobProof


@dataclass
class _Search:
    """The job in hand and what has been spent on it."""

    base: _Trial
    job: Job
    spent: int = 0
    stuck: dict[Spot, str] = field(default_factory=dict)
    """Findings that no change mends, with the sentence that says so."""
    tried: dict[frozenset[tuple[Key, str]], _Trial | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.tried[frozenset()] = self.base

    def try_words(self, words: Mapping[Key, tuple[str, NewWord]]) -> _Trial | None:
        """The job with `words` in place; None where that bends a cut or too much was tried."""
        made = frozenset((key, new.text) for key, (_, new) in words.items())
        if made not in self.tried:
            self.spent += A_PROOF + _size(self.base.held)
            self.tried[made] = None if self.spent > MOST_MOTIONS else self._proved(words)
        return self.tried[made]

    def _proved(self, words: Mapping[Key, tuple[str, NewWord]]) -> _Trial | None:
        files = self.base.held.files
        programs = dict(files.programs)
        for name in {key[0] for key in words}:
            edits = {key[1:]: new.text for key, (_, new) in words.items() if key[0] == name}
            programs[name] = edited(self.base.held.programs[name], edits)
        held = hold(replace(files, job=self.job, programs=programs))
        if not _cuts_alike(self.base.held, held):
            return None
        proof = judge(held, self.job)
        for old, new, setup in zip(
            self.base.held.readings, held.readings, proof.setups, strict=True
        ):
            metal = setup.metal_before
            if not all(cuts_outside_only(a, b, metal) for a, b in zip(old, new, strict=True)):
                return None
        return _Trial(words, held, proof)


def words_to_change(held: Held, job: Job, proof: JobProof) -> tuple[WordChange, ...]:
    """The words of clearance points to change so that `proof`, which `held` gave of `job`, has
    none of their findings any more; the fewest found. Empty where nothing safe is found.

    Every change has been proved, together with the others, on the whole job.
    """
    return mend(held, job, proof).changes


def mend(held: Held, job: Job, proof: JobProof) -> JobProof:
    """`proof` with the words to change, the answer they lead to, and what they do not mend.

    `held` and `job` are what `proof` was judged from. Nothing is written; programs are changed in
    memory only. A job with guesses in it gets none: its words may be right.
    """
    if job.guesses or not _open(proof, job):
        return proof
    search = _Search(_Trial({}, held, proof), job)
    found = _without_needless(search, _forward(search))
    if found.words and not _new_stops(search, found):
        before = _open(proof, job)
        left = _open(found.proof, job)
        if left < before or len(left) < len(before):
            return replace(
                proof,
                changes=_changes(search, found),
                changed=Changed(found.proof.verdict, _weighty(found.proof)),
                not_mended=tuple(search.stuck.values()),
            )
    return replace(proof, not_mended=tuple(search.stuck.values()))


def _forward(search: _Search) -> _Trial:
    """Mends finding after finding, in the order of the program, as far as it goes."""
    now = search.base
    while True:
        spots = sorted({spot for spot, _ in _open(now.proof, search.job)} - set(search.stuck))
        if not spots:
            return now
        tried = False
        for choice in _choices_at(search, now, spots[0]):
            tried = True
            better = _tried(search, now, spots[0], choice)
            if better is not None:
                now = better
                break
        else:
            search.stuck[spots[0]] = _why_stuck(search, now, spots[0], tried)


def _tried(search: _Search, now: _Trial, spot: Spot, choice: Choice) -> _Trial | None:
    """The job with `choice` made too, if that frees it up to a block after `spot`."""
    setup = search.job.setup[spot[0]]
    words = dict(now.words)
    for new in choice:
        words[setup.program, new.block, new.word] = (setup.name, new)
    trial = search.try_words(words)
    if trial is None or not _stops(trial.proof, search.job) <= _stops(now.proof, search.job):
        return None
    left = {s for s, _ in _open(trial.proof, search.job)} - set(search.stuck)
    return trial if all(s > spot for s in left) else None


def _choices_at(search: _Search, now: _Trial, spot: Spot) -> tuple[Choice, ...]:
    index = spot[0]
    setup = search.job.setup[index]
    found: dict[tuple[tuple[int, int, str], ...], Choice] = {}
    for finding in now.proof.findings:
        if _spot_of(finding, search.job) != spot or not _is_open(finding):
            continue
        reading = _reading_of(now.held, index, finding)
        if reading is None:
            continue
        air = air_owed(search.job, setup)
        for choice in choices(finding, reading, now.proof.setups[index], air, search.job):
            found.setdefault(tuple((w.block, w.word, w.text) for w in choice), choice)
    return tuple(sorted(found.values(), key=len))


def _reading_of(held: Held, index: int, finding: Finding) -> HeldReading | None:
    """The reading of the program that a finding belongs to: its motion is a motion of that."""
    assert finding.place is not None
    for reading in held.readings[index]:
        trace = reading.trace
        fits = not finding.tags or set(trace.reading) <= set(finding.tags)
        if (
            fits
            and 0 <= finding.motion < len(trace.motions)
            and trace.motions.block[finding.motion] == finding.place.block
        ):
            return reading
    return None


def _without_needless(search: _Search, found: _Trial) -> _Trial:
    """Takes back every change without which the job answers no worse."""
    for key in sorted(found.words, reverse=True):
        fewer = {k: w for k, w in found.words.items() if k != key}
        trial = search.try_words(fewer)
        if (
            trial is not None
            and _open(trial.proof, search.job) <= _open(found.proof, search.job)
            and _stops(trial.proof, search.job) <= _stops(found.proof, search.job)
        ):
            found = trial
    return found


def _new_stops(search: _Search, found: _Trial) -> bool:
    """True where the changed job shows a stop that the job as it stands does not."""
    job = search.job
    return not _stop_findings(found.proof, job) <= _stop_findings(search.base.proof, job)


def _stop_findings(proof: JobProof, job: Job) -> set[tuple[Spot | str, str]]:
    return {
        (_spot_of(f, job) or f.setup, f.code)
        for f in proof.findings
        if f.severity is Severity.STOP or f.unproven
    }


def _stops(proof: JobProof, job: Job) -> set[tuple[Spot | str, str]]:
    """Stops, and what makes the job unproven, that no clearance point is to blame for."""
    return {each for each in _stop_findings(proof, job) if each[1] not in MENDABLE}


def _is_open(finding: Finding) -> bool:
    return (
        finding.code in MENDABLE
        and finding.severity > Severity.NOTE
        and not finding.allowed_because
        and finding.place is not None
    )


def _open(proof: JobProof, job: Job) -> set[tuple[Spot, str]]:
    """Where clearance points may be to blame, and for what."""
    elsewhere = {f.setup for f in proof.findings if f.code == WRONG_OFFSET}
    spots = (
        (_spot_of(f, job), f.code)
        for f in proof.findings
        if _is_open(f) and f.setup not in elsewhere
    )
    return {(spot, code) for spot, code in spots if spot is not None}


def _spot_of(finding: Finding, job: Job) -> Spot | None:
    if finding.place is None:
        return None
    for index, setup in enumerate(job.setup):
        if setup.name == finding.setup:
            return index, finding.place.block
    return None


def _weighty(proof: JobProof) -> tuple[Finding, ...]:
    return tuple(f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because)


def _cuts_alike(old: Held, new: Held) -> bool:
    return all(
        len(a) == len(b) and all(same_cuts(x.trace, y.trace) for x, y in zip(a, b, strict=True))
        for a, b in zip(old.readings, new.readings, strict=True)
    )


def _size(held: Held) -> int:
    return sum(len(r.trace.motions) for readings in held.readings for r in readings)


def _why_stuck(search: _Search, now: _Trial, spot: Spot, tried: bool) -> str:
    setup = search.job.setup[spot[0]]
    block = now.held.programs[setup.program].blocks[spot[1]]
    where = f"set-up {setup.name}, {block.file and block.file + ' '}line {block.line}: "
    if search.spent > MOST_MOTIONS:
        return where + "so many changes were tried before that none was tried here"
    if tried:
        return where + (
            "no change of the words that place the tool is proved to mend this; "
            "lead the rapid by way of another point"
        )
    return where + (
        "no X or Z word of a rapid could be moved out of the metal here; change the motion itself"
    )


def _changes(search: _Search, found: _Trial) -> tuple[WordChange, ...]:
    order = {setup.name: k for k, setup in enumerate(search.job.setup)}
    changes = []
    for (name, block, number), (setup, new) in sorted(
        found.words.items(), key=lambda each: (order[each[1][0]], each[0])
    ):
        word = search.base.held.programs[name].blocks[block].words[number]
        changes.append(
            WordChange(
                setup, name, word.line, word.column, word.text, new.text, new.reason, new.measures
            )
        )
    return tuple(changes)
