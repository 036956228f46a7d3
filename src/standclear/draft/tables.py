"""The tables of a drafted job file, each value with what it was guessed from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from standclear.draft.guess import Guess, Unit
from standclear.draft.job_text import Row, Table, guessed
from standclear.draft.motion_facts import SpanFacts
from standclear.draft.provisional import mark_of
from standclear.draft.reading import Told
from standclear.draft.sizes import Sizes
from standclear.draft.spans import Cut, Span
from standclear.draft.tool_kinds import ToolGuess

NO_JAWS = "No jaws are guessed: give jaws, seat and grip_diameter to have them examined."
MOST_LINES = 12
CHANGE_BEYOND_MM = 10.0
"""How far beyond the bar a place of tool changes must lie to be offered as a safe one."""


def heading(program: str) -> tuple[str, ...]:
    """The first lines of the file."""
    return (
        f"A job drafted from {program}. Lengths are in the unit named here; X values and diameters",
        "are diameters. What the program does not say is guessed: each guess says from what.",
    )


def top(title: str, units: Told, subprograms: Sequence[str]) -> Table:
    """Title, unit, and files with subprograms."""
    rows = [Row("title", title)]
    if units.sure:
        rows.append(Row("units", units.value, f"from {units.because}"))
    else:
        rows.append(guessed("units", Guess(units.value, units.because)))
    if subprograms:
        rows.append(Row("subprograms", list(subprograms), "what is called stands there"))
    return Table("", (), tuple(rows))


def blank_and_part(sizes: Sizes) -> tuple[Table, Table]:
    """The blank and the finished part."""
    shape = Guess("round", "most bar is")
    blank = (
        guessed("size", sizes.bar, "blank"),
        guessed("length", sizes.blank_length, "blank"),
        guessed("shape", shape, "blank"),
    )
    bounds = "Give the bounds that you can measure too: size_tolerance, length_tolerance, run_out."
    part = (guessed("length", sizes.part_length, "part"),)
    return Table("[blank]", (bounds,), blank), Table("[part]", (), part)


def machine(
    facts: Sequence[SpanFacts], control: Mapping[str, Told], bar_mm: float, unit: Unit
) -> tuple[Table, Table]:
    """The machine and the rows of its control that the program tells of."""
    rows = [guessed("home", Guess("beyond", "home usually lies beyond the work"), "machine")]
    if any(told.value == "increment" for told in control.values()):
        step = Guess(0.0001 if unit.inch else 0.001, "most controls count so; words have no point")
        rows.append(guessed("increment", step, "machine"))
    if any(span.second_home for span in facts):
        second = Guess("beyond", "the program goes there to change tools")
        rows.append(guessed("second_home", second, "machine"))
    changes = [place for span in facts for place in span.changes]
    least_z = min((z for z, _ in changes), default=0.0)
    least_r = min((r for _, r in changes), default=0.0)
    words = "tools are changed there"
    if changes and least_r > bar_mm / 2 + CHANGE_BEYOND_MM:
        rows.append(guessed("safe_x", Guess(unit.out(2 * least_r), words), "machine"))
    if changes and least_z > CHANGE_BEYOND_MM:
        rows.append(guessed("safe_z", Guess(unit.out(least_z), words), "machine"))
    stated = tuple(
        guessed(key, Guess(told.value, told.because), "machine.control")
        for key, told in control.items()
    )
    above = "A behaviour of the control that is left out is not guessed: every value is proved."
    return Table("[machine]", (), tuple(rows)), Table("[machine.control]", (above,), stated)


def tool_tables(tools: Sequence[ToolGuess]) -> Iterator[Table]:
    """A table for each tool; it is guessed as a whole."""
    stations = [tool.station for tool in tools]
    for index, tool in enumerate(tools):
        alone = stations.count(tool.station) == 1
        rows = [Row("station", tool.station)]
        if tool.offset != tool.station:
            rows.append(Row("offset", tool.offset))
        rows.append(Row("name", tool.name))
        rows += [Row(key, value) for key, value in tool.table.items()]
        name = f"tools.T{tool.station}" if alone else f"tools[{index}]"
        why = f"guess: {tool.because}"
        if not tool.named:
            why += "; the tool itself is one of the usual"
        yield Table("[[tools]]", (why,), tuple(rows), name)


def setup_tables(
    spans: Sequence[tuple[str, Span]], stays: Sequence[int], sizes: Sizes
) -> Iterator[Table]:
    """The set-ups: the name of the program of each, and its span. `stays` are the lines of stops
    at which the part is taken to stay in the chuck."""
    for index, (program, span) in enumerate(spans):
        where = f"setup[{index}]"
        rows = [Row("name", _name(index)), Row("program", program)]
        if span.begins is not None:
            rows.append(_mark("start", span.begins, where))
        if span.ends is not None:
            rows.append(_mark("end", span.ends, where))
        if index:
            why = span.begins.because if span.begins else "a program of its own"
            rows.append(guessed("turned", Guess(True, why), where))
        rows.append(Row("offset", span.offset))
        if index == 0:
            above = (_how_many(len(spans), stays), NO_JAWS)
            yield Table("[[setup]]", above, tuple(rows), "setup")
        else:
            yield Table("[[setup]]", (), tuple(rows))
        yield Table("[setup.zero]", (), _zero(index, sizes, where))


def _how_many(count: int, stays: Sequence[int]) -> str:
    said = "one clamping" if count == 1 else f"{count} clampings"
    lines = ", ".join(f"{line}" for line in stays[:MOST_LINES])
    if not lines:
        return f"guess: {said}"
    more = f" and {len(stays) - MOST_LINES} more" if len(stays) > MOST_LINES else ""
    return f"guess: {said}; the part is taken to stay at the stops on lines {lines}{more}"


def _zero(index: int, sizes: Sizes, where: str) -> tuple[Row, ...]:
    inner = f"{where}.zero"
    if index % 2:
        way = Guess("measured", "the length is measured and keyed in for most second ends")
        return (guessed("way", way, inner),)
    if index:
        way = Guess("finished-on-stop", "the part is turned round once more")
        return (guessed("way", way, inner),)
    way = Guess("touch", "most raw faces are touched")
    return guessed("way", way, inner), guessed("face_allowance", sizes.allowances[0], inner)


def _mark(key: str, cut: Cut, where: str) -> Row:
    return Row(key, mark_of(cut), f"guess: {cut.because}", f"{where}.{key}")


def _name(index: int) -> str:
    return ("first end", "second end")[index] if index < 2 else f"set-up {index + 1}"
