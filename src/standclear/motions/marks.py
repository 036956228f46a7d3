"""A set-up's marks: where in the run of the program its rows begin and end."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.job.models import Job, Mark
from standclear.motions.coordinates.offsets import selected_offset
from standclear.motions.coordinates.places import (
    Standing,
    counted_from,
    follows_in_program,
    offset_name,
)
from standclear.motions.habits import check_turning_stop
from standclear.motions.labels import find_label
from standclear.motions.meaning.words import meaning_of
from standclear.motions.nose.pieces import ON
from standclear.motions.run import Run, cannot_follow
from standclear.motions.state import Loss
from standclear.motions.table import FAR
from standclear.motions.way.move import appear, here

REACHED = "reached"
"""The row that says whether a start at a label is run to or searched for."""


def is_searched(run: Run) -> bool:
    """True where the set-up starts by a search for its label: what stands before is not run."""
    mark = run.setup.start
    if mark is None or mark.label is None or not run.program.blocks:
        return False
    if not run.labels.near(_first(run), mark.label):
        return False
    return run.chooser.value(REACHED, mark.reached, ("running", "search")) == "search"


def searched_block(run: Run) -> int | None:
    """Index of the block that a search stops at; None where more than one carries the label, which
    is reported."""
    mark = run.setup.start
    assert mark is not None and mark.label is not None
    first = run.program.blocks[_first(run)]
    return find_label(run, first, mark.label, f"the start at N{mark.label}")


def _first(run: Run) -> int:
    """Index of a block of the main program: the first that says more than a name."""
    for block in run.program.blocks:
        if any(word.letter not in ("%", "O") for word in block.words) or block.statement:
            return block.index
    return 0


def names_block(run: Run, mark: Mark | None, block: Block, new_offsets: set[str]) -> bool:
    """True where a label or offset mark stands at this block: labels count in the main program."""
    if mark is None:
        return False
    if mark.label is not None:
        return block.label == mark.label and _in_main_program(run, block)
    return mark.offset is not None and offset_name(mark.offset) in new_offsets


def _in_main_program(run: Run, block: Block) -> bool:
    section, frames = run.labels.section, run.walk.frames
    return not frames or section[block.index] == section[frames[0].call]


def offset_words(run: Run, block: Block) -> set[str]:
    """The work offsets that the words of a block select."""
    by_letter = {word.letter: word for word in block.words}
    names = {
        selected_offset(meaning_of(word.number, run.control.cycle_words).act, word, by_letter)
        for word in block.words
        if word.letter == "G" and word.number is not None
    }
    return {name for name in names if name is not None}


def begin(
    run: Run,
    job: Job,
    setup_index: int,
    after: dict[str, float],
    block: Block,
    *,
    searched: bool = False,
) -> None:
    """The start mark: rows are made from here on, counted from this set-up's part zero."""
    state, own = run.state, offset_name(run.setup.offset)
    run.emitting = True
    if state.compensation != ON:
        cannot_follow(run, block, "nose compensation is on where the set-up begins")
    turned = run.setup.turned is not False and setup_index > 0
    if searched:
        run.trust("the program is searched with the turret at home, clear of everything")
    elif turned and follows_in_program(job, setup_index):
        check_turning_stop(run, block)
    standing = here(run)
    if standing.z not in (None, FAR) and follows_in_program(job, setup_index):
        state.standing = _through_turning(run, standing, own, after)
    if state.set_in_program and follows_in_program(job, setup_index):
        state.standing = Standing(None, None, state.offset)
        state.loss = Loss(
            "position-unknown",
            "the coordinates were set by the program in the clamping before this one",
            "set them anew where the set-up begins",
        )
    run.offset_values = {**after, **run.set_values}
    if state.standing.position is not None and state.tool >= 0:
        appear(run, block)


def _through_turning(run: Run, standing: Standing, own: str, after: dict[str, float]) -> Standing:
    """The place where the tool was left, counted from the part zero of the new clamping."""
    # The value before the mark places the tool on the machine, the value after it the part.
    old, new = run.offset_values.get(standing.offset), after.get(own)
    if standing.z is not None and old is not None and new is not None:
        return Standing(standing.z + old - new, standing.r, own)
    if standing.offset == own:
        run.trust(f"{own} is not changed where the part is turned round")
        return standing
    run.state.loss = Loss(
        "position-unknown",
        "the tool was left standing in another clamping; where that is in this one is not known",
        "send the tool home before the part is turned round, or give the values of both offsets",
    )
    return counted_from(standing, own, {})


def mark_in_words(mark: Mark | None) -> str:
    """Where a mark stands, as a clause."""
    if mark is None:
        return "its end"
    if mark.label is not None:
        return f"a block labelled N{mark.label} is reached"
    if mark.stop is not None:
        return f"stop number {mark.stop} is executed"
    return f"{mark.offset} is selected"
