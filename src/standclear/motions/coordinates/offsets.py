"""Work offsets and tool offsets that the program selects or sets: G54 to G59, G54.1, G10.

The machine values of work offsets count only by their differences: the part zero of a set-up lies
where the job says, and `Run.part_zero` is the value that its own offset has there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from standclear.blocks.program import Block, Word
from standclear.motions.coordinates.places import Standing, offset_name
from standclear.motions.meaning.block import SortedBlock
from standclear.motions.meaning.words import Act
from standclear.motions.run import Run, cannot_follow, length, radial
from standclear.motions.table import FAR

WORK_OFFSETS = ("G54", "G55", "G56", "G57", "G58", "G59")
_GEOMETRY_FROM = 10_000
"""G10 P numbers from here on are geometry offsets, below it wear offsets (common practice, no
source)."""


def selected_offset(act: Act, word: Word, words: Mapping[str, Word]) -> str | None:
    """The work offset that a word selects, by its name (`G55`, `G54.1 P3`); None where the word is
    none of its kind or lacks its P."""
    if act == Act.WORK_OFFSET and word.number is not None:
        return offset_name(f"G{int(word.number)}")
    if act == Act.FURTHER_OFFSET:
        number = words["P"].number if "P" in words else None
        if number is not None and number == int(number) and number > 0:
            return f"G54.1 P{int(number)}"
    return None


def set_data(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G10: a work offset (`G10 L2 P1 Z..`, `G10 L20 P1 Z..`) or a tool offset (`G10 P1 Z..`)."""
    kind = _whole(words.words.get("L"))
    if kind is None and "L" not in words.words:
        _set_tool_offset(run, block, words)
    elif kind == 2:
        number = _whole(words.words.get("P"))
        if number is None or not 1 <= number <= len(WORK_OFFSETS):
            cannot_follow(run, block, "G10 L2 sets work offsets P1 to P6; this is none of them")
        else:
            _set_work_offset(run, block, words, WORK_OFFSETS[number - 1])
    elif kind == 20 and (number := _whole(words.words.get("P"))) is not None and number > 0:
        _set_work_offset(run, block, words, f"G54.1 P{number}")
    else:
        cannot_follow(run, block, "what this G10 sets is not followed")
    return block.index + 1


def _whole(word: Word | None) -> int | None:
    if word is None or word.number is None or word.number != int(word.number):
        return None
    return int(word.number)


def _set_work_offset(run: Run, block: Block, words: SortedBlock, name: str) -> None:
    """The machine value of an offset's Z from the program. X moves the axis of turning, which no
    job means: only X0 and U0 are followed."""
    for letter in ("X", "U"):
        word = words.words.get(letter)
        if word is not None and word.number != 0:
            cannot_follow(run, block, f"{word.text} would move the work offset off the axis")
    now = run.offset_values.get(name)
    if "Z" in words.words:
        value = length(run, block, words.words["Z"])
    elif "W" in words.words:
        by = length(run, block, words.words["W"])
        if now is None and name == run.own_offset and by is not None:
            # The job's part zero is where this offset stands before the program moves it.
            now = run.part_zero = 0.0
        value = None if by is None or now is None else now + by
    else:
        return
    if value is None:
        cannot_follow(run, block, f"the value that G10 gives {name} is not known")
        run.offset_values = {k: v for k, v in run.offset_values.items() if k != name}
        return
    if name == run.own_offset and run.part_zero is None:
        run.part_zero = value
        run.trust(
            f"the value that the program gives {name} on line {block.line} puts the part zero "
            "where the job has it"
        )
    standing = run.state.standing
    if standing.offset == name and standing.z is not None and standing.z != FAR:
        moved = None if now is None else standing.z + now - value
        if now is None and name == run.own_offset:
            moved = standing.z
        run.state.standing = replace(standing, z=moved)
    run.set_values[name] = value
    run.offset_values = {**run.offset_values, name: value}


def _set_tool_offset(run: Run, block: Block, words: SortedBlock) -> None:
    """A tool offset moved by U and W: later calls of it stand so much further. Absolute values
    are followed where they are 0 wear."""
    number = _whole(words.words.get("P"))
    if number is None:
        cannot_follow(run, block, "this G10 names no offset")
        return
    if number == 0:
        cannot_follow(run, block, "G10 P0 shifts every offset, which is not followed")
        return
    offset = number % _GEOMETRY_FROM
    in_use = run.tools[run.state.tool] if run.state.tool >= 0 else None
    if in_use and in_use.offset == offset and not run.state.offset_cancelled:
        cannot_follow(
            run,
            block,
            "the offset of the tool in use is changed: when the change is taken up differs between "
            "controls",
            "set the offset before the tool is called",
        )
        return
    dz, dr = run.state.offset_changes.get(offset, (0.0, 0.0))
    for letter, word in words.words.items():
        if letter not in ("X", "Z", "U", "W"):
            continue
        value = length(run, block, word)
        if value is None or (letter in ("X", "Z") and not (value == 0 and number < _GEOMETRY_FROM)):
            cannot_follow(
                run,
                block,
                f"{word.text} replaces a tool offset whose value the job does not hold",
                "set it by U and W, or measure the tool with the value in place",
                word=word,
            )
        elif letter == "U":
            dr += radial(run, value)
        elif letter == "W":
            dz += value
    if "R" in words.words or "Q" in words.words:
        cannot_follow(run, block, "G10 changes a nose radius or a tip direction: not followed")
    run.state.offset_changes = {**run.state.offset_changes, offset: (dz, dr)}


def shift_local(run: Run, block: Block, words: SortedBlock, act: Act) -> int:
    """G52: what is added to every programmed coordinate until the next G52 (X, Z), or added to what
    G52 adds already (U, W)."""
    z, r = run.state.local
    for letter, word in words.words.items():
        if letter not in ("X", "Z", "U", "W"):
            continue
        value = length(run, block, word)
        if value is None:
            cannot_follow(run, block, f"the value of {word.text} is not followed", word=word)
            continue
        if letter in "XU":
            r = radial(run, value) + (r if letter == "U" else 0.0)
        else:
            z = value + (z if letter == "W" else 0.0)
    run.state.local = (z, r)
    return block.index + 1


def set_coordinates(run: Run, block: Block, words: SortedBlock) -> None:
    """G50 or G92 with axis words: the place where the tool stands has these coordinates from now
    on.

    A place that was not known is known by it: that the tool really stands there is the setter's to
    see to, and is taken on trust.
    """
    state = run.state
    z, r = state.standing.z, state.standing.r
    named_z, named_r = state.named
    given: list[str] = []
    for letter, word in words.words.items():
        if letter not in ("X", "Z", "U", "W"):
            continue
        value = length(run, block, word)
        if value is None:
            cannot_follow(run, block, f"the value of {word.text} is not followed", word=word)
            z, r = (z, None) if letter in "XU" else (None, r)
            continue
        if letter == "U":
            named_r -= radial(run, value)
        elif letter == "W":
            named_z -= value
        elif letter == "X" and r is not None and r != FAR:
            named_r = r - radial(run, value) - state.local[1]
        elif letter == "X":
            r, named_r = radial(run, value) + state.local[1], 0.0
            given.append(f"X{word.value_text}")
        elif z is not None and z != FAR:
            named_z = z - value - state.local[0]
        else:
            z, named_z = value + state.local[0], 0.0
            given.append(f"Z{word.value_text}")
    state.named = (named_z, named_r)
    state.set_in_program = True
    if given:
        run.trust(f"the tool stands at {' '.join(given)} where line {block.line} says so")
        run.shown = False
    state.standing = Standing(z, r, state.offset)
