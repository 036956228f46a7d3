"""A block's words sorted by what they are for, and the faults of its text."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass

from standclear.blocks.program import Block, Word
from standclear.motions.flow.computed import VALUE_UNKNOWN
from standclear.motions.meaning.unfollowed import reason_for
from standclear.motions.meaning.words import Act, meaning_of
from standclear.motions.run import Run, cannot_follow, report

_NEVER_LEFT_OVER = frozenset("NOGMFST%")


@dataclass(frozen=True)
class SortedBlock:
    """Acts of the G words in order, M numbers, and every other word by its letter."""

    acts: tuple[tuple[Act, Word], ...]
    m_words: tuple[tuple[int, Word], ...]
    words: Mapping[str, Word]
    g_and_m_count: int
    """Number of G and M words, unreadable ones included."""

    def acts_in(self, group: Set[Act]) -> list[tuple[Act, Word]]:
        """The acts that belong to a group."""
        return [each for each in self.acts if each[0] in group]


def sort_words(run: Run, block: Block) -> SortedBlock:
    """Sorts the words; reports those that cannot be read or whose meaning the job leaves open."""
    acts: list[tuple[Act, Word]] = []
    m_words: list[tuple[int, Word]] = []
    words: dict[str, Word] = {}
    count = 0
    for word in block.words:
        if word.broken and word.broken != VALUE_UNKNOWN:
            report(
                run,
                "word-not-understood",
                block,
                f"the word {word.text.strip()[:40]} cannot be read: {word.broken}",
                "correct the word",
                word=word,
                unproven=True,
                lasting=True,
            )
        elif word.letter in ("O", "%") and not block.is_heading:
            report(
                run,
                "word-not-understood",
                block,
                f"{word.text.strip()[:40]} names no program here",
                "correct the word: the letter O may stand for a nought",
                word=word,
                unproven=True,
                lasting=True,
            )
        if word.letter == "G":
            count += 1
            if not word.broken:
                acts.append((_act(run, block, word), word))
        elif word.letter == "M":
            count += 1
            if word.number is not None and word.number == int(word.number):
                m_words.append((int(word.number), word))
            elif not word.broken:
                cannot_follow(run, block, f"what {word.text} does is not known", word=word)
        elif word.letter in words and word.letter != "N":
            cannot_follow(
                run,
                block,
                f"{word.letter} stands twice in one block",
                word=word,
                once=f"twice {block.index} {word.letter}",
            )
            words[word.letter] = word
        else:
            words[word.letter] = word
    return SortedBlock(tuple(acts), tuple(m_words), words, count)


def _act(run: Run, block: Block, word: Word) -> Act:
    """What a G word means; `NOT_FOLLOWED` for one whose number is not known."""
    if word.number is None:
        return Act.NOT_FOLLOWED
    meaning = meaning_of(word.number, run.control.cycle_words)
    if meaning.differs:
        cannot_follow(
            run,
            block,
            f"{word.text} means one thing on one control and another on the next, and the job does "
            "not say which family of cycle words this control has",
            "state cycle_words for the machine's control",
            word=word,
            once="cycle_words",
        )
    return meaning.act


def report_left_over(run: Run, block: Block, sorted_block: SortedBlock, used: Set[str]) -> None:
    """Words that nothing in the block has a use for: what they do is not known."""
    for letter, word in sorted_block.words.items():
        if letter in _NEVER_LEFT_OVER or letter in used or word.broken:
            continue
        why = reason_for(letter, word.number)
        cannot_follow(
            run,
            block,
            f"{word.text} is not followed: {why}"
            if why
            else f"{word.text} has no meaning here that is followed",
            "take the word out, or prove the block by hand",
            word=word,
        )


def is_comment(run: Run, block: Block) -> bool:
    """True for text after `;` where it is a comment, in this reading.

    Text that can be a block is one on some controls, and a comment on others (common practice, no
    source): both are read, and told of once.
    """
    if not block.after_semicolon or not (block.words or block.statement):
        return block.after_semicolon
    report(
        run,
        "text-after-semicolon",
        block,
        "the text after ; is a comment on some controls and a block on others",
        "write it on a line of its own, or in brackets",
    )
    return run.chooser.value("after_semicolon", None, ("comment", "block")) == "comment"


def is_deleted(run: Run, block: Block) -> bool:
    """True where the block delete switch takes the block out, in this reading."""
    if block.delete_level is None:
        return False
    if not block.statement and all(word.letter == "N" for word in block.words):
        return False
    row = "block_delete" if block.delete_level == 1 else f"block_delete/{block.delete_level}"
    return run.chooser.value(row, run.control.block_delete, ("off", "on")) == "on"
