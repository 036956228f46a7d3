"""Profiles of cycles under nose compensation: the way of the tip along them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from standclear.blocks.program import Block
from standclear.findings.finding import Measure
from standclear.motions import cycles
from standclear.motions.cycles.path import Result
from standclear.motions.nose.in_force import control_nose
from standclear.motions.nose.path import Course, Driven, Nose, Waiting, tip_path
from standclear.motions.nose.pieces import ON, Piece, moved_piece
from standclear.motions.run import Run
from standclear.motions.step import CycleFault, Position, Profile, ProfileMove, Reading, Step
from standclear.motions.table import Kind, Path
from standclear.motions.way.ahead import TROUBLES, manner_of, settle_for_profile
from standclear.motions.way.arcs import chords
from standclear.motions.way.drive import HeldNose
from standclear.motions.way.move import in_frame

ROW = "compensation_in_cycles"


@dataclass(frozen=True, slots=True)
class Driveable:
    """A profile as the tip runs along it, what stands against that, and the open control values
    it stands for."""

    profile: Profile
    faults: tuple[CycleFault, ...] = ()
    values: tuple[str, ...] = ()

    def of(self, result: Result) -> Result:
        """What a cycle answers for this profile, with these values and faults."""
        readings, faults = result
        named = tuple(replace(r, values=(*self.values, *r.values)) for r in readings)
        return named, (*self.faults, *faults)


def is_compensated(profile: Profile) -> bool:
    """True where some block of the profile is run under compensation."""
    return any(move.side != ON for move in profile.moves)


def for_roughing(run: Run, block: Block, profile: Profile) -> tuple[Driveable, ...]:
    """The profiles that G71, G72 and G73 may follow.

    By the row `compensation_in_cycles`: compensation words do nothing there, or lay the tip's way
    along the profile, or do so only where compensation is on when the cycle is called.
    """
    plain = Driveable(_switched_off(profile))
    if not is_compensated(profile):
        return (plain,)
    active = run.state.compensation != ON
    stated = run.control.compensation_in_cycles
    applied = stated == "applied" or (stated == "if-active" and active)
    if stated is not None and not applied:
        return (plain,)
    nose = control_nose(run, block, run.state.tool)
    if nose is None:
        return (plain,)
    driven = _driven(run, profile, nose, None)
    if stated is not None:
        return (driven,)
    # `if-active` agrees with one of the other two, by whether compensation is on at the call.
    ignored, laid = ("ignored", "applied or if-active")
    if not active:
        ignored, laid = ("ignored or if-active", "applied")
    return (
        replace(plain, values=(f"{ROW}={ignored}",)),
        replace(driven, values=(f"{ROW}={laid}",)),
    )


def finishing(run: Run, block: Block, profile: Profile) -> Result:
    """G70 along its profile, compensated where it or the call is.

    Where the tool comes to S along a contour, controls either go on with that contour or begin
    anew from S: two readings.
    """
    nose = control_nose(run, block, run.state.tool) if is_compensated(profile) else None
    if nose is None:
        return cycles.finish(_switched_off(profile), run.control)
    anew = _driven(run, profile, nose, None)
    readings, faults = anew.of(cycles.finish(anew.profile, run.control))
    held = run.state.ahead.nose
    if held is None:
        return readings, faults
    going_on = _driven(run, profile, nose, held)
    there = going_on.profile.start
    from_s = replace(going_on.profile, start=profile.start)
    on, more = going_on.of(cycles.finish(from_s, run.control))
    hop = Step(Kind.RAPID, there, path=Path.ANYWHERE)
    readings += tuple(Reading(r.values, (hop, *r.steps)) for r in on)
    return readings, tuple(dict.fromkeys((*faults, *more)))


def _driven(run: Run, profile: Profile, nose: Nose, held: HeldNose | None) -> Driveable:
    """The profile as the tip runs along it from S.

    `held`: the tool is on its way to S along a contour that the profile goes on with; that way is
    then laid down, and the profile starts where it leads to.
    """
    moves, courses = _courses(profile)
    before = None if held is None else _in_program(run, profile.start, held.waiting)
    driven = tip_path(courses, nose, partial(manner_of, run), before)
    start, faults = profile.start, []
    if held is not None:
        first, *driven = driven
        start = first.next_start
        faults += _faults(first, held.drive.block.index, nose)
        rapid = profile.moves[0].kind == Kind.RAPID
        settle_for_profile(run, _in_setup(run, profile.start, first), rapid=rapid)
    along: list[ProfileMove] = []
    if profile.moves[0] not in moves:
        # A first block that only repeats S still says how levels are reached.
        along.append(replace(profile.moves[0], points=(start,), side=ON))
    for index, (move, each) in enumerate(zip(moves, driven, strict=True)):
        faults += _faults(each, move.block, nose)
        along += _driven_moves(move, each, moves[index + 1 : index + 2])
    return Driveable(replace(profile, start=start, moves=tuple(along)), tuple(faults))


def _courses(profile: Profile) -> tuple[list[ProfileMove], list[Course]]:
    """The blocks that move, and what each asks for."""
    moves: list[ProfileMove] = []
    courses: list[Course] = []
    at = profile.start
    for move in profile.moves:
        piece = Piece(at, move.end, move.centre, move.clockwise, move.slack)
        at = move.end
        if piece.moves:
            moves.append(move)
            courses.append(Course(piece, move.side, move.kind == Kind.RAPID))
    return moves, courses


def _between_frames(run: Run, start: Position) -> Position:
    """What takes a place of the program to the frame of the set-up."""
    there = in_frame(run, start)
    return there[0] - start[0], there[1] - start[1]


def _in_program(run: Run, start: Position, waiting: Waiting) -> Waiting:
    """What waits in the frame of the set-up, counted as the program counts."""
    z, r = _between_frames(run, start)
    at = (waiting.start[0] - z, waiting.start[1] - r)
    return replace(waiting, piece=moved_piece(waiting.piece, (-z, -r)), start=at)


def _in_setup(run: Run, start: Position, driven: Driven) -> Driven:
    by = _between_frames(run, start)
    return replace(
        driven,
        own=moved_piece(driven.own, by),
        corner=tuple(moved_piece(piece, by) for piece in driven.corner),
        next_start=(driven.next_start[0] + by[0], driven.next_start[1] + by[1]),
    )


def _driven_moves(
    move: ProfileMove, driven: Driven, after: Sequence[ProfileMove]
) -> Sequence[ProfileMove]:
    """The tip's own way of one block, then the corner after it. A corner beside a rapid is tested
    as one."""
    moves = [_along(move, driven.own)]
    rapid = any(each.kind == Kind.RAPID for each in (move, *after))
    for piece in driven.corner:
        kind = Kind.RAPID if rapid else Kind.FEED
        moves.append(_along(replace(move, kind=kind, has_x=True, has_z=True), piece))
    return moves


def _along(move: ProfileMove, piece: Piece) -> ProfileMove:
    own = replace(
        move, points=(piece.end,), sagitta=0.0, centre=None, slack=0.0, side=ON, compensated=True
    )
    arc = None
    if piece.centre is not None:
        arc = chords(piece.start, piece.end, piece.centre, piece.clockwise)
    if arc is None:
        return own
    return replace(own, points=arc.points, sagitta=arc.chord_sagitta + piece.slack)


def _switched_off(profile: Profile) -> Profile:
    return replace(profile, moves=tuple(replace(move, side=ON) for move in profile.moves))


def _faults(driven: Driven, block: int, nose: Nose) -> list[CycleFault]:
    if driven.trouble is None:
        return []
    code, message, cure = TROUBLES[driven.trouble]
    measures = (Measure("nose", nose.radius), Measure("length", driven.short_by))
    return [CycleFault(code, message, cure, block, unproven=True, measures=measures)]
