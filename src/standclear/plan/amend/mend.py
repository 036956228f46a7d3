"""The words to change that go with a proof: clearance points moved out of the metal."""

from __future__ import annotations

from dataclasses import replace

from standclear.job.models import Job
from standclear.plan.amend.changes import NewWord
from standclear.plan.amend.search import Search, forward, is_better, without_needless
from standclear.plan.amend.trial import Trial, open_spots, weighty
from standclear.proof.held import Held
from standclear.proof.result import Changed, JobProof, WordChange


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
    base = Trial({}, held, proof)
    if job.guesses or not open_spots(base, job):
        return proof
    search = Search(base, job)
    found = without_needless(search, forward(search))
    stuck = tuple(search.stuck.values())
    if not is_better(search, found):
        return replace(proof, not_mended=stuck)
    return replace(
        proof,
        changes=_changes(search, found),
        changed=Changed(found.proof.verdict, weighty(found.proof)),
        not_mended=stuck,
    )


def _changes(search: Search, found: Trial) -> tuple[WordChange, ...]:
    order = {setup.name: k for k, setup in enumerate(search.job.setup)}
    changes = []
    for (name, block, number), (setup, new) in sorted(
        found.words.items(), key=lambda each: (order[each[1][0]], each[0])
    ):
        assert isinstance(new, NewWord)
        word = search.base.held.programs[name].blocks[block].words[number]
        changes.append(
            WordChange(
                setup, name, word.line, word.column, word.text, new.text, new.reason, new.measures
            )
        )
    return tuple(changes)
