"""A job file with the files that it shares, as texts: read into one form, written back in place."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from standclear.job.toml_text import parse_toml
from standclear.job.writing import edited_toml, new_toml, same_values
from standclear.page.entry.entries import Form, Problem
from standclear.page.entry.shapes import form_from_job, job_from_form

SHARED = ("machine", "tools", "jaws", "shop")
"""Keys of the job that may name a file; the jaws of a set-up may too."""
HEADING = ("Lengths are in the unit named here; X values and diameters are diameters.",)
_JAWS = re.compile(r"setup\[(\d+)\]\.jaws")


@dataclass(frozen=True, slots=True)
class Documents:
    """Texts of a job's files. An empty text of the job file is a job not begun."""

    main: str
    """Name of the job file."""
    texts: Mapping[str, str]
    """File name as the job gives it -> its text, the job file's own included."""


def _tables(text: str, file: str) -> dict[str, Any]:
    """The tables of a text, whose bytes that are no UTF-8 stand in it as surrogates."""
    return parse_toml(text.encode("utf-8", "surrogateescape"), file)


def raw_of(documents: Documents) -> dict[str, Any]:
    """The tables of the job file alone. Raises FileError where it is not TOML."""
    return _tables(documents.texts[documents.main], documents.main)


def named_files(raw: Mapping[str, Any]) -> dict[str, str]:
    """Place of the form -> name of the file that a job keeps it in: `setup[1].jaws`."""
    found = {key: raw[key] for key in SHARED if isinstance(raw.get(key), str)}
    setups = raw.get("setup")
    for index, setup in enumerate(setups if isinstance(setups, list) else ()):
        jaws = setup.get("jaws") if isinstance(setup, dict) else None
        if isinstance(jaws, str):
            found[f"setup[{index}].jaws"] = jaws
    return found


def form_of_documents(documents: Documents) -> Form:
    """The whole job as the form has it. A file that is not there leaves its place empty.

    Raises FileError where one of the files is not TOML.
    """
    return form_from_job(_whole(documents))


def _whole(documents: Documents) -> dict[str, Any]:
    """The tables of the job with those of its shared files in place of their names."""
    whole = copy.deepcopy(raw_of(documents))
    for place, file in named_files(whole).items():
        holder, key = _holder(whole, place)
        text = documents.texts.get(file)
        if text is None:
            del holder[key]
        else:
            table = _tables(text, file)
            holder[key] = table.get("tools", []) if key == "tools" else table
            if isinstance(holder[key], dict):
                holder[key].pop("units", None)
    return whole


def _holder(raw: dict[str, Any], place: str) -> tuple[dict[str, Any], str]:
    match = _JAWS.fullmatch(place)
    return (raw["setup"][int(match[1])], "jaws") if match else (raw, place)


def units_by_place(documents: Documents) -> dict[str, str]:
    """Unit of each place that has a unit of its own; the empty place is the job."""
    raw = raw_of(documents)
    units = {"": str(raw.get("units", ""))}
    for place, file in named_files(raw).items():
        text = documents.texts.get(file)
        own = _tables(text, file).get("units") if text is not None else None
        if own is not None:
            units[place] = str(own)
    return units


def with_form(documents: Documents, form: Form) -> tuple[Documents, list[Problem]]:
    """The documents with what the form holds; texts that stay the same stay the same bytes.

    What a shared file held goes back into it. Two places of one file that now differ cannot both:
    the second is kept in the job itself. A file that is not there keeps its name in the job until
    something is entered in its place.
    """
    old = raw_of(documents)
    job, problems = job_from_form(form, _whole(documents))
    texts = dict(documents.texts)
    new = not documents.texts[documents.main].strip()
    if new:
        job.setdefault("machine", {})
    held: dict[str, Any] = {}
    for place, file in _places_now(old, job):
        holder, key = _holder(job, place)
        value = holder.get(key)
        if file not in texts and value is None:
            holder[key] = file
        elif (
            file in texts and value is not None and same_values(held.setdefault(file, value), value)
        ):
            texts[file] = _shared_text(texts[file], file, key, value)
            holder[key] = file
    main = documents.main
    texts[main] = new_toml(job, HEADING) if new else edited_toml(texts[main], job)
    return Documents(main, texts), problems


def _places_now(old: Mapping[str, Any], job: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Places of `job` that shared files held before, with the file; a set-up goes by its name."""
    for place, file in named_files(old).items():
        match = _JAWS.fullmatch(place)
        if match is None:
            yield place, file
            continue
        name = old["setup"][int(match[1])].get("name")
        for index, setup in enumerate(job.get("setup", ())):
            if setup.get("name") == name:
                yield f"setup[{index}].jaws", file


def _shared_text(text: str, file: str, key: str, value: Any) -> str:
    raw = _tables(text, file)
    if key == "tools":
        wanted = {**raw, "tools": value}
    else:
        wanted = {**({"units": raw["units"]} if "units" in raw else {}), **value}
    return edited_toml(text, wanted)
