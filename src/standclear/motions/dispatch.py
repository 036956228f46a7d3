"""Which function executes which word: the one table from acts to what they do.

A handler takes the run, the block, its sorted words and the act, and returns the index of the block
to go on with. An act without a handler is reported as not followed.
"""

from __future__ import annotations

from collections.abc import Callable

from standclear.blocks.program import Block
from standclear.motions import calls
from standclear.motions.coordinates.home import go_home, go_to_machine_place
from standclear.motions.coordinates.offsets import set_data, shift_local
from standclear.motions.flow.dwell import note_dwell
from standclear.motions.habits import check_first_move, check_retreat
from standclear.motions.meaning.block import SortedBlock
from standclear.motions.meaning.words import MOTIONS, Act
from standclear.motions.run import Run
from standclear.motions.way.move import go, go_arc, here, target
from standclear.motions.way.straight import line_ends

Handler = Callable[[Run, Block, SortedBlock, Act], int]


def _dwell(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    note_dwell(run, block, words.words)
    return block.index + 1


def _home(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    go_home(run, block, words.words, second=act == Act.SECOND_HOME)
    return block.index + 1


def _machine_place(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    go_to_machine_place(run, block, words.words)
    return block.index + 1


def _rapid(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    start = here(run)
    to = target(run, block, words.words, start)
    worded = bool(words.acts_in(MOTIONS))
    check_first_move(run, block, start, to, rapid=True, worded=worded)
    go(run, block, to, rapid=True)
    return block.index + 1


def _line(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    start, worded = here(run), bool(words.acts_in(MOTIONS))
    for line in line_ends(run, block, words.words, start):
        check_first_move(run, block, start, line.to, rapid=False, worded=worded)
        check_retreat(run, block, start, line.to, worded=worded)
        go(run, line.block, line.to, rapid=False, corner=line.corner)
        start = line.to
    return block.index + 1


def _arc(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    to = target(run, block, words.words, here(run))
    go_arc(run, block, words.words, to, act == Act.ARC_CLOCKWISE)
    return block.index + 1


ONE_SHOT: dict[Act, Handler] = {
    Act.DWELL: _dwell,
    Act.HOME: _home,
    Act.SECOND_HOME: _home,
    Act.MACHINE_PLACE: _machine_place,
    Act.DATA_SETTING: set_data,
    Act.LOCAL_SHIFT: shift_local,
    Act.ROUGH_ALONG: calls.rough,
    Act.ROUGH_ACROSS: calls.rough,
    Act.PATTERN: calls.pattern,
    Act.FINISH: calls.finish,
    Act.PECK_ALONG: calls.peck,
    Act.PECK_ACROSS: calls.peck,
    Act.THREADING: calls.threading,
}
"""Acts of their own block alone."""

MODAL: dict[Act, Handler] = {
    Act.RAPID: _rapid,
    Act.LINE: _line,
    Act.ARC_CLOCKWISE: _arc,
    Act.ARC_COUNTER: _arc,
    Act.TURN_PASS: calls.single_pass,
    Act.FACE_PASS: calls.single_pass,
    Act.THREAD: calls.thread,
    Act.THREAD_OF_CHANGING_LEAD: calls.thread,
    Act.THREAD_PASS: calls.thread_pass,
    Act.DRILL: calls.drill,
    Act.TAP: calls.drill,
    Act.BORE: calls.drill,
}
"""Acts that stay in force: each later block with X, Z, U or W is executed by the one in force, its
place checked before."""
