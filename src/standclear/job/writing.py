"""A TOML file with other values in it: what stays keeps its place, its form and its comments.

A job file is written by people as well as by this tool. Where the form changes one number of it,
only that number changes; a table that is taken out takes the comments inside it along.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, MutableMapping, Sequence
from difflib import SequenceMatcher
from typing import Any

import tomlkit
from tomlkit import items

LONGEST_LINE = 88
"""Characters of a list or an inline table; a longer one goes over several lines, or gets a header
of its own."""
TABLES_WITH_HEADER = frozenset({"tools", "setup", "m_words", "allow"})
"""Lists whose rows each get a header of their own; rows of other lists stand inside brackets."""


class NotWritten(RuntimeError):
    """The text that came out does not hold the values wanted: a fault of ours, nothing is kept."""


def edited_toml(text: str, wanted: Mapping[str, Any]) -> str:
    """`text`, a TOML file, changed so that it holds `wanted` and nothing else.

    A value that stays the same keeps the way it is written (`48.0` or `48.00`). Raises NotWritten
    where the outcome read back is anything but `wanted`.
    """
    document = tomlkit.parse(text)
    _merge(document, wanted)
    found = tomllib.loads(tomlkit.dumps(document))
    # A table that stands only in the headers of those inside it is gone with the last of them:
    # what did not come out is written anew, whole.
    for key, value in wanted.items():
        if key not in found or not same_values(found[key], value):
            document.pop(key, None)
            document[key] = _item(key, value)
    written = tomlkit.dumps(document)
    if not same_values(tomllib.loads(written), wanted):
        raise NotWritten("the file read back does not hold what was to be written")
    return written


def new_toml(wanted: Mapping[str, Any], heading: Sequence[str] = ()) -> str:
    """A file that holds `wanted`, with `heading` as comments above it."""
    above = "".join(f"# {line}\n" for line in heading)
    return edited_toml(f"{above}\n" if above else "", wanted)


def same_values(one: Any, other: Any) -> bool:
    """Whether two plain values are the same to whoever reads the file; 48 and 48.0 are, 1 and true
    are not."""
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(same_values(one[k], other[k]) for k in one)
    if _is_list(one) and _is_list(other):
        return len(one) == len(other) and all(map(same_values, one, other))
    return (type(one) is type(other) and one == other) or _same_number(one, other)


def _same_number(one: Any, other: Any) -> bool:
    numbers = isinstance(one, int | float) and isinstance(other, int | float)
    return numbers and one == other


def _is_list(value: Any) -> bool:
    return isinstance(value, list | tuple)


def _merge(table: MutableMapping[str, Any], wanted: Mapping[str, Any]) -> None:
    for key in [key for key in table if key not in wanted]:
        del table[key]
    for key, value in wanted.items():
        if key not in table:
            table[key] = _item(key, value, header=not isinstance(table, items.InlineTable))
            continue
        old = table[key]
        if same_values(_plain(old), value):
            continue
        if isinstance(old, MutableMapping) and isinstance(value, Mapping):
            _merge(old, value)
        elif isinstance(old, items.AoT) and _is_list(value) and value and _all_tables(value):
            _merge_rows(old, value, key)
        elif isinstance(old, items.Array) and _is_list(value) and value and len(old):
            _merge_items(old, value)
        elif isinstance(old, items.AoT) or _is_table_with_header(old):
            del table[key]
            table[key] = _item(key, value)
        else:
            table[key] = _item(key, value, header=False)


def _is_table_with_header(value: Any) -> bool:
    return isinstance(value, MutableMapping) and not isinstance(value, items.InlineTable)


def _merge_rows(rows: items.AoT, wanted: Sequence[Mapping[str, Any]], key: str) -> None:
    """Rows that each have a header."""
    sources = _sources([_plain(row) for row in rows], wanted)
    for index in reversed(range(len(rows))):
        if index not in sources:
            del rows[index]
    for place, (source, value) in enumerate(zip(sources, wanted, strict=True)):
        if source is None:
            rows.insert(place, _table(value))
        else:
            _merge(rows[place], value)


def _merge_items(array: items.Array, wanted: Sequence[Any]) -> None:
    """Items between brackets."""
    sources = _sources(_plain(array), wanted)
    for index in reversed(range(len(array))):
        if index not in sources:
            del array[index]
    for place, (source, value) in enumerate(zip(sources, wanted, strict=True)):
        if source is None:
            array.insert(place, _item("", value, header=False))
            continue
        old = array[place]
        if isinstance(old, MutableMapping) and isinstance(value, Mapping):
            _merge(old, value)
        elif not same_values(_plain(old), value):
            array[place] = _item("", value, header=False)


def _sources(old: Sequence[Any], new: Sequence[Any]) -> list[int | None]:
    """For each new row the old one that it goes on from, in rising order; None for a new row."""
    found: list[int | None] = []
    known: list[Any] = []

    def number(value: Any) -> int:
        for index, each in enumerate(known):
            if same_values(each, value):
                return index
        known.append(value)
        return len(known) - 1

    matcher = SequenceMatcher(None, [number(v) for v in old], [number(v) for v in new], False)
    for _, i1, i2, j1, j2 in matcher.get_opcodes():
        paired = min(i2 - i1, j2 - j1)
        found += [*range(i1, i1 + paired), *([None] * (j2 - j1 - paired))]
    return found


def _plain(value: Any) -> Any:
    return value.unwrap() if hasattr(value, "unwrap") else value


def _all_tables(value: Sequence[Any]) -> bool:
    return all(isinstance(each, Mapping) for each in value)


def _item(key: str, value: Any, header: bool = True) -> Any:
    """A value as it is newly written; `header`: a table may get a header of its own."""
    if isinstance(value, Mapping):
        inline = _inline(value)
        if header and (len(inline.as_string()) > LONGEST_LINE or _has_rows(value)):
            return _table(value)
        return inline
    if _is_list(value) and value and header and _all_tables(value) and key in TABLES_WITH_HEADER:
        rows = tomlkit.aot()
        for each in value:
            rows.append(_table(each))
        return rows
    if _is_list(value):
        array = tomlkit.array()
        for each in value:
            array.append(_item("", each, header=False))
        return array.multiline(len(array.as_string()) > LONGEST_LINE)
    return tomlkit.item(value)


def _has_rows(value: Mapping[str, Any]) -> bool:
    return any(
        isinstance(each, Mapping) or (_is_list(each) and len(each) > 2) for each in value.values()
    )


def _table(value: Mapping[str, Any]) -> items.Table:
    """A table with a header: plain keys first, so that none falls under the header of another."""
    table = tomlkit.table()
    made = {key: _item(key, each) for key, each in value.items()}
    for last in (False, True):
        for key, each in made.items():
            if isinstance(each, items.Table | items.AoT) is last:
                table.append(key, each)
    return table


def _inline(value: Mapping[str, Any]) -> items.InlineTable:
    table = tomlkit.inline_table()
    for key, each in value.items():
        table.append(key, _item(key, each, header=False))
    return table
