"""Moves of the controlled point: axis words to a target, a target to rows of the table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from standclear.blocks.program import Block, Word
from standclear.findings.finding import Measure, Quantity, Severity
from standclear.motions.checks import check_cut
from standclear.motions.coordinates.places import (
    Coordinate,
    Standing,
    counted_from,
    moved_by,
)
from standclear.motions.nose.in_force import check_nose_known, tip_from_programmed
from standclear.motions.nose.pieces import Piece
from standclear.motions.run import Run, cannot_follow, length, radial, report
from standclear.motions.state import conditions
from standclear.motions.step import Position
from standclear.motions.table import FAR, FeedMode, Kind, Path, ToolUse
from standclear.motions.way.ahead import drive, settle_all, settle_for
from standclear.motions.way.arcs import Arc, centre_from_radius, chords
from standclear.motions.way.drive import CornerWord, Drive

Words = Mapping[str, Word]
"""The words of a block by letter."""
AXES = frozenset("XZUW")
ROUNDING_MM = 0.001
"""Two radii of an arc written with three decimals may disagree so far by rounding alone."""


def here(run: Run) -> Standing:
    """Where the tool stands, counted from the work offset in force."""
    return counted_from(run.state.standing, run.state.offset, run.offset_values)


def target(run: Run, block: Block, words: Words, start: Standing) -> Standing:
    """Where the block's X, Z, U and W lead from `start`; unnamed axes stay where they are."""
    shift_z, shift_r = run.state.shift
    r = _coordinate(run, block, words, ("X", "U"), start.r, shift_r)
    z = _coordinate(run, block, words, ("Z", "W"), start.z, shift_z)
    return Standing(z, r, run.state.offset)


def _coordinate(
    run: Run,
    block: Block,
    words: Words,
    letters: tuple[str, str],
    now: Coordinate,
    shift: float,
) -> Coordinate:
    absolute, incremental = letters
    if absolute in words and incremental in words:
        cannot_follow(run, block, f"{absolute} and {incremental} stand in one block")
        return None
    word = words.get(absolute) or words.get(incremental)
    if word is None:
        return now
    value = length(run, block, word)
    if value is not None and absolute == "X":
        value = radial(run, value)
    if value is None:
        if not word.broken:
            cannot_follow(run, block, f"the value of {word.text} is not followed", word=word)
        return None
    if word.letter == incremental or run.state.incremental:
        return moved_by(now, value)
    if abs(value) >= FAR:
        cannot_follow(run, block, f"{word.text} leads further than any lathe goes", word=word)
        return None
    return value + shift


def frame_shift(run: Run) -> float:
    """What takes a Z of the offset in force to the part zero of the set-up, mm."""
    value = run.offset_values.get(run.state.offset)
    return 0.0 if value is None or run.part_zero is None else value - run.part_zero


def in_frame(run: Run, position: Position) -> Position:
    """(z, r) counted from the part zero of the set-up, of the point that the tool is drawn from."""
    z, r = position
    return tip_from_programmed(run, (z if z == FAR else z + frame_shift(run), r))


def tool_index(run: Run, block: Block) -> int:
    """The tool in use, checked against the job when it makes its first row."""
    index = run.state.tool
    if index < 0:
        none_called = ToolUse(-1, 0, 0)
        if none_called not in run.tools:
            run.tools.append(none_called)
        index = run.tools.index(none_called)
    if f"tool {index}" in run.said:
        return index
    run.said.add(f"tool {index}")
    use = run.tools[index]
    called = run.program.blocks[run.state.tool_block] if run.state.tool >= 0 else block
    if use.tool < 0:
        report(
            run,
            "tool-missing",
            called,
            f"the job has no tool in station {use.station}"
            if run.state.tool >= 0
            else "the turret moves before any tool is called: which tool stands there is not known",
            "add the tool to the job" if run.state.tool >= 0 else "call the tool first",
            unproven=True,
        )
        return index
    tool = run.job_tools[use.tool]
    if run.control.controlled_point == "nose-centre" and not (tool.drill or tool.grooving):
        check_nose_known(run, called, index)
    own_offset = tool.station if tool.offset is None else tool.offset
    if use.offset not in (own_offset, 0):
        report(
            run,
            "offset-not-stations",
            called,
            f"station {use.station} is called with offset {use.offset}; the job has it on offset "
            f"{own_offset}",
            "call the station's own offset, or enter the tool in the job with this one",
            severity=Severity.STOP,
            unproven=True,
        )
    return index


def appear(run: Run, block: Block, standing: Standing | None = None) -> None:
    """Adds the row that says where the tool in use stands (`standing`; left out: now), if that is
    known."""
    settle_all(run, back=False)
    now = standing or here(run)
    if not run.emitting or now.position is None:
        return
    at = in_frame(run, now.position)
    tool = tool_index(run, block)
    run.rows.add(Kind.APPEAR, at, at, tool, block.index, conditions(run.state, run.machine))
    run.shown = True


def go(
    run: Run, block: Block, to: Standing, *, rapid: bool, corner: CornerWord | None = None
) -> None:
    """One programmed move to `to`, straight or by the machine's rapid path; `corner` lies between
    it and the next."""
    start = here(run)
    if not _ready(run, block, start, to) or start.position is None or to.position is None:
        return
    begin, end = in_frame(run, start.position), in_frame(run, to.position)
    if rapid:
        _drive(run, block, Kind.RAPID, Piece(begin, end))
    elif FAR in (*begin, *end) and begin[0] != end[0] and begin[1] != end[1]:
        # A feed along an unknown line cuts nothing that may be counted on.
        _drive(run, block, Kind.RAPID, Piece(begin, end), path=Path.ANYWHERE)
    else:
        _drive(run, block, Kind.FEED, Piece(begin, end), corner=corner)


def go_in_thread(run: Run, block: Block, to: Standing, lead: float) -> None:
    """One thread pass to `to`: nothing is cut that may be counted on, since the metal between the
    turns stays. How deep the thread is no word says; it is taken to be one lead at most."""
    start = here(run)
    if not _ready(run, block, start, to) or start.position is None or to.position is None:
        return
    begin, end = in_frame(run, start.position), in_frame(run, to.position)
    if FAR in (*begin, *end):
        cannot_follow(run, block, "a thread begins or ends at home", lasting=False)
        return
    settle_for(run, block, "a thread")
    check_cut(run, block, lead=True)
    run.rows.add(
        Kind.FEED,
        begin,
        end,
        tool_index(run, block),
        block.index,
        replace(conditions(run.state, run.machine), feed=lead, feed_mode=FeedMode.PER_REV),
        credited=False,
        crest=lead,
    )


def go_arc(run: Run, block: Block, words: Words, to: Standing, clockwise: bool) -> None:
    """An arc, as feeds along its chords."""
    start = here(run)
    arc = None
    if start.position is not None and to.position is not None and start.exact and to.exact:
        arc = arc_of(run, block, words, start.position, to.position, clockwise)
    if not _ready(run, block, start, to) or start.position is None or to.position is None:
        return
    begin, end = in_frame(run, start.position), in_frame(run, to.position)
    if arc is not None:
        centre = in_frame(run, arc.centre)
        _drive(run, block, Kind.FEED, Piece(begin, end, centre, clockwise, arc.slack))
    elif start.exact and to.exact:
        _drive(run, block, Kind.FEED, Piece(begin, end), credited=False)
    else:
        cannot_follow(run, block, "an arc begins or ends at home", lasting=False)


def arc_of(
    run: Run, block: Block, words: Words, start: Position, end: Position, clockwise: bool
) -> Arc | None:
    """The arc that R, or I and K, mean; None where they mean none, which is reported."""
    short = 0.0
    centre: Position | None = None
    if "R" in words and ("I" in words or "K" in words):
        cannot_follow(run, block, "an arc has both R and a centre", lasting=False)
        return None
    if "R" in words:
        radius = length(run, block, words["R"])
        found = centre_from_radius(start, end, radius, clockwise) if radius else None
        if found:
            centre, short = found
    elif "I" in words or "K" in words:
        centre = _centre(run, block, words, start)
    arc = chords(start, end, centre, clockwise) if centre else None
    if arc is None:
        report(
            run,
            "arc-without-centre",
            block,
            "the words of this arc do not say where its centre is",
            "write R, or I and K, and an end that differs from the start",
            unproven=True,
        )
        return None
    disagreement = max(arc.disagreement, short)
    limit = run.control.arc_disagreement
    if disagreement > limit:
        report(
            run,
            "arc-radii-disagree",
            block,
            "the arc's radii at its start and end differ by {difference}; the job allows {limit}",
            "correct the centre or the end point",
            unproven=True,
            measures=(
                Measure("difference", disagreement, Quantity.LENGTH),
                Measure("limit", limit, Quantity.LENGTH),
            ),
            tags=tuple(each for each in run.chooser.reading if each.startswith("arc_centre=")),
        )
    elif disagreement > ROUNDING_MM:
        run.trust(
            f"the arc on line {block.line}, whose radii disagree by {disagreement:.4f} mm, "
            "is taken to run evenly from one to the other"
        )
    own = arc.sagitta - arc.disagreement
    return replace(arc, sagitta=own + min(disagreement, ROUNDING_MM))


def _centre(run: Run, block: Block, words: Words, start: Position) -> Position | None:
    """The centre from I (along X) and K (along Z), both radial lengths."""
    way = run.chooser.value("arc_centre", run.control.arc_centre, ("incremental", "absolute"))
    i = length(run, block, words["I"]) if "I" in words else None
    k = length(run, block, words["K"]) if "K" in words else None
    if way == "absolute":
        return None if i is None or k is None else (k, i)
    if ("I" in words and i is None) or ("K" in words and k is None):
        return None
    return start[0] + (k or 0.0), start[1] + (i or 0.0)


def _ready(run: Run, block: Block, start: Standing, to: Standing) -> bool:
    """Moves the state; True where it moves and a row can say how it got there."""
    beyond = (start.r == to.r == FAR) or (start.z == to.z == FAR)
    run.state.standing = to
    if not run.emitting or (start.position is not None and start.position == to.position):
        return False
    if start.position is not None and not run.shown:
        appear(run, block, start)
    if start.position is None or to.position is None:
        if not beyond or to.position is None:
            _report_loss(run, block)
        run.shown = False
        if to.position is not None:
            run.state.loss = None
            appear(run, block)
        return False
    return True


def _drive(
    run: Run,
    block: Block,
    kind: Kind,
    piece: Piece,
    *,
    path: Path | None = None,
    credited: bool = True,
    corner: CornerWord | None = None,
) -> None:
    """One programmed move, in the frame of the set-up, on its way to the table."""
    if kind == Kind.FEED:
        check_cut(run, block)
    now = conditions(run.state, run.machine)
    tool = tool_index(run, block)
    drive(run, Drive(piece, kind, block, tool, now, path, credited, corner=corner))


def _report_loss(run: Run, block: Block) -> None:
    loss = run.state.loss
    if loss is None:
        report(
            run,
            "position-unknown",
            block,
            "where the tool stands here is not known",
            "say in the machine file where home is, or send the tool to a known place first",
            unproven=True,
            once=f"loss at {block.index}",
        )
        return
    report(run, loss.code, block, loss.message, loss.cure, unproven=True, once=f"{loss}")
