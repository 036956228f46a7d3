"""The search for the least changes that free a job, one finding after the other.

The first finding of the program is mended first, for what is struck there stays and makes others
of what comes after. A change counts only if the whole job, proved anew with it, is free up to a
later block, cuts what it cut, and shows no other stop. What turns out needless is taken back.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import chain

from standclear.findings.finding import Finding
from standclear.job.models import Job
from standclear.motions.table import Trace
from standclear.plan.amend.changes import Choice, NewBlocks, NewWord
from standclear.plan.amend.codes import FROM_ELSEWHERE, MENDABLE, NOT_FOLLOWED, SUNK
from standclear.plan.amend.places import choices
from standclear.plan.amend.retreats import retreats
from standclear.plan.amend.trial import (
    BLOCKS,
    Made,
    Spot,
    Trial,
    is_open,
    open_spots,
    proved,
    size,
    spot_of,
    stop_findings,
    stops_elsewhere,
)
from standclear.proof.approach import Air
from standclear.proof.held import Held, HeldReading
from standclear.proof.judge_setup import air_owed

MOST_MOTIONS = 200_000
"""Motions proved in one search. A small job has some hundreds; a dozen proofs mend most jobs."""
A_PROOF = 5_000
"""What a proof costs however short the program is, in motions: fewer than 40 proofs are made."""
SPARE_MM = 0.001
"""Asked for on top where the margin alone does not do: it may lie a rounding short."""
MOST_TRIED = 160
"""Changes whose traces were made, most of which bend a cut and are never proved."""


@dataclass
class Search:
    """The job in hand and what has been spent on it."""

    base: Trial
    job: Job
    adds_blocks: bool = False
    """Whether blocks may be put in, where no change of words frees a rapid."""
    bends: bool = False
    """Whether a cut may run another way, so long as the same section comes out."""
    blocks_first: bool = False
    """Whether a rapid is led out before the words that place it are moved."""
    spent: int = 0
    sunk: frozenset[Spot] = frozenset()
    """Blocks whose feeds were seen to begin inside metal, where cuts may run another way."""
    stuck: dict[Spot, str] = field(default_factory=dict)
    """Findings that no change mends, with the sentence that says so."""
    tried: dict[frozenset[tuple[object, ...]], Trial | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.tried[frozenset()] = self.base

    @property
    def codes(self) -> frozenset[str]:
        """Findings that are looked into."""
        return FROM_ELSEWHERE if self.bends else MENDABLE

    @property
    def given_up(self) -> bool:
        """True where so much was tried that nothing more is."""
        next_proof = A_PROOF + size(self.base.held)
        return self.spent + next_proof > MOST_MOTIONS or len(self.tried) > MOST_TRIED

    def try_words(self, words: Made) -> Trial | None:
        """The job with `words` in place; None where that bends a cut or too much was tried."""
        made = frozenset(
            (key, new.texts if isinstance(new, NewBlocks) else new.text)
            for key, (_, new) in words.items()
        )
        if made not in self.tried:
            trial = (
                None
                if self.given_up
                else proved(self.base.held, self.job, words, bends=self.bends, sunk=self.sunk)
            )
            if trial is not None:
                self.spent += A_PROOF + size(self.base.held)
            self.tried[made] = trial
        return self.tried[made]


def forward(search: Search) -> Trial:
    """Mends finding after finding, in the order of the program, as far as it goes.

    Where a cut may run another way nothing is offered but what leaves nothing open: there the
    first finding that no change mends ends the search.
    """
    now = search.base
    while True:
        left = open_spots(now, search.job, search.codes)
        if search.bends:
            search.sunk |= {spot for spot, code in left if code == SUNK}
        spots = sorted({spot for spot, _ in left} - set(search.stuck))
        if not spots:
            return now
        tried, step = False, None
        for choice in _choices_at(search, now, spots[0]):
            tried = True
            better = _tried(search, now, spots[0], choice)
            if better is None:
                continue
            step = step or better
            # A step that leaves more open than before is taken where there is no other.
            if len(open_spots(better, search.job, search.codes)) < len(left):
                step = better
                break
        if step is not None:
            now = step
        else:
            search.stuck[spots[0]] = _why_stuck(search, spots[0], tried)
            if search.bends:
                return now


def _tried(search: Search, now: Trial, spot: Spot, choice: Choice) -> Trial | None:
    """The job with `choice` made too, if that frees it up to a block after `spot`."""
    setup = search.job.setup[spot[0]]
    words = dict(now.words)
    for new in choice:
        if now.is_added(setup.program, new.block):
            return None
        block = now.as_it_stands(setup.program, new.block)
        word = BLOCKS if isinstance(new, NewBlocks) else new.word
        words[setup.program, block, word] = (setup.name, new)
    trial = search.try_words(words)
    if trial is None:
        return None
    still = {s for s, _ in open_spots(trial, search.job, search.codes)}
    come = stops_elsewhere(trial, search.job, search.codes) - stops_elsewhere(
        now, search.job, search.codes
    )
    # What a block does that is still to be mended, and that an earlier strike hid, goes with it.
    if any(where not in still for where, _ in come):
        return None
    return trial if all(s > spot for s in still - set(search.stuck)) else None


def _choices_at(search: Search, now: Trial, spot: Spot) -> tuple[Choice, ...]:
    index = spot[0]
    setup = search.job.setup[index]
    words: dict[tuple[object, ...], tuple[NewWord, ...]] = {}
    blocks: dict[tuple[object, ...], Choice] = {}
    for finding in now.proof.findings:
        if spot_of(now, finding, search.job) != spot or not is_open(finding, search.codes):
            continue
        reading = _reading_of(now.held, index, finding)
        if reading is None:
            continue
        air = air_owed(search.job, setup)
        proof = now.proof.setups[index]
        for wanted in (air, Air(air.across + SPARE_MM, air.along + SPARE_MM)):
            for choice in choices(finding, reading, proof, wanted, search.job):
                words.setdefault(tuple((w.block, w.word, w.text) for w in choice), choice)
        if search.adds_blocks:
            for new in retreats(finding, reading, proof, air, search.job):
                blocks.setdefault((new.block, new.texts), (new,))
    # Fewest words first; of the same words the numbers that move least.
    groups: dict[tuple[tuple[int, int], ...], list[tuple[NewWord, ...]]] = {}
    for choice in sorted(words.values(), key=len):
        groups.setdefault(tuple((w.block, w.word) for w in choice), []).append(choice)
    nearest_first = (sorted(g, key=lambda c: sum(w.mm for w in c)) for g in groups.values())
    moved = tuple(chain.from_iterable(nearest_first))
    led_out = tuple(blocks.values())
    return (*led_out, *moved) if search.blocks_first else (*moved, *led_out)


def _reading_of(held: Held, index: int, finding: Finding) -> HeldReading | None:
    """The reading of the program that a finding belongs to: its motion is a motion of that."""
    assert finding.place is not None
    for reading in held.readings[index]:
        trace = reading.trace
        fits = not finding.tags or set(trace.reading) <= set(finding.tags)
        if fits and (_moves_there(trace, finding) or _not_followed_there(trace, finding)):
            return reading
    return None


def _moves_there(trace: Trace, finding: Finding) -> bool:
    """Whether the finding's motion is one of the trace."""
    assert finding.place is not None
    motions, motion = trace.motions, finding.motion
    return 0 <= motion < len(motions) and motions.block[motion] == finding.place.block


def _not_followed_there(trace: Trace, finding: Finding) -> bool:
    """Whether the trace could not go on at the finding's place."""
    mine = finding.code, finding.place, finding.motion
    return (
        finding.code == NOT_FOLLOWED
        and finding.motion >= 0
        and any((f.code, f.place, f.motion) == mine for f in trace.findings)
    )


def without_needless(search: Search, found: Trial) -> Trial:
    """Takes back every change without which the job answers no worse."""
    for key in sorted(found.words, reverse=True):
        fewer = {k: w for k, w in found.words.items() if k != key}
        trial = search.try_words(fewer)
        if (
            trial is not None
            and open_spots(trial, search.job, search.codes)
            <= open_spots(found, search.job, search.codes)
            and stops_elsewhere(trial, search.job, search.codes)
            <= stops_elsewhere(found, search.job, search.codes)
        ):
            found = trial
    return found


def new_stops(search: Search, found: Trial) -> bool:
    """True where the changed job shows a stop that the job as it stands does not."""
    job = search.job
    return not stop_findings(found, job) <= stop_findings(search.base, job)


def is_better(search: Search, found: Trial) -> bool:
    """True where the changes mend something and bring no stop."""
    if not found.words or new_stops(search, found):
        return False
    before, left = (
        open_spots(search.base, search.job, search.codes),
        open_spots(found, search.job, search.codes),
    )
    return left < before or len(left) < len(before)


def _why_stuck(search: Search, spot: Spot, tried: bool) -> str:
    setup = search.job.setup[spot[0]]
    block = search.base.held.programs[setup.program].blocks[spot[1]]
    where = f"set-up {setup.name}, {block.file and block.file + ' '}line {block.line}: "
    if search.given_up:
        return where + "so many changes were tried before that none was tried here"
    if tried and search.adds_blocks:
        return where + (
            "neither other words nor a block put in front is proved to mend this; "
            "change the motion itself"
        )
    if tried:
        return where + (
            "no change of the words that place the tool is proved to mend this; "
            "lead the rapid by way of another point"
        )
    return where + (
        "no X or Z word of a rapid could be moved out of the metal here; change the motion itself"
    )
