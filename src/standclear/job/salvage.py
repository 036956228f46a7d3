"""Reading a raw table so that one fault does not hide the next.

Where pydantic refuses a table, what is sound of it still goes through the checks between keys
(`standclear.job.checks`), so that all faults are reported together.
"""

from __future__ import annotations

from typing import Any, TypeVar, get_args, get_origin

from pydantic import ValidationError

from standclear.job.models import Table
from standclear.job.wording import Flaw, Place, alternatives, flaws_of

AnyTable = TypeVar("AnyTable", bound=Table)
"""Any table of the job."""


def read_table(model: type[AnyTable], raw: object) -> tuple[AnyTable, list[Flaw]]:
    """`raw` as a `model` and the flaws found in it.

    With flaws, the table is for the checks between keys alone: keys at fault are absent from it,
    and asking for one raises AttributeError.
    """
    try:
        return model.model_validate(raw), []
    except ValidationError as error:
        flaws = list(flaws_of(error, model, raw))
        return _salvaged(model, raw, {flaw.place for flaw in flaws}), flaws


def _salvaged(model: type[AnyTable], raw: object, bad: set[Place]) -> AnyTable:
    """A `model` with what is sound in `raw`; every key at fault or missing is absent."""
    values = raw if isinstance(raw, dict) else {}
    sound: dict[str, object] = {}
    absent = set() if isinstance(raw, dict) else set(model.model_fields)
    for name, field in model.model_fields.items():
        if (name,) in bad:
            absent.add(name)
        elif name in values:
            try:
                sound[name] = _salvaged_value(field.annotation, values[name], _below(bad, name))
            except _NothingSound:
                absent.add(name)
    table = model.model_construct(None, **sound)
    for name in absent:
        table.__dict__.pop(name, None)
    return table


class _NothingSound(Exception):
    """A list of plain values with a fault in one: the list as a whole cannot be judged."""


def _salvaged_value(hint: Any, value: object, bad: set[Place]) -> object:
    """Raises _NothingSound."""
    for each in alternatives(hint):
        if isinstance(each, type) and issubclass(each, Table) and isinstance(value, dict):
            return _salvaged(each, value, bad)
        if get_origin(each) is list and isinstance(value, list):
            item = get_args(each)[0]
            table = next(alternatives(item), None)
            if isinstance(table, type) and issubclass(table, Table):
                return [_salvaged(table, raw, _below(bad, i)) for i, raw in enumerate(value)]
    if bad:
        raise _NothingSound
    return value


def _below(bad: set[Place], part: str | int) -> set[Place]:
    return {place[1:] for place in bad if place[:1] == (part,)}
