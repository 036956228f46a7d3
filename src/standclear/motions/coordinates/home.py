"""Reference places: G28 by way of a point, and G53 in machine coordinates."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions.checks import check_place
from standclear.motions.coordinates.places import Coordinate, Standing, offset_name
from standclear.motions.meaning.words import Act
from standclear.motions.run import Run, cannot_follow, length
from standclear.motions.state import Loss
from standclear.motions.table import FAR
from standclear.motions.way.ahead import off_contour
from standclear.motions.way.move import Words, go, here, target

_TRUSTED = "home lies beyond the work in +X and +Z, as the machine file says"
_SECOND_TRUSTED = "the second reference place lies beyond the work, as the machine file says"
_SECOND_LOSS = Loss(
    "position-unknown",
    "the tool goes to a second reference place, and the machine file does not say where that is",
    'state second_home = "beyond" in the machine file, if it lies beyond the work in +X and +Z',
)
_HOME_LOSS = Loss(
    "position-unknown",
    "the tool goes to a reference place, and the job does not say where that is",
    'state home = "beyond" in the machine file, if it lies beyond the work in +X and +Z',
)
_MACHINE_LOSS = Loss(
    "position-unknown",
    "the tool goes to a place in machine coordinates that the job's values do not locate",
    "give the offset's value and the tool's geometry offsets, or go there in work coordinates",
)


def go_home(run: Run, block: Block, words: Words, *, second: bool = False) -> None:
    """G28: the named axes go by way of the programmed point (U0: from where they stand) home.

    `second`: G30, to a reference place of the machine's own, which lies beyond the work only where
    the machine file says so.
    """
    named_r = bool({"X", "U"} & words.keys())
    named_z = bool({"Z", "W"} & words.keys())
    if not (named_r or named_z):
        name = "G30" if second else "G28"
        cannot_follow(
            run, block, f"{name} names no axis; which ones go home differs between controls"
        )
        run.state.standing = Standing(None, None, run.state.offset)
        return
    start = here(run)
    middle = target(run, block, words, start)
    if {"X", "Z"} & words.keys() and not run.state.incremental:
        check_place(run, block)
    with off_contour(run):
        _by_way_of(run, block, start, middle, (named_z, named_r), second=second)


def _by_way_of(
    run: Run,
    block: Block,
    start: Standing,
    middle: Standing,
    named: tuple[bool, bool],
    *,
    second: bool,
) -> None:
    """To the middle point, and from there the named axes (z, r) to the reference place."""
    named_z, named_r = named
    if middle != start:
        go(run, block, middle, rapid=True)
    known = run.machine.second_home if second else run.machine.home
    home: Coordinate = FAR if known == "beyond" else None
    if home is None:
        run.state.loss = _SECOND_LOSS if second else _HOME_LOSS
    else:
        run.trust(_SECOND_TRUSTED if second else _TRUSTED)
    end = Standing(home if named_z else middle.z, home if named_r else middle.r, run.state.offset)
    go(run, block, end, rapid=True)


def go_to_machine_place(run: Run, block: Block, words: Words) -> None:
    """G53: the named axes go to machine coordinates, by the motion word in force.

    0 is home. Elsewhere the place follows from the values of work offset and tool geometry
    (common practice, no source: place = machine place - work offset - geometry offset), X with the
    work offset's X0 on the axis.
    """
    if {"U", "W"} & words.keys():
        cannot_follow(run, block, "U and W beside G53 are not followed")
    start = here(run)
    r = _machine_coordinate(run, block, words, "X") if "X" in words else start.r
    z = _machine_coordinate(run, block, words, "Z") if "Z" in words else start.z
    with off_contour(run):
        go(run, block, Standing(z, r, run.state.offset), rapid=run.state.motion != Act.LINE)


def _machine_coordinate(run: Run, block: Block, words: Words, letter: str) -> Coordinate:
    value = length(run, block, words[letter])
    if value == 0 and run.machine.home == "beyond":
        run.trust(_TRUSTED)
        return FAR
    tool = run.tools[run.state.tool].tool if run.state.tool >= 0 else -1
    geometry = run.job_tools[tool].geometry if tool >= 0 else None
    offset_z = run.offset_values.get(offset_name(run.state.offset))
    if value is not None and geometry is not None:
        if letter == "X":
            run.trust("X0 of the work offset lies on the spindle's axis")
            diameters = run.control.x_words == "diameter"
            return (value - geometry.x) / 2 if diameters else value - geometry.x / 2
        if offset_z is not None:
            return value - offset_z - geometry.z
    run.state.loss = _MACHINE_LOSS
    return None
