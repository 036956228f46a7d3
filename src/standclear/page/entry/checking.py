"""What is wrong with a job that is being typed, each fault at the place of the form it is about."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from standclear.errors import Fault, JobError
from standclear.job.checks import table_flaws
from standclear.job.models import Tool
from standclear.job.read import read_job
from standclear.job.salvage import read_table
from standclear.job.units import Units, to_millimetres
from standclear.job.wording import shown
from standclear.page.entry.documents import Documents, named_files, raw_of
from standclear.page.entry.entries import Form, Problem, is_pair, whole_form
from standclear.page.entry.fault_places import MISSING, chosen_at, name_of, place_of, slots_of
from standclear.page.entry.field import Field, Group, joined
from standclear.page.entry.naming import place_at
from standclear.page.entry.table import jaws as jaw_table
from standclear.page.entry.table import part as part_table

_ROW = re.compile(r"\b(tools|setup)\[(\d+)\]")
_BARE = ("give text", "give a list", "give a table", "give a number", "give a whole")
"""Beginnings of what is asked for where only the kind of a value is known."""
_ROWS = {"tools": "tool", "setup": "set-up"}


@dataclass(frozen=True, slots=True)
class Checked:
    """What a look at the whole job found."""

    problems: tuple[Problem, ...]
    """At places of the form. The empty name stands for the job as a whole."""

    @property
    def wrong(self) -> tuple[Problem, ...]:
        """Those that are not just still to be filled in."""
        return tuple(each for each in self.problems if each.found != MISSING)

    @property
    def missing(self) -> tuple[Problem, ...]:
        """Those still to be filled in."""
        return tuple(each for each in self.problems if each.found == MISSING)


def checked(
    documents: Documents,
    form: Form,
    read: Iterable[Problem],
    programs: Mapping[str, bytes],
) -> Checked:
    """Everything wrong with `documents`, which hold `form`.

    `read` are the problems of the entries themselves; a place has the first of its problems alone.
    `programs` are the other files beside the job that it may name.
    """
    first: dict[str, Problem] = {}
    for problem in (
        *read,
        *_needed(whole_form(), "", form, True),
        *_chosen(form),
        *_designations(form),
        *_of_tools(form),
    ):
        first.setdefault(problem.name, problem)
    slots = slots_of(form)
    for fault in _faults(documents, programs):
        if fault.found == SHAPELESS and _said_below(place_of(fault, documents, form), first):
            continue
        name = name_of(fault, documents, form, slots)
        if name not in first and not _said_below(name, first):
            first[name] = _in_words_of_form(_problem(name, fault, documents, form))
    return Checked(tuple(first.values()))


def _problem(name: str, fault: Fault, documents: Documents, form: Form) -> Problem:
    if fault.found != UNKNOWN:
        return Problem(name, fault.found, fault.accepted)
    key = place_of(fault, documents, form)
    return Problem(name, f"{key.rpartition('.')[2]} is {UNKNOWN}", fault.accepted, key)


UNKNOWN = "not a known key"
SHAPELESS = "without a shape"
"""Of a tool of which nothing is given yet; its fields say what they ask for."""
_WAY = re.compile(r'(?P<needed>, as )?way "(?P<way>[\w-]+)"(?P<tail> needs it)?')


def _said_below(name: str, first: Mapping[str, Problem]) -> bool:
    """Whether a part of the place has a problem of its own, which says more than one of it all."""
    return bool(name) and any(each.startswith((f"{name}.", f"{name}[")) for each in first)


def _in_words_of_form(problem: Problem) -> Problem:
    """Choices in the words of the form in place of those of the file, rows counted from 1."""
    place = place_at(problem.name)
    field = place if isinstance(place, Field) else None
    if problem.found == MISSING and problem.accepted.startswith(_BARE):
        asked = "choose one" if field and field.choices else "fill this in"
        if isinstance(place, Group) and place.many:
            asked = f"add a {place.row}"
        return Problem(problem.name, MISSING, asked)
    texts = []
    for said in (problem.found, problem.accepted):
        text = _WAY.sub(_way_in_words, said)
        for choice in field.choices if field else ():
            text = text.replace(f'"{choice.value}"', f"'{choice.words}'")
        texts.append(_ROW.sub(lambda m: f"{_ROWS[m[1]]} {int(m[2]) + 1}", text))
    return replace(problem, found=texts[0], accepted=texts[1])


def _way_in_words(match: re.Match[str]) -> str:
    """How part zero is set, in the words of the form; nothing where the field itself says it."""
    if match["needed"] and match["tail"]:
        return ""
    field = place_at("setup[0].zero.way")
    choices = field.choices if isinstance(field, Field) else ()
    words = next((each.words for each in choices if each.value == match["way"]), match["way"])
    return f"'{words}'"


DEEP = "a/b/c/d/e/f/g/h"
"""Where the job lies in the folder that it is read from, so that names with `..` stay in it."""


def _faults(documents: Documents, programs: Mapping[str, bytes]) -> tuple[Fault, ...]:
    """What reading the job from a disk says, as the command line would."""
    with tempfile.TemporaryDirectory(prefix="standclear-") as folder:
        root = Path(folder).resolve()
        job = root / DEEP
        job.mkdir(parents=True)
        texts = {name: text.encode("utf-8") for name, text in documents.texts.items()}
        for name, data in {**programs, **texts}.items():
            path = _inside(root, job, name)
            if path is not None:
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
        outside = tuple(_leading_out(documents, root, job))
        if outside:
            return outside
        try:
            read_job(job / documents.main)
        except JobError as error:
            return error.faults
    return ()


def _inside(root: Path, job: Path, name: str) -> Path | None:
    """Where a file beside the job lies; None for a name that leads out of `root`."""
    try:
        path = (job / name).resolve()
    except (OSError, ValueError):
        return None
    return path if path.is_relative_to(root) and path not in (root, job) else None


def _leading_out(documents: Documents, root: Path, job: Path) -> Iterator[Fault]:
    """Faults of names that lead out of the folder: nothing there is read."""
    raw = raw_of(documents)
    named: list[tuple[str, object]] = list(named_files(raw).items())
    others = raw.get("subprograms")
    for index, name in enumerate(others if isinstance(others, list) else ()):
        named.append((f"subprograms[{index}]", name))
    setups = raw.get("setup")
    for index, setup in enumerate(setups if isinstance(setups, list) else ()):
        named.append((f"setup[{index}].program", chosen_at(setup, "program")))
    for key, name in named:
        if isinstance(name, str) and name and _inside(root, job, name) is None:
            accepted = "give the name of a file beside the job"
            yield Fault(documents.main, key, f"{shown(name)}, outside the folder of jobs", accepted)


def _needed(group: Group, name: str, value: object, there: bool) -> Iterator[Problem]:
    """Fields of `group` that cannot be left empty, in what is there of it."""
    for field in group.fields:
        shown = field.shown is None or chosen_at(value, field.shown.key) in field.shown.values
        empty = not isinstance(value, Mapping) or field.key not in value
        if there and field.needed and shown and empty and field.key and not is_pair(group):
            accepted = "choose one" if field.choices else "fill this in"
            yield Problem(joined(name, field.key), MISSING, accepted)
    for inner in group.groups:
        below = value.get(inner.key) if isinstance(value, Mapping) else None
        inner_name = joined(name, inner.key)
        if inner.many:
            for index, row in enumerate(below if isinstance(below, list) else ()):
                yield from _needed(inner, f"{inner_name}[{index}]", row, True)
        else:
            hidden = inner.shown and chosen_at(value, inner.shown.key) not in inner.shown.values
            yield from _needed(inner, inner_name, below, there and not hidden)


def _chosen(form: Form) -> Iterator[Problem]:
    """Lists that a choice of the form asks for and that have no row yet."""
    part = form.get("part")
    given = chosen_at(part, "given")
    for key, rows in ((part_table.ROWS, "rows"), (part_table.POINTS, "outline")):
        if given == key and not chosen_at(part, rows):
            yield Problem(f"part.{rows}", MISSING, "give one row or more")
    for name, holder in _holders(form):
        jaws = holder.get("jaws")
        for key, rows in ((jaw_table.ROWS, "rows"), (jaw_table.POINTS, "profile")):
            if chosen_at(jaws, "given") == key and not chosen_at(jaws, rows):
                yield Problem(joined(name, f"jaws.{rows}"), MISSING, "give one row or more")


def _designations(form: Form) -> Iterator[Problem]:
    """Insert and holder of a tool that is said to be given by them."""
    tools = form.get("tools")
    for index, tool in enumerate(tools if isinstance(tools, list) else ()):
        for key in ("insert", "holder"):
            if chosen_at(tool, "kind") == "insert" and not chosen_at(tool, key):
                yield Problem(f"tools[{index}].{key}", MISSING, "give its designation")


def _holders(form: Form) -> Iterator[tuple[str, dict[str, Any]]]:
    yield "", form
    setups = form.get("setup")
    for index, setup in enumerate(setups if isinstance(setups, list) else ()):
        if isinstance(setup, dict):
            yield f"setup[{index}]", setup


def _of_tools(form: Form) -> Iterator[Problem]:
    """What the shapes of the tools say: a designation that does not follow its standard, an insert
    that does not fit its holder."""
    from standclear.tools.build import tool_shape
    from standclear.tools.errors import DesignationError, ToolError

    units: Units = "inch" if form.get("units") == "inch" else "mm"
    tools = form.get("tools")
    for index, raw in enumerate(tools if isinstance(tools, list) else ()):
        tool = tool_in_mm(raw, units)
        if tool is None:
            continue
        name = f"tools[{index}]"
        try:
            tool_shape(tool)
        except DesignationError as error:
            key = "holder" if tool.holder and str(error).startswith(tool.holder) else "insert"
            position = f" at position {error.position}" if error.position else ""
            found = f'"{error.found}"{position}' if error.found else f"cut short{position}"
            accepted = ", ".join(error.accepted[:12]) + (" ..." if len(error.accepted) > 12 else "")
            yield Problem(f"{name}.{key}", found, f"give one of {accepted}")
        except ToolError as error:
            key = "holder" if tool.insert else "kind"
            yield Problem(f"{name}.{key}", str(error), "check the two against each other")


def tool_in_mm(raw: object, units: Units) -> Tool | None:
    """A tool of the form in millimetres; None while it is not whole."""
    if not isinstance(raw, dict):
        return None
    kind = raw.get("kind")
    if kind is None or kind not in raw or (kind == "insert" and "holder" not in raw):
        return None
    plain = {key: value for key, value in raw.items() if key in Tool.model_fields}
    for other in ("insert", "grooving", "threading", "drill", "tap", "outline"):
        if other != kind:
            plain.pop(other, None)
    if kind != "insert":
        plain.pop("holder", None)
    plain.setdefault("station", 0)
    tool, flaws = read_table(Tool, plain)
    if flaws or any(table_flaws(tool, units, partial=False)):
        return None
    return to_millimetres(tool, units, units)
