"""Moves that wait for the next one, and what is laid down in the table once it is known.

A corner word and nose compensation both change the end of a move by what comes after it. Every
programmed move goes through `drive`; whatever else moves the tool first calls `settle_all`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from standclear.blocks.program import Block
from standclear.findings.finding import Measure
from standclear.motions.nose.in_force import control_nose
from standclear.motions.nose.path import Driven, Manner, Nose, Trouble, Waiting, settle
from standclear.motions.nose.pieces import ON, SAME_PLACE_MM, Piece, Side, turn_between
from standclear.motions.run import Run, cannot_follow, report
from standclear.motions.step import Position
from standclear.motions.table import FAR, Kind, Path
from standclear.motions.way.arcs import chords
from standclear.motions.way.corners import NO_NEXT_LINE, UNFIT, Unfit, cornered
from standclear.motions.way.drive import CornerWord, Drive, HeldNose
from standclear.motions.way.rapids import rapid_legs

MOST_IDLE = 1
"""Blocks without motion that a control reads over under compensation; from the second on it may no
longer know the next move (common practice, no source)."""


def drive(run: Run, item: Drive) -> None:
    """One programmed move: into the table, or held until the next is known."""
    ahead = run.state.ahead
    if run.state.compensation_doubtful:
        cannot_follow(
            run,
            item.block,
            "the profile of a cycle switched nose compensation on or off: whether it is on here "
            "differs between controls",
            "write G40, G41 or G42 after the cycle",
            lasting=False,
        )
        run.state.compensation_doubtful = False
    ahead.idle, ahead.moved_in = 0, item.block.index
    _drop_angle(run)
    held, ahead.corner = ahead.corner, None
    if held is not None and held.corner is not None:
        item = _turn_corner(run, held, held.corner, item)
    if item.corner is not None:
        ahead.corner = item
        return
    _compensate(run, item)


def settle_all(run: Run, *, back: bool = True) -> None:
    """Lays down what waits: something comes that is not a programmed move.

    `back`: the tool then stands where the program says, its offset from the contour given up.
    """
    ahead = run.state.ahead
    cornering, ahead.corner = ahead.corner, None
    if cornering is not None:
        _report_corner(run, cornering, NO_NEXT_LINE)
        _compensate(run, cornering)
    _drop_angle(run)
    held, ahead.nose = ahead.nose, None
    if held is None:
        return
    nose = control_nose(run, held.drive.block, held.drive.tool)
    if nose is None:
        return
    driven = settle(held.waiting, None, ON, nose, Manner("arc", "perpendicular"))
    _lay_driven(run, held, driven, rapid=False)
    if back:
        _lay_anywhere(run, held.drive, driven.next_start, held.drive.piece.end)


def settle_for(run: Run, block: Block, what: str) -> None:
    """Lays down what waits before a motion that knows no compensation; what the control does with
    the offset from the contour is then not known."""
    if run.state.ahead.nose is None:
        settle_all(run)
        return
    cannot_follow(
        run,
        block,
        f"{what} comes while nose compensation is on and the tool stands on a contour",
        "cancel compensation with a move that leads away from the contour first",
        lasting=False,
    )
    settle_all(run)


def settle_for_profile(run: Run, first: Driven, *, rapid: bool) -> None:
    """Lays down what waits before a profile that may go on with the contour.

    `first` is the way of the waiting move then, `rapid` whether the profile begins with one.
    Whether it goes on, or begins anew from where the program says, is told apart by the readings
    of the call; here both ways to it are tested.
    """
    ahead = run.state.ahead
    held = ahead.nose
    if held is None:
        return
    _lay_driven(run, held, first, rapid=rapid)
    if held.waiting.enters:
        back = replace(held.drive.along(Piece(first.own.end, first.own.start)), credited=False)
        for piece in reversed(first.corner):
            _lay_anywhere(run, held.drive, piece.end, piece.start)
        lay(run, back)
        settle_all(run)
        return
    ahead.nose = None
    _lay_anywhere(run, held.drive, first.next_start, held.drive.piece.end)


@contextmanager
def off_contour(run: Run) -> Iterator[None]:
    """Moves that are never compensated, such as the way home: compensation is given up before them
    and taken up again by the next programmed move (common practice, no source)."""
    settle_all(run)
    side, run.state.compensation = run.state.compensation, ON
    try:
        yield
    finally:
        run.state.compensation = side


def note_block(run: Run, block: Block) -> None:
    """A block is done: the second in a row without motion loses the way under compensation."""
    ahead = run.state.ahead
    if ahead.nose is None or ahead.moved_in == block.index:
        return
    if not block.statement and all(word.letter == "N" for word in block.words):
        return
    ahead.idle += 1
    if ahead.idle == MOST_IDLE + 1:
        report(
            run,
            "lookahead-lost",
            block,
            "a second block without motion follows under nose compensation: the control may no "
            "longer know the move after it, and ends this one in another place",
            "write these words in the blocks that move, or before compensation is switched on",
            unproven=True,
        )


def _turn_corner(run: Run, held: Drive, word: CornerWord, item: Drive) -> Drive:
    """The held move as far as the corner, the corner, and the next move from there on."""
    if item.kind != Kind.FEED or item.piece.centre is not None:
        _report_corner(run, held, NO_NEXT_LINE)
        _compensate(run, held)
        return item
    found = cornered(held.piece, item.piece, word)
    if isinstance(found, Unfit):
        _report_corner(run, held, UNFIT[found])
        _compensate(run, held)
        return item
    for piece in (found.before, found.corner):
        if piece.moves:
            _compensate(run, replace(held, piece=piece, corner=None))
    return replace(item, piece=found.after)


def _drop_angle(run: Run) -> None:
    held, run.state.ahead.angle = run.state.ahead.angle, None
    if held is not None:
        cannot_follow(run, held.block, "a line is given by its angle alone, and no line follows")


def _report_corner(run: Run, held: Drive, fault: tuple[str, str, str]) -> None:
    code, message, cure = fault
    text = held.corner.text if held.corner else ""
    message = message.format(word=text)
    report(run, code, held.block, message, cure, unproven=True)


def _compensate(run: Run, item: Drive) -> None:
    ahead, side = run.state.ahead, run.state.compensation
    if not item.piece.moves:
        return
    held, ahead.nose = ahead.nose, None
    nose = control_nose(run, item.block, item.tool) if held or side != ON else None
    if nose is None:
        lay(run, item)
        return
    start = item.piece.start
    if held is not None:
        manner = manner_of(run, held.waiting, item.piece, side)
        manner = replace(manner, apart=held.drive.kind != item.kind)
        driven = settle(held.waiting, item.piece, side, nose, manner)
        _lay_driven(run, held, driven, rapid=item.kind == Kind.RAPID)
        start = driven.next_start
    if side == ON:
        _leave(run, item, start)
        return
    waiting = Waiting(item.piece, side, start, held is None, item.kind == Kind.RAPID)
    if held is None and FAR in start:
        waiting = _enter_from_beyond(run, item, waiting, nose)
    ahead.nose = HeldNose(item, waiting)


def manner_of(run: Run, waiting: Waiting, after: Piece, side: Side) -> Manner:
    """The control's manner at this joint: a row is asked only where its values differ."""
    outside = False
    if FAR not in waiting.piece.start:
        outside = turn_between(waiting.piece, after) * waiting.side < -1e-9
    entry = run.control.compensation_entry or "perpendicular"
    leads = waiting.enters or side == ON
    if leads and outside:
        value = run.chooser.value(
            "compensation_entry", run.control.compensation_entry, ("perpendicular", "at-end")
        )
        entry = "at-end" if value == "at-end" else "perpendicular"
    corner = run.control.compensation_corner or "arc"
    if outside and (not leads or entry == "at-end"):
        value = run.chooser.value(
            "compensation_corner", run.control.compensation_corner, ("arc", "square")
        )
        corner = "square" if value == "square" else "arc"
    return Manner(corner, entry if FAR not in waiting.piece.start else "perpendicular")


def _enter_from_beyond(run: Run, item: Drive, waiting: Waiting, nose: Nose) -> Waiting:
    """An entry from home, whose direction is not known: unless the control is known to end it
    square to the next move, every place is swept that it may end at on the way to there."""
    if run.control.compensation_entry == "perpendicular":
        return waiting
    z, r = item.piece.end[0] - nose.lead[0], item.piece.end[1] - nose.lead[1]
    low, high = (z - nose.radius, r - nose.radius), (z + nose.radius, r + nose.radius)
    _lay_anywhere(run, item, waiting.start, low)
    _lay_anywhere(run, item, low, high)
    return replace(waiting, start=high)


def _leave(run: Run, item: Drive, start: Position) -> None:
    """The move that leads away from a contour to an uncompensated place."""
    piece = item.piece
    if math.dist(start, piece.start) <= SAME_PLACE_MM:
        lay(run, item)
        return
    away = item.along(Piece(start, piece.end))
    if item.block.index == run.state.compensation_block:
        lay(run, away)
        return
    # G40 stood alone. Some controls go back to the programmed point at once, some with this move:
    # both ways are tested, neither is counted on.
    doubtful = replace(away, credited=False)
    _lay_anywhere(run, item, start, piece.start)
    lay(run, replace(doubtful, piece=Piece(piece.start, piece.end)))
    lay(run, replace(doubtful, piece=Piece(piece.end, start)))
    lay(run, doubtful)


def _lay_driven(run: Run, held: HeldNose, driven: Driven, *, rapid: bool) -> None:
    """The compensated way of a held move and the corner after it, which is tested as a rapid where
    the held move or the next one (`rapid`) is one."""
    if driven.trouble is not None:
        _report_trouble(run, held, driven)
    own = held.drive.along(driven.own)
    lay(run, own if driven.trouble is None else replace(own, credited=False))
    kind = Kind.RAPID if rapid else held.drive.kind
    for piece in driven.corner:
        lay(run, replace(held.drive.along(piece), kind=kind, path=Path.STRAIGHT))


def _lay_anywhere(run: Run, item: Drive, start: Position, end: Position) -> None:
    """A way of which only the rectangle is known, in which nothing may be met."""
    if math.dist(start, end) > SAME_PLACE_MM:
        way = item.along(Piece(start, end))
        lay(run, replace(way, kind=Kind.RAPID, path=Path.ANYWHERE))


def lay(run: Run, item: Drive) -> None:
    """The rows of one move as it is driven."""
    piece = item.piece
    if not piece.moves:
        return
    legs: list[tuple[Position, Path]] = [(piece.end, item.path or Path.STRAIGHT)]
    sagitta = 0.0
    if piece.centre is not None:
        arc = chords(piece.start, piece.end, piece.centre, piece.clockwise)
        if arc is not None:
            legs = [(point, Path.STRAIGHT) for point in arc.points]
            sagitta = arc.chord_sagitta + piece.slack
    elif item.kind == Kind.RAPID and item.path is None:
        legs = list(rapid_legs(piece.start, piece.end, run.machine))
    at = piece.start
    for end, path in legs:
        run.rows.add(
            item.kind,
            at,
            end,
            item.tool,
            item.block.index,
            item.now,
            path=path,
            sagitta=sagitta,
            credited=item.credited,
            compensated=item.compensated,
        )
        at = end


def _report_trouble(run: Run, held: HeldNose, driven: Driven) -> None:
    """Why the contour cannot be followed, at the block whose move it is."""
    block = held.drive.block
    nose = control_nose(run, block, held.drive.tool)
    if nose is None or driven.trouble is None:
        return
    code, message, cure = TROUBLES[driven.trouble]
    measures = (Measure("nose", nose.radius), Measure("length", driven.short_by))
    report(run, code, block, message, cure, unproven=True, measures=measures)


_DIFFERS = "what is driven under nose compensation then differs between controls"
TROUBLES = {
    Trouble.TIGHT: (
        "contour-tighter-than-nose",
        "a nose of radius {nose} does not fit into the contour at the end of this move: the "
        "control stops with an alarm there or cuts into the next piece",
        "take a smaller nose, or open the corner",
    ),
    Trouble.SHORT_ENTRY: (
        "entry-shorter-than-nose",
        "the move that leads to the contour, or away from it, is {length} long, shorter than the "
        "nose radius of {nose}: the control stops with an alarm or cuts into the contour",
        "enter and leave with a straight move of at least the nose radius, clear of the metal",
    ),
    Trouble.BACK: (
        "cannot-follow",
        f"the contour turns straight back on itself: {_DIFFERS}",
        "cancel compensation before the tool goes back",
    ),
    Trouble.ARC_ENTRY: (
        "cannot-follow",
        f"an arc leads to the contour or away from it: {_DIFFERS}",
        "begin and cancel compensation with a straight move",
    ),
    Trouble.OTHER_SIDE: (
        "cannot-follow",
        f"the nose is sent to the other side of the contour: {_DIFFERS}",
        "cancel compensation between the two sides",
    ),
    Trouble.NO_CONTOUR: (
        "cannot-follow",
        f"compensation is cancelled by the move after the one that begins it: {_DIFFERS}",
        "leave out compensation, or let a contour stand between",
    ),
}
"""Code, message and cure of everything that stands against a compensated way."""
