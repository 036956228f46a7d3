"""Which numbers of a job are lengths, and their conversion to millimetres, in one place.

A field says what it is by its type: `Length` is converted, `Rate` (length per minute) too,
`Number` (angles, revolutions) and `Whole` are not.
"""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from pydantic import AfterValidator, BaseModel, Strict
from pydantic.fields import FieldInfo
from pydantic_core import PydanticCustomError

Units = Literal["mm", "inch"]
AnyTable = TypeVar("AnyTable", bound=BaseModel)

MM_PER_INCH = Decimal("25.4")
"""Exact by definition: the international inch, ISO 31 / ISO 80000-3."""


@dataclass(frozen=True, slots=True)
class InJobUnit:
    """Marks a number that stands in the unit of its file.

    `inch_default` is the value, in inches, of a key left out of a job in inches, where the trade's
    value differs between the units; other defaults are stated in millimetres.
    """

    inch_default: float | None = None
    per_minute: bool = False


Number = Annotated[float, Strict()]
Whole = Annotated[int, Strict()]
Flag = Annotated[bool, Strict()]
Length = Annotated[float, Strict(), InJobUnit()]
Rate = Annotated[float, Strict(), InJobUnit(per_minute=True)]
Increment = Annotated[float, Strict(), InJobUnit(inch_default=0.0001)]


def _in_order(deviations: tuple[float, float]) -> tuple[float, float]:
    if deviations[0] > deviations[1]:
        raise PydanticCustomError("deviations_crossed", "lower deviation above the upper one")
    return deviations


Tolerance = Annotated[tuple[Length, Length], AfterValidator(_in_order)]
"""(lower, upper) deviation from the size, such as (-0.16, 0.0)."""
Point = tuple[Length, Length]


def millimetres(value: float, units: Units) -> float:
    """`value` of the given unit in millimetres, rounded once.

    The product is taken in decimal of the number as it is written, so that 1.85 in gives the
    same float as 46.99 mm.
    """
    return value if units == "mm" else float(Decimal(repr(value)) * MM_PER_INCH)


def to_millimetres(table: AnyTable, units: Units, default_units: Units) -> AnyTable:
    """A copy of `table` with every length in millimetres, tables inside it included.

    `units` is the unit of the file that holds it; `default_units` the job's, which decides the
    value of keys left out (see `InJobUnit.inch_default`).
    """
    changed: dict[str, Any] = {}
    for name, field in type(table).model_fields.items():
        value = getattr(table, name)
        if name in table.model_fields_set or isinstance(value, BaseModel):
            changed[name] = _converted(value, _marked(field), units, default_units)
        else:
            mark = _mark_of(_marked(field))
            if mark and mark.inch_default is not None and default_units == "inch":
                changed[name] = millimetres(mark.inch_default, "inch")
    stated = table.model_fields_set
    return type(table).model_construct(_fields_set=set(stated), **{**dict(table), **changed})


def lengths_of(table: BaseModel) -> Iterator[tuple[tuple[str | int, ...], float]]:
    """Every length stated in `table` itself (tables inside it left out), with its place in it."""
    for name, field in type(table).model_fields.items():
        if name in table.model_fields_set and name in table.__dict__:
            yield from _lengths_in(getattr(table, name), _marked(field), (name,))


def _marked(field: FieldInfo) -> Any:
    """The field's type with the marks that pydantic has moved into its metadata."""
    marks = [item for item in field.metadata if isinstance(item, InJobUnit)]
    return Annotated[field.annotation, marks[0]] if marks else field.annotation


def _mark_of(hint: Any) -> InJobUnit | None:
    if get_origin(hint) is Annotated:
        base, *marks = get_args(hint)
        found = next((mark for mark in marks if isinstance(mark, InJobUnit)), None)
        return found or _mark_of(base)
    if get_origin(hint) in (Union, types.UnionType):
        return next((mark for arm in get_args(hint) if (mark := _mark_of(arm))), None)
    return None


def _item_hints(hint: Any, count: int) -> list[Any]:
    """The types of a list's or pair's items, looking through `Annotated` and `| None`."""
    if get_origin(hint) is Annotated:
        return _item_hints(get_args(hint)[0], count)
    if get_origin(hint) in (Union, types.UnionType):
        arms = (arm for arm in get_args(hint) if _is_sequence(arm))
        return _item_hints(next(arms, None), count)
    arguments = get_args(hint)
    return list(arguments) if get_origin(hint) is tuple else [*arguments[:1]] * count


def _is_sequence(hint: Any) -> bool:
    if get_origin(hint) is Annotated:
        return _is_sequence(get_args(hint)[0])
    return get_origin(hint) in (list, tuple)


def _converted(value: Any, hint: Any, units: Units, default_units: Units) -> Any:
    if isinstance(value, BaseModel):
        return to_millimetres(value, units, default_units)
    if isinstance(value, float):
        return millimetres(value, units) if _mark_of(hint) else value
    if isinstance(value, list | tuple):
        hints = _item_hints(hint, len(value))
        items = (
            _converted(item, each, units, default_units)
            for item, each in zip(value, hints, strict=True)
        )
        return type(value)(items)
    return value


def _lengths_in(
    value: Any, hint: Any, place: tuple[str | int, ...]
) -> Iterator[tuple[tuple[str | int, ...], float]]:
    if isinstance(value, int | float) and not isinstance(value, bool):
        mark = _mark_of(hint)
        if mark and not mark.per_minute:
            yield place, value
    elif isinstance(value, list | tuple):
        for index, (item, each) in enumerate(
            zip(value, _item_hints(hint, len(value)), strict=True)
        ):
            yield from _lengths_in(item, each, (*place, index))
