"""Drilling calls on the centre line, and their repeats: G83, G84 and G85."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions import cycles
from standclear.motions.calls.arguments import argument, standing_for_call
from standclear.motions.calls.lay_out import lay_out
from standclear.motions.coordinates.places import Standing
from standclear.motions.flow.dwell import note_wait, wait_at_bottom
from standclear.motions.meaning.block import SortedBlock
from standclear.motions.meaning.words import DRILLING, Act
from standclear.motions.run import Run, cannot_follow
from standclear.motions.state import Drilling
from standclear.motions.step import Position
from standclear.motions.way.move import target

_COUNTS = "KL"


def drill(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G83, G84 and G85 and their repeats: words left out keep their values, and the initial level
    stays where the tool stood at the first of them."""
    following = block.index + 1
    start = standing_for_call(run, block)
    if start is None:
        return following
    hole = _hole(run, block, words, start)
    to = target(run, block, words.words, Standing(*start, run.state.offset))
    if hole is None or to.r is None or not _count_followed(run, block, words):
        run.state.standing = Standing(None, None, run.state.offset)
        return following
    end = _level_returned_to(run, hole)
    run.state.drilling = hole
    run.state.standing = Standing(end, to.r, run.state.offset)
    if run.emitting:
        if act == Act.DRILL:
            result = cycles.drill(start, to.r, hole.level, hole.bottom, hole.peck, end)
        else:
            cycle = cycles.tap if act == Act.TAP else cycles.bore
            result = cycle(start, to.r, hole.level, hole.bottom, end)
        lay_out(run, block, act, start, result)
        if hole.wait != (0.0, 0.0):
            note_wait(run, block, hole.wait)
    return following


def _hole(run: Run, block: Block, words: SortedBlock, start: Position) -> Drilling | None:
    """The levels of the hole and its pecks; None where they are not known, which is reported."""
    kept = run.state.drilling
    if kept is not None and words.acts_in(DRILLING) and start[0] != kept.initial:
        cannot_follow(
            run,
            block,
            "the drilling word is written again while the tool stands at the R level: whether that "
            "is the new initial level differs between controls",
            "cancel the drilling before it is called again",
        )
        return None
    initial = kept.initial if kept else start[0]
    bottom = kept.bottom if kept else None
    counted = "W" in words.words or (run.state.incremental and "Z" in words.words)
    if {"Z", "W"} & words.words.keys():
        bottom = target(run, block, words.words, Standing(initial, start[1], run.state.offset)).z
        if bottom is None:
            return None
    if bottom is None:
        cannot_follow(run, block, "the drilling call does not say how deep", "give the bottom as Z")
        return None
    level = kept.level if kept else initial
    if "R" in words.words:
        level = _r_level(run, block, words, initial)
    if counted and level != initial:
        cannot_follow(
            run,
            block,
            "whether the depth of the hole counts from the initial level or from the R level "
            "differs between controls",
            "give the bottom as an absolute Z",
        )
        return None
    if "R" in words.words and (level - initial) * (bottom - initial) < 0:
        cannot_follow(
            run,
            block,
            "the R level lies further from the hole than the tool does: controls read the sign of "
            "R differently",
            "state drilling_r in the job, or let the tool start further from the hole",
            word=words.words["R"],
        )
        return None
    peck = argument(run, block, words, "Q") if "Q" in words.words else (kept.peck if kept else 0.0)
    wait = wait_at_bottom(run, words.words) or (kept.wait if kept else (0.0, 0.0))
    return Drilling(initial, level, bottom, peck, wait)


def _r_level(run: Run, block: Block, words: SortedBlock, initial: float) -> float:
    """Z of the R level: R counts from the initial level, or is a coordinate."""
    r = argument(run, block, words, "R")
    levels = {"incremental": initial + r, "absolute": r + run.state.shift[0]}
    if run.state.incremental or levels["incremental"] == levels["absolute"]:
        return levels["incremental"]
    return levels[
        run.chooser.value("drilling_r", run.control.drilling_r, ("incremental", "absolute"))
    ]


def _level_returned_to(run: Run, hole: Drilling) -> float:
    """The initial or the R level, as a word of the program says, else the job."""
    if hole.level == hole.initial:
        return hole.initial
    if run.state.drilling_return is not None:
        back = "r-level" if run.state.drilling_return == Act.TO_R_LEVEL else "initial"
    else:
        back = run.chooser.value(
            "drilling_return", run.control.drilling_return, ("initial", "r-level")
        )
    return hole.level if back == "r-level" else hole.initial


def _count_followed(run: Run, block: Block, words: SortedBlock) -> bool:
    """False for a count of holes that is not followed, which is reported.

    The same hole drilled again sweeps nothing new.
    """
    for letter in _COUNTS:
        word = words.words.get(letter)
        if word is None:
            continue
        once = word.number == 1
        counted = bool({"U", "W"} & words.words.keys()) or run.state.incremental
        again = word.number is not None and word.number > 1 and word.number % 1 == 0
        if not once and (counted or not again):
            cannot_follow(
                run,
                block,
                f"{word.text} holes counted from one another are not followed",
                "write each hole in a block of its own",
                word=word,
            )
            return False
    return True
