"""What is said of drafted jobs: one in full, many in a line each, and a summary."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from standclear.draft.draft import Draft, Main
from standclear.draft.files import Ending, Outcome, Summary
from standclear.draft.job_text import printable
from standclear.draft.spans import Span

MOST_COMMENTS = 12
MOST_UNFOLLOWED = 12


def in_full(draft: Draft) -> Iterator[str]:
    """What the program calls and what was guessed from it, line by line."""
    yield f"units: {draft.units.value} ({draft.units.because})"
    yield f"cycle words: {draft.family.value} ({draft.family.because})"
    for main in draft.mains:
        if len(draft.mains) > 1:
            yield f"program {main.file}"
        yield from _of_main(main)
    yield "tools:"
    for tool in draft.tools:
        yield f"  T{tool.station} offset {tool.offset}: {printable(tool.name)}; {tool.because}"
    sizes = draft.sizes
    for name, guess in (
        ("bar", sizes.bar),
        ("blank length", sizes.blank_length),
        ("part length", sizes.part_length),
        *((f"face allowance {i}", each) for i, each in enumerate(sizes.allowances, 1)),
    ):
        yield f"{name}: {_shown(guess.value)} ({printable(guess.because)})"
    for note in draft.notes:
        yield f"note: {printable(note)}"
    for each in draft.unfollowed[:MOST_UNFOLLOWED]:
        where = f"{each.program} line {each.line} {each.word}"
        yield f"not followed: {where}: {printable(each.message)}"
    if len(draft.unfollowed) > MOST_UNFOLLOWED:
        yield f"not followed: {len(draft.unfollowed) - MOST_UNFOLLOWED} more"


def _of_main(main: Main) -> Iterator[str]:
    text = main.text
    for comment in text.comments[:MOST_COMMENTS]:
        yield f"  line {comment.line}: ({printable(comment.text)})"
    if len(text.comments) > MOST_COMMENTS:
        yield f"  {len(text.comments) - MOST_COMMENTS} more comments"
    for stop in text.stops:
        yield f"  line {stop.line}: {'M01' if stop.optional else 'M00'}, stop {stop.number}"
    for offset in text.offsets:
        yield f"  line {offset.line}: {offset.name}"
    yield f"set-ups: {len(main.spans)}"
    for span in main.spans:
        yield f"  {_span(span)}"


def _span(span: Span) -> str:
    begins = (
        f"from line {span.begins.line}: {span.begins.because}" if span.begins else "from the top"
    )
    return f"{span.offset}, {printable(begins)}"


def in_a_line(outcome: Outcome) -> str:
    """One program of many."""
    draft = outcome.draft
    if draft is None:
        return f"{outcome.ending.value}: {printable(outcome.words)}"
    spans = sum(len(main.spans) for main in draft.mains)
    said = (
        f"{outcome.job}: {_count(spans, 'set-up')}, {_count(len(draft.tools), 'tool')}, "
        f"bar {_shown(draft.sizes.bar.value)} x {_shown(draft.sizes.blank_length.value)} "
        f"{draft.units.value}, {_count(len(draft.guesses), 'guess', 'guesses')}"
    )
    if draft.unfollowed:
        said += f", {_count(len(draft.unfollowed), 'word')} not followed"
    return said


def summary_lines(summary: Summary) -> Iterator[str]:
    """How many got a job, what did not and why, and the words not followed, the commonest first."""
    total = sum(summary.counts.values())
    yield f"{_count(total, 'program')}, {_count(summary.counts[Ending.WRITTEN], 'job')} written"
    for ending in Ending:
        if ending is not Ending.WRITTEN and summary.counts[ending]:
            yield f"{ending.value}: {summary.counts[ending]}"
            for outcome in summary.trouble:
                if outcome.ending is ending:
                    yield f"  {printable(outcome.words)}"
    if summary.words:
        yield f"words not followed, in {_count(summary.not_whole, 'program')}:"
        for word, count in sorted(summary.words.items(), key=lambda each: (-each[1], each[0])):
            yield f"  {word}: {count}, in {_count(summary.programs[word], 'program')}"


def _count(number: int, one: str, many: str = "") -> str:
    return f"{number} {one}" if number == 1 else f"{number} {many or one + 's'}"


def _shown(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else f"{value}"
