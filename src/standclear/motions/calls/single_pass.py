"""Single-pass calls: G90 and G94."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions import cycles
from standclear.motions.calls.arguments import argument, standing_for_call
from standclear.motions.calls.lay_out import lay_out
from standclear.motions.coordinates.places import Standing
from standclear.motions.meaning.block import SortedBlock
from standclear.motions.meaning.words import Act
from standclear.motions.run import Run, cannot_follow
from standclear.motions.state import SinglePass
from standclear.motions.step import Position
from standclear.motions.way.move import target

_OTHER_TAPER = {Act.TURN_PASS: "I", Act.FACE_PASS: "K"}
"""The letter that an older way of writing these cycles has for R."""


def single_pass(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G90 and G94 and their repeats: words left out keep their values, the start stays the same.

    L passes of a block sweep what one of them sweeps.
    """
    following = block.index + 1
    given = single_pass_words(run, block, words, _OTHER_TAPER[act])
    if given is None or not _count_followed(run, block, words) or not run.emitting:
        return following
    start, now = given
    cycle = cycles.turn_pass if act == Act.TURN_PASS else cycles.face_pass
    lay_out(run, block, act, start, cycle(start, now.z, now.r, now.taper, run.control))
    return following


def single_pass_words(
    run: Run, block: Block, words: SortedBlock, other_taper: str = ""
) -> tuple[Position, SinglePass] | None:
    """S and what a single-pass call or its repeat asks for, kept for the next; None where either is
    not known, which is reported. The taper is R, or `other_taper`."""
    start = standing_for_call(run, block)
    if start is None:
        return None
    kept = run.state.single_pass
    base = Standing(*start, run.state.offset)
    to = target(run, block, words.words, base)
    if to.position is None:
        return None
    z, r = to.position
    has_x, has_z = {"X", "U"} & words.words.keys(), {"Z", "W"} & words.words.keys()
    if kept is not None:
        z, r = z if has_z else kept.z, r if has_x else kept.r
    elif not (has_x and has_z):
        cannot_follow(
            run,
            block,
            f"the cycle does not say where it ends in {'Z' if has_x else 'X'}",
            "write both axes in the first block of the cycle",
        )
        return None
    taper = kept.taper if kept else 0.0
    letters = [letter for letter in ("R", other_taper) if letter in words.words]
    if len(letters) > 1:
        cannot_follow(run, block, f"the cycle has both R and {other_taper} for its taper")
        return None
    if letters:
        taper = argument(run, block, words, letters[0])
    run.state.single_pass = SinglePass(z, r, taper)
    return start, run.state.single_pass


def _count_followed(run: Run, block: Block, words: SortedBlock) -> bool:
    """False for a count of passes that is not followed, which is reported."""
    word = words.words.get("L")
    if word is None or word.number == 1:
        return True
    counted = bool({"U", "W"} & words.words.keys()) or run.state.incremental
    if word.number is not None and word.number > 1 and word.number % 1 == 0 and not counted:
        return True
    cannot_follow(
        run,
        block,
        f"{word.text} passes are not followed: whether each counts from the one before differs "
        "between controls",
        "write each pass in a block of its own",
        word=word,
    )
    return False
