"""The part of the form, given as steps, as points or by its length alone, and that of the file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from standclear.page.entry.entries import Problem
from standclear.page.entry.numbers import NotRead
from standclear.page.entry.part_reading import steps_of
from standclear.page.entry.part_rows import (
    SAGITTA_MM,
    SHARP,
    Corner,
    CornerMisfit,
    Step,
    corner_of,
    length_of,
    outline_of,
)
from standclear.page.entry.raw_numbers import is_number, points_in
from standclear.page.entry.table import part as part_table

MM_PER_INCH = 25.4


def part_in(part: dict[str, Any], sagitta: float) -> None:
    outline, length = part.get("outline"), part.get("length")
    if outline is None:
        part["given"] = part_table.LENGTH
        return
    points = points_in(outline)
    steps = None
    if points is not None and is_number(length):
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


def part_out(part: dict[str, Any], before: object, sagitta: float, problems: list[Problem]) -> None:
    given = part.pop("given", None)
    rows = part.pop("rows", None)
    if given != part_table.POINTS:
        part.pop("outline", None)
    if given != part_table.ROWS:
        return
    part.pop("length", None)
    try:
        steps = steps_in(rows or [], problems)
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
        old = points_in(before.get("outline"))
        new = points_in(part["outline"])
        if old and new and len(old) == len(new) and all(map(_near_points, old, new)):
            part["outline"] = before["outline"]


def _near_points(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return abs(one[0] - other[0]) < 1e-6 and abs(one[1] - other[1]) < 1e-6


def _keep_near(table: dict[str, Any], key: str, before: object) -> None:
    if is_number(before) and abs(float(before) - table[key]) < 1e-6:  # type: ignore[arg-type]
        table[key] = before


def steps_in(rows: object, problems: list[Problem] | None = None) -> list[Step]:
    """Steps of the rows; empty where a row misses something, which is a problem of its own."""
    steps: list[Step] = []
    whole = True
    for index, row in enumerate(rows if isinstance(rows, list) else ()):
        name = f"part.rows[{index}]"
        for key in ("diameter", "length"):
            if not is_number(row.get(key)):
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


def outline_drawn(form: Mapping[str, Any]) -> object:
    """The outline of the part as far as its steps are whole, or its points."""
    part = form.get("part")
    if not isinstance(part, dict):
        return None
    if part.get("given") != part_table.ROWS:
        return part.get("outline") if part.get("given") == part_table.POINTS else None
    rows = part.get("rows")
    for count in range(len(rows) if isinstance(rows, list) else 0, 0, -1):
        outline = _drawn(steps_in(rows[:count]) if rows else [], sagitta_of(form))
        if outline:
            return outline
    return None


def _drawn(steps: list[Step], sagitta: float) -> list[list[float]]:
    """The outline of steps, a corner that has no room left sharp; empty where there is none."""
    while steps:
        try:
            return [list(point) for point in outline_of(steps, sagitta)[0]]
        except CornerMisfit as error:
            if error.end not in ("front", "back"):
                return []
            row = steps[error.row]
            front = error.end == "front"
            steps[error.row] = replace(row, front=SHARP) if front else replace(row, back=SHARP)
    return []


def sagitta_of(job: Mapping[str, Any]) -> float:
    return SAGITTA_MM / MM_PER_INCH if job.get("units") == "inch" else SAGITTA_MM
