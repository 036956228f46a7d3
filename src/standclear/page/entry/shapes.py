"""What the form asks in words of its own, as keys of the job file, and back.

    part.given, part.rows        steps with corners         part.outline, part.length
    jaws.given, jaws.rows        steps of a jaw              jaws.profile
    tools[n].kind                what kind of tool           which of its tables is there
    setup[n].start.at, .end.at   where a program begins      which of the mark's keys is there
    variables[n]                 number and value            a table of numbers

The same holds for the jaws of a set-up.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from typing import Any

from standclear.page.entry.entries import Form, Problem
from standclear.page.entry.jaw_rows import JawStep, StepMisfit, jaw_steps_of, profile_of
from standclear.page.entry.numbers import NotRead
from standclear.page.entry.part_reading import steps_of
from standclear.page.entry.part_rows import (
    SAGITTA_MM,
    Corner,
    CornerMisfit,
    Step,
    corner_of,
    length_of,
    outline_of,
)
from standclear.page.entry.table import jaws as jaw_table
from standclear.page.entry.table import part as part_table
from standclear.page.entry.table.tools import KINDS

MARKS = ("stop", "offset", "label")
MM_PER_INCH = 25.4


def form_from_job(raw: Mapping[str, Any]) -> Form:
    """The tables of a job, shared files in place of their names, as the form has them."""
    form: Form = copy.deepcopy(dict(raw))
    if isinstance(form.get("part"), dict):
        _part_in(form["part"], _sagitta(form))
    for jaws in _jaws_tables(form):
        _jaws_in(jaws)
    for tool in _tables(form.get("tools")):
        _kind_in(tool)
    for setup in _tables(form.get("setup")):
        for key in ("start", "end"):
            if isinstance(setup.get(key), dict):
                at = [mark for mark in MARKS if mark in setup[key]]
                setup[key] = {**({"at": at[0]} if at else {}), **setup[key]}
    if isinstance(form.get("variables"), dict):
        form["variables"] = [
            {"number": int(key) if key.isdecimal() else key, "value": value}
            for key, value in form["variables"].items()
        ]
    return form


def job_from_form(form: Form, before: Mapping[str, Any]) -> tuple[Form, list[Problem]]:
    """The tables of the job file that a form stands for; `before` are those that it began from."""
    job: Form = copy.deepcopy(form)
    problems: list[Problem] = []
    if isinstance(job.get("part"), dict):
        _part_out(job["part"], before.get("part"), _sagitta(job), problems)
        if not job["part"]:
            del job["part"]
    _jaws_out(job, before, "", problems)
    old_setups = before.get("setup")
    for index, setup in enumerate(_tables(job.get("setup"))):
        _jaws_out(setup, _at(old_setups, index), f"setup[{index}].", problems)
        for key in ("start", "end"):
            _mark_out(setup, key)
    for tool in _tables(job.get("tools")):
        kind = tool.pop("kind", None)
        for other in KINDS:
            if kind and other != kind:
                tool.pop(other, None)
        if kind and kind != "insert":
            tool.pop("holder", None)
    _variables_out(job, problems)
    return job, problems


def owner_of(form: Mapping[str, Any], key: str, index: int) -> int | None:
    """The row of the form that made point `index` of `part.outline`, `jaws.profile` or
    `setup[1].jaws.profile`; None where it is not made of rows."""
    try:
        if key == "part.outline":
            _, owners = outline_of(_steps(form["part"]["rows"]), _sagitta(form))
        else:
            holder: Any = form
            if key.startswith("setup["):
                holder = form["setup"][int(key[6 : key.index("]")])]
            _, owners = profile_of(_jaw_steps(holder["jaws"]["rows"]))
    except (KeyError, IndexError, TypeError, ValueError):
        return None
    return owners[index] if index < len(owners) else None


def outline_drawn(form: Mapping[str, Any]) -> object:
    """The outline of the part as far as its steps are whole, or its points."""
    part = form.get("part")
    if not isinstance(part, dict):
        return None
    if part.get("given") != part_table.ROWS:
        return part.get("outline") if part.get("given") == part_table.POINTS else None
    rows = part.get("rows")
    for count in range(len(rows) if isinstance(rows, list) else 0, 0, -1):
        steps = _steps(rows[:count]) if rows else []
        try:
            outline, _ = outline_of(steps, _sagitta(form))
        except CornerMisfit:
            continue
        if outline:
            return [list(point) for point in outline]
    return None


def profile_in(jaws: object) -> object:
    """The profile of jaws of the form, as far as they are whole."""
    if not isinstance(jaws, dict) or jaws.get("given") != jaw_table.ROWS:
        points = jaws.get("profile") if isinstance(jaws, dict) else None
        return points if isinstance(jaws, dict) and jaws.get("given") == jaw_table.POINTS else None
    try:
        profile, _ = profile_of(_jaw_steps(jaws.get("rows")))
    except StepMisfit:
        return None
    return [list(point) for point in profile]


def _sagitta(job: Mapping[str, Any]) -> float:
    return SAGITTA_MM / MM_PER_INCH if job.get("units") == "inch" else SAGITTA_MM


def _tables(value: object) -> list[dict[str, Any]]:
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def _at(value: object, index: int) -> dict[str, Any]:
    found = value[index] if isinstance(value, list) and index < len(value) else None
    return found if isinstance(found, dict) else {}


def _jaws_tables(form: Form) -> Iterator[dict[str, Any]]:
    for holder in (form, *_tables(form.get("setup"))):
        if isinstance(holder.get("jaws"), dict):
            yield holder["jaws"]


def _points(value: object) -> list[tuple[float, float]] | None:
    """Points of a raw list; None where it holds anything else."""
    if not isinstance(value, list) or not value:
        return None
    points = []
    for each in value:
        if not (isinstance(each, list) and len(each) == 2 and all(map(_is_number, each))):
            return None
        points.append((float(each[0]), float(each[1])))
    return points


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _part_in(part: dict[str, Any], sagitta: float) -> None:
    outline, length = part.get("outline"), part.get("length")
    if outline is None:
        part["given"] = part_table.LENGTH
        return
    points = _points(outline)
    steps = None
    if points is not None and _is_number(length):
        steps = steps_of(points, float(length or 0.0), sagitta)
    if steps is None:
        part["given"] = part_table.POINTS
        return
    del part["outline"], part["length"]
    part["given"] = part_table.ROWS
    part["rows"] = [_row_of(step) for step in steps]


def _row_of(step: Step) -> dict[str, Any]:
    row: dict[str, Any] = {"diameter": step.diameter}
    if step.to is not None:
        row["to"] = step.to
    row["length"] = step.length
    for key, corner in (("front", step.front), ("back", step.back)):
        if corner.size:
            row[key] = corner.words
    return row


def _part_out(
    part: dict[str, Any], before: object, sagitta: float, problems: list[Problem]
) -> None:
    given = part.pop("given", None)
    rows = part.pop("rows", None)
    if given != part_table.POINTS:
        part.pop("outline", None)
    if given != part_table.ROWS:
        return
    part.pop("length", None)
    try:
        steps = _steps(rows or [], problems)
        if not steps:
            return
        outline, _ = outline_of(steps, sagitta)
    except CornerMisfit as error:
        name = f"part.rows[{error.row}].{error.end}"
        problems.append(Problem(name, error.found, error.accepted))
        return
    part["length"] = length_of(steps)
    part["outline"] = [list(point) for point in outline]
    if isinstance(before, dict):
        _keep_near(part, "length", before.get("length"))
        old = _points(before.get("outline"))
        new = _points(part["outline"])
        if old and new and len(old) == len(new) and all(map(_near_points, old, new)):
            part["outline"] = before["outline"]


def _near_points(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return abs(one[0] - other[0]) < 1e-6 and abs(one[1] - other[1]) < 1e-6


def _keep_near(table: dict[str, Any], key: str, before: object) -> None:
    if _is_number(before) and abs(float(before) - table[key]) < 1e-6:  # type: ignore[arg-type]
        table[key] = before


def _steps(rows: object, problems: list[Problem] | None = None) -> list[Step]:
    """Steps of the rows; empty where a row misses something, which is a problem of its own."""
    steps: list[Step] = []
    whole = True
    for index, row in enumerate(rows if isinstance(rows, list) else ()):
        name = f"part.rows[{index}]"
        for key in ("diameter", "length"):
            if not _is_number(row.get(key)):
                whole = False
                if problems is not None:
                    problems.append(Problem(f"{name}.{key}", "missing", "give a number"))
        corners: dict[str, Corner] = {}
        for key in ("front", "back"):
            try:
                corners[key] = corner_of(str(row.get(key, "")))
            except NotRead as error:
                whole = False
                if problems is not None:
                    found = f'"{row[key]}"'
                    problems.append(Problem(f"{name}.{key}", found, error.accepted))
        if whole:
            to = row.get("to")
            steps.append(Step(row["diameter"], row["length"], to, **corners))
    return steps if whole else []


def _jaws_in(jaws: dict[str, Any]) -> None:
    points = _points(jaws.get("profile"))
    steps = jaw_steps_of(points) if points else None
    if steps is None:
        jaws["given"] = jaw_table.POINTS
        return
    del jaws["profile"]
    jaws["given"] = jaw_table.ROWS
    jaws["rows"] = [
        {
            "length": step.length,
            "height": step.height,
            **({"relief": step.relief} if step.relief else {}),
        }
        for step in steps
    ]


def _jaws_out(
    holder: dict[str, Any], before: Mapping[str, Any], where: str, problems: list[Problem]
) -> None:
    jaws = holder.get("jaws")
    if not isinstance(jaws, dict):
        return
    given = jaws.pop("given", None)
    rows = jaws.pop("rows", None)
    if given not in (jaw_table.ROWS, jaw_table.POINTS):
        del holder["jaws"]
        return
    if given == jaw_table.POINTS:
        return
    jaws.pop("profile", None)
    try:
        steps = _jaw_steps(rows, f"{where}jaws", problems)
        if not steps:
            return
        profile, _ = profile_of(steps)
    except StepMisfit as error:
        name = f"{where}jaws.rows[{error.row}].{error.key}"
        problems.append(Problem(name, error.found, error.accepted))
        return
    old = before.get("jaws")
    old_points = _points(old.get("profile")) if isinstance(old, dict) else None
    if old_points and jaw_steps_of(old_points) == steps and isinstance(old, dict):
        jaws["profile"] = old["profile"]
    else:
        jaws["profile"] = [list(point) for point in profile]


def _jaw_steps(
    rows: object, where: str = "", problems: list[Problem] | None = None
) -> list[JawStep]:
    steps = []
    whole = True
    for index, row in enumerate(rows if isinstance(rows, list) else ()):
        for key in ("length", "height"):
            if not _is_number(row.get(key)):
                whole = False
                if problems is not None:
                    name = f"{where}.rows[{index}].{key}"
                    problems.append(Problem(name, "missing", "give a number"))
        if whole:
            steps.append(JawStep(row["length"], row["height"], row.get("relief", 0.0)))
    return steps if whole else []


def _kind_in(tool: dict[str, Any]) -> None:
    kinds = [kind for kind in KINDS if kind in tool]
    if not kinds and "holder" in tool:
        kinds = ["insert"]
    if len(kinds) == 1:
        tool["kind"] = kinds[0]


def _mark_out(setup: dict[str, Any], key: str) -> None:
    mark = setup.get(key)
    if not isinstance(mark, dict):
        return
    at = mark.pop("at", None)
    for other in MARKS:
        if other != at and at is not None:
            mark.pop(other, None)
    if at != "label":
        mark.pop("reached", None)
    if not mark and at is None:
        del setup[key]


def _variables_out(job: Form, problems: list[Problem]) -> None:
    rows = job.get("variables")
    if not isinstance(rows, list):
        return
    found: dict[str, Any] = {}
    for index, row in enumerate(rows):
        name = f"variables[{index}]"
        for key in ("number", "value"):
            if key not in row:
                problems.append(Problem(f"{name}.{key}", "missing", "give a number"))
        if "number" in row and "value" in row:
            key = str(row["number"])
            if key in found:
                problems.append(
                    Problem(f"{name}.number", f"{key} a second time", "give each number once")
                )
            found[key] = row["value"]
    job["variables"] = found
    if not found:
        del job["variables"]
