"""What answers say of the job file, in the words of the form, and where on the form it is asked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache

from standclear.errors import Fault
from standclear.findings.finding import Finding
from standclear.page.entry.entries import whole_form
from standclear.page.entry.fault_places import MISSING
from standclear.page.entry.field import Field, Group
from standclear.page.entry.naming import label_of, place_at
from standclear.page.entry.table.control import MACHINE

GUESS = "guess-not-confirmed"
_KEY = re.compile(r"`(\w+)`")
_PLACE = re.compile(r"\b(?:blank|part|machine|jaws|setup|tools)(?:\[\d+\])?(?:\.\w+(?:\[\d+\])?)+")


def behaviour_words(values: Sequence[str]) -> list[str]:
    """Question and answer for each `row=value` of a reading."""
    return [_asked().get(value, value.replace("=", ": ")) for value in values]


def in_form_words(text: str) -> str:
    """A sentence with the keys of the job file called as the form calls them."""
    keyed = _KEY.sub(lambda m: f"'{_labels()[m[1]]}'" if m[1] in _labels() else m[0], text)
    return _PLACE.sub(lambda m: f"'{label_of(m[0])}'" if place_at(m[0]) else m[0], keyed)


def fault_words(fault: Fault, job_file: str) -> str:
    """A fault of the job as the form would say it; of another file, or of a key that the form does
    not know, as it is told everywhere."""
    place = place_at(fault.key) if fault.key and fault.file == job_file else None
    if place is None:
        return str(fault)
    label = label_of(fault.key).rstrip("?")
    if fault.found == MISSING:
        return f"{label}: still to be filled in"
    return in_form_words(f"{label}: {fault.found}: {fault.accepted}")


def step_of(finding: Finding, way_open: bool) -> tuple[str, str]:
    """The step of the form that settles a finding, and what is to be done there; two empty texts
    where there is none. `way_open`: its motion goes one of several ways."""
    if finding.code == GUESS:
        return "guesses", "Confirm the guesses"
    if finding.tags or way_open:
        return "machine", "Say how the control does it"
    return "", ""


@cache
def _asked() -> dict[str, str]:
    return {
        f"{field.key}={choice.value}": f"{field.label} {choice.words}"
        for group in MACHINE.groups
        for field in group.fields
        for choice in field.choices
    }


@cache
def _labels() -> dict[str, str]:
    """Key of a field or group -> its words, of the first one that has it."""
    found: dict[str, str] = {}
    for each in _places(whole_form()):
        found.setdefault(each.key, each.label if isinstance(each, Field) else each.title)
    return found


def _places(group: Group) -> Iterator[Field | Group]:
    yield from group.fields
    for inner in group.groups:
        yield inner
        yield from _places(inner)
