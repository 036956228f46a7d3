"""Jaws of the form, given as steps or as points, and those of the file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from standclear.page.entry.entries import Problem
from standclear.page.entry.jaw_rows import JawStep, StepMisfit, jaw_steps_of, profile_of
from standclear.page.entry.raw_numbers import is_number, points_in
from standclear.page.entry.table import jaws as jaw_table


def jaws_in(jaws: dict[str, Any]) -> None:
    points = points_in(jaws.get("profile"))
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


def jaws_out(
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
        steps = jaw_steps_in(rows, f"{where}jaws", problems)
        if not steps:
            return
        profile, _ = profile_of(steps)
    except StepMisfit as error:
        name = f"{where}jaws.rows[{error.row}].{error.key}"
        problems.append(Problem(name, error.found, error.accepted))
        return
    old = before.get("jaws")
    old_points = points_in(old.get("profile")) if isinstance(old, dict) else None
    if old_points and jaw_steps_of(old_points) == steps and isinstance(old, dict):
        jaws["profile"] = old["profile"]
    else:
        jaws["profile"] = [list(point) for point in profile]


def jaw_steps_in(
    rows: object, where: str = "", problems: list[Problem] | None = None
) -> list[JawStep]:
    steps = []
    whole = True
    for index, row in enumerate(rows if isinstance(rows, list) else ()):
        for key in ("length", "height"):
            if not is_number(row.get(key)):
                whole = False
                if problems is not None:
                    name = f"{where}.rows[{index}].{key}"
                    problems.append(Problem(name, "missing", "give a number"))
        if whole:
            steps.append(JawStep(row["length"], row["height"], row.get("relief", 0.0)))
    return steps if whole else []


def profile_in(jaws: object) -> object:
    """The profile of jaws of the form, as far as they are whole."""
    if not isinstance(jaws, dict) or jaws.get("given") != jaw_table.ROWS:
        points = jaws.get("profile") if isinstance(jaws, dict) else None
        return points if isinstance(jaws, dict) and jaws.get("given") == jaw_table.POINTS else None
    try:
        profile, _ = profile_of(jaw_steps_in(jaws.get("rows")))
    except StepMisfit:
        return None
    return [list(point) for point in profile]
