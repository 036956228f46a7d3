"""Words that carry a variable or an expression: computed before the block is executed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import lru_cache

from standclear.blocks.program import Block, Word
from standclear.motions.flow.expression import BLANKS, Expression, read_expression, value_of
from standclear.motions.flow.numbers import FlowFault
from standclear.motions.flow.ties import RunTies
from standclear.motions.run import Run, cannot_follow, increment, unit_factor

VALUE_UNKNOWN = "its value is not known"
"""Marks a word whose value could not be computed, which has been reported."""
_IN_INCREMENTS = frozenset("PQD")
"""Letters of cycles that many controls read without a point: their computed values are read as
numbers written without one."""
_NAMES = frozenset("O%")
"""Letters whose text is a name."""
_DECIMALS = 9
"""Beyond these a value is the noise of floating numbers."""
_DRIFT_MM = 0.001
_AXIS = {"U": "X", "W": "Z", "X": "X", "Z": "Z"}


def with_numbers(run: Run, block: Block) -> Block:
    """The block with its computed words as plain numbers.

    A word whose value is empty is left out, as if not written. One whose value cannot be followed
    is reported and stays, marked broken.
    """
    if run.walk.drift:
        _end_drift(run, block)
    if not any(word.number is None and _is_computed(word) for word in block.words):
        return block
    words: list[Word] = []
    for word in block.words:
        if not _is_computed(word) or word.broken:
            words.append(word)
            continue
        try:
            number = _number_of(run, word)
        except FlowFault as fault:
            cannot_follow(
                run,
                block,
                f"the value of {word.text.strip()[:40]} is not known: {fault}",
                "state the variable in the job, or write the value",
                word=word,
            )
            words.append(replace(word, broken=VALUE_UNKNOWN))
            continue
        if number is not None:
            words.append(_written_out(word, number))
            _add_drift(run, block, words[-1])
    return replace(block, words=tuple(words))


def refuse(run: Run, block: Block, message: str, word: Word | None) -> None:
    """Reports what a block asks for and is not followed, unless it is for a word whose value is
    not known, which has been reported."""
    if word is None or word.broken != VALUE_UNKNOWN:
        cannot_follow(run, block, message, word=word)


def _is_computed(word: Word) -> bool:
    if word.number is not None or word.letter in _NAMES:
        return False
    return "#" in word.value_text or "[" in word.value_text


@lru_cache(maxsize=4096)
def _expression(text: str) -> Expression:
    expression, end = read_expression(text)
    if text[end:].strip(BLANKS):
        raise FlowFault(f"{text[end:].strip(BLANKS)[:20]} is not understood")
    return expression


def _number_of(run: Run, word: Word) -> Decimal | None:
    expression = _expression(word.value_text)
    value = value_of(expression, run.variables, RunTies(run), in_word=True)
    if value.number is None:
        return None
    number = round(value.number, _DECIMALS)
    return Decimal(int(number)) if number.is_integer() else Decimal(repr(number))


def _written_out(word: Word, number: Decimal) -> Word:
    """The word as if it had been written with its value, in units."""
    text = format(number, "f")
    has_point = word.letter not in _IN_INCREMENTS
    return replace(word, number=number, value_text=text, has_point=has_point)


def _add_drift(run: Run, block: Block, word: Word) -> None:
    """Counts what the control may round off a computed increment; beyond a micrometre in all, where
    the tool then stands is not known."""
    incremental = word.letter in ("U", "W") or (run.state.incremental and word.letter in ("X", "Z"))
    if not incremental or word.number is None:
        return
    least = increment(run)
    off = abs(word.number - (word.number / least).to_integral_value() * least)
    if not off:
        return
    axis = _AXIS[word.letter]
    drift = run.walk.drift.get(axis, 0.0) + float(off * unit_factor(run.state.inch))
    run.walk.drift[axis] = drift
    if drift > _DRIFT_MM:
        cannot_follow(
            run,
            block,
            f"the control rounds each computed {word.letter} to its increment, and what that adds "
            "up to differs between controls",
            "compute places instead of distances, or round the distance in an assignment",
            word=word,
            once=f"drift {axis}",
        )


def _end_drift(run: Run, block: Block) -> None:
    """A word that says a place ends what increments have added up to."""
    if not run.state.incremental:
        for word in block.words:
            if word.letter in ("X", "Z"):
                run.walk.drift.pop(word.letter, None)
