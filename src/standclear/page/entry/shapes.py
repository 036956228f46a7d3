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
from standclear.page.entry.jaw_rows import profile_of
from standclear.page.entry.jaw_shape import jaw_steps_in, jaws_in, jaws_out
from standclear.page.entry.part_rows import outline_of
from standclear.page.entry.part_shape import part_in, part_out, sagitta_of, steps_in
from standclear.page.entry.table.tools import KINDS

MARKS = ("stop", "offset", "label")


def form_from_job(raw: Mapping[str, Any]) -> Form:
    """The tables of a job, shared files in place of their names, as the form has them."""
    form: Form = copy.deepcopy(dict(raw))
    if isinstance(form.get("part"), dict):
        part_in(form["part"], sagitta_of(form))
    for jaws in _jaws_tables(form):
        jaws_in(jaws)
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
        part_out(job["part"], before.get("part"), sagitta_of(job), problems)
        if not job["part"]:
            del job["part"]
    jaws_out(job, before, "", problems)
    old_setups = before.get("setup")
    for index, setup in enumerate(_tables(job.get("setup"))):
        jaws_out(setup, _at(old_setups, index), f"setup[{index}].", problems)
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
            _, owners = outline_of(steps_in(form["part"]["rows"]), sagitta_of(form))
        else:
            holder: Any = form
            if key.startswith("setup["):
                holder = form["setup"][int(key[6 : key.index("]")])]
            _, owners = profile_of(jaw_steps_in(holder["jaws"]["rows"]))
    except (KeyError, IndexError, TypeError, ValueError):
        return None
    return owners[index] if index < len(owners) else None


def _tables(value: object) -> list[dict[str, Any]]:
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def _at(value: object, index: int) -> dict[str, Any]:
    found = value[index] if isinstance(value, list) and index < len(value) else None
    return found if isinstance(found, dict) else {}


def _jaws_tables(form: Form) -> Iterator[dict[str, Any]]:
    for holder in (form, *_tables(form.get("setup"))):
        if isinstance(holder.get("jaws"), dict):
            yield holder["jaws"]


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
