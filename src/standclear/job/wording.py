"""Faults of a table of the job in our own words: what was found, what is accepted."""

from __future__ import annotations

import difflib
import types
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from annotated_types import Ge, Gt, Le, MinLen
from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from standclear.job.models import FILE_TAG, INLINE_TAG, Form, Table

Place = tuple[str | int, ...]
"""Keys and list indices from a table down to a value."""

LONGEST_SHOWN = 40
"""Characters of a value that a message quotes."""
DEEPEST_SHOWN = 3
"""Lists within lists that a message quotes; a point in an outline is the second."""


@dataclass(frozen=True, slots=True)
class Flaw:
    """A fault before it has a file: place in its table, what was found, what is accepted."""

    place: Place
    found: str
    accepted: str


def flaws_of(error: ValidationError, model: type[Table], raw: object) -> Iterator[Flaw]:
    """The flaws that pydantic found in `raw` as a `model`, in the order of the file."""
    for detail in error.errors(include_url=False, include_context=False, include_input=False):
        place = tuple(part for part in detail["loc"] if part not in (INLINE_TAG, FILE_TAG))
        kind = detail["type"]
        if kind == "extra_forbidden":
            holder = _field_at(model, place[:-1])
            yield Flaw(place, "not a known key", _nearest(str(place[-1]), holder))
            continue
        accepted = f"give {_accepted(_field_at(model, place))}"
        if kind == "missing":
            yield Flaw(place, "missing", accepted)
        else:
            yield Flaw(place, shown(_value_at(raw, place)), accepted)


def missing(model: type[Table], place: Place) -> Flaw:
    """The flaw of a key of `model` that may be left out, and may not be here."""
    return Flaw(place, "missing", f"give {_accepted(_field_at(model, place))}")


def shown(value: object, depth: int = 0) -> str:
    """A value as it would stand in the file, cut short where it is long or deep.

    `depth` counts the lists around it.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = value if len(value) <= LONGEST_SHOWN else value[: LONGEST_SHOWN - 3] + "..."
        return f'"{text}"'
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, int):
        digits = value.bit_length() * 0.30103
        return str(value) if digits < LONGEST_SHOWN else "a whole number far too large"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, Sequence):
        count = f"a list of {len(value)} values"
        if depth == DEEPEST_SHOWN or len(value) > LONGEST_SHOWN:
            return count
        text = f"[{', '.join(shown(item, depth + 1) for item in value)}]"
        return text if len(text) <= LONGEST_SHOWN else count
    return f"{value} (a date or time)"


def key_path(place: Place, root: object) -> str:
    """A place as one word, `setup[1].zero.way`; lists count from 0.

    A tool is named by its station, `tools.T3.wear`, where no other tool has the same. `root` is
    the table that the place begins in, raw or read.
    """
    path = ""
    value = root
    for depth, part in enumerate(place):
        if isinstance(part, str):
            path += f".{part}" if path else part
        elif depth and place[depth - 1] == "tools" and (name := _station_name(value, part)):
            path += f".{name}"
        else:
            path += f"[{part}]"
        value = member(value, part)
    return path


def member(value: object, part: str | int) -> object:
    """One step down from a raw or read table or list; None where there is nothing."""
    if isinstance(part, int):
        in_list = isinstance(value, list | tuple) and 0 <= part < len(value)
        return value[part] if in_list else None  # type: ignore[index]
    if isinstance(value, dict):
        return value.get(part)
    return value.__dict__.get(part) if isinstance(value, BaseModel) else None


def _station_name(tools: object, index: int) -> str:
    if not isinstance(tools, list | tuple):
        return ""
    stations = [member(tool, "station") for tool in tools]
    station = stations[index] if index < len(stations) else None
    plain = isinstance(station, int) and not isinstance(station, bool)
    return f"T{station}" if plain and stations.count(station) == 1 else ""


def _value_at(raw: object, place: Place) -> object:
    for part in place:
        raw = member(raw, part)
    return raw


def _nearest(key: str, holder: Any) -> str:
    known = _known_keys(holder)
    near = difflib.get_close_matches(key.lower(), known, n=1, cutoff=0.5)
    return f"did you mean {near[0]}?" if near else f"known here are {', '.join(known)}"


def _known_keys(hint: Any) -> list[str]:
    table = next((each for each in alternatives(hint) if _is_table(each)), None)
    return list(table.model_fields) if table else []


def _field_at(hint: Any, place: Place) -> Any:
    """The type that stands at `place` below `hint`, with its limits."""
    for part in place:
        for each in alternatives(hint):
            if isinstance(part, str) and _is_table(each) and part in each.model_fields:
                hint = _with_limits(each.model_fields[part])
                break
            if isinstance(part, int) and get_origin(each) in (list, tuple):
                items = get_args(each)
                hint = items[min(part, len(items) - 1)]
                break
        else:
            return None
    return hint


def _with_limits(field: FieldInfo) -> Any:
    if not field.metadata:
        return field.annotation
    return Annotated[(field.annotation, *field.metadata)]


def alternatives(hint: Any) -> Iterator[Any]:
    """The plain types that `hint` allows, looking through marks and unions, None left out."""
    if get_origin(hint) is Annotated:
        yield from alternatives(get_args(hint)[0])
    elif get_origin(hint) in (Union, types.UnionType):
        for arm in get_args(hint):
            yield from alternatives(arm)
    elif hint is not None and hint is not type(None):
        yield hint


def _limits(hint: Any) -> list[Any]:
    if get_origin(hint) is Annotated:
        base, *marks = get_args(hint)
        unpacked = [each for mark in marks for each in getattr(mark, "metadata", [mark])]
        return [*unpacked, *_limits(base)]
    if get_origin(hint) in (Union, types.UnionType):
        return [limit for arm in get_args(hint) for limit in _limits(arm)]
    return []


def _is_table(hint: Any) -> bool:
    return isinstance(hint, type) and issubclass(hint, Table)


def _accepted(hint: Any) -> str:
    limits = _limits(hint)
    plain = list(alternatives(hint))
    tables = [each for each in plain if _is_table(each) or get_origin(each) is list]
    if tables and str in plain:
        inline = "a list of tables" if get_origin(tables[0]) is list else "a table"
        return f"{inline}, or the name of a file"
    return _accepted_plain(plain[0], limits) if plain else "what the schema allows"


def _accepted_plain(hint: Any, limits: list[Any]) -> str:
    if get_origin(hint) is Literal:
        words = [f'"{word}"' for word in get_args(hint)]
        return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else words[0]
    if get_origin(hint) is list:
        least = next((each.min_length for each in limits if isinstance(each, MinLen)), 0)
        items = "tables" if _is_table(get_args(hint)[0]) else "values"
        if items == "values" and get_origin(get_args(hint)[0]) is tuple:
            items = "points"
        return f"a list of {least} or more {items}" if least else f"a list of {items}"
    if get_origin(hint) is tuple:
        return "two numbers, the lower one first" if limits else "two numbers"
    if _is_table(hint):
        return "a table"
    return _accepted_scalar(hint, limits)


def _accepted_scalar(hint: Any, limits: list[Any]) -> str:
    if hint is bool:
        return "true or false"
    if hint is str and (form := next((x for x in limits if isinstance(x, Form)), None)):
        return form.words
    if hint is str:
        return "text that is not empty" if any(isinstance(x, MinLen) for x in limits) else "text"
    words = "a whole number" if hint is int else "a number"
    above = next((each.gt for each in limits if isinstance(each, Gt)), None)
    least = next((each.ge for each in limits if isinstance(each, Ge)), None)
    most = next((each.le for each in limits if isinstance(each, Le)), None)
    if above is not None:
        words += f" greater than {above}"
    if least is not None:
        words += f", {least} or more"
    return f"{words} and at most {most}" if most is not None else words
