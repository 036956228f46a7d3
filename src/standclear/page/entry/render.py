"""The form as plain data for the template: every field with what stands in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from standclear.page.entry.entries import NEW, ROW, is_pair, is_put_away, rows_in
from standclear.page.entry.field import Field, Group, Kind, Section, When, joined
from standclear.page.entry.table import SECTIONS

Node = dict[str, Any]
GUESSES = "guesses"
GIVEN = "given"
"""The question how a part or jaws are given."""
LONG_CHOICE = 27
"""Letters of a choice that a field of the usual width shows."""
OF_PROGRAM = "program"
"""Key of the field that names one of the folder's programs."""
UNITS = {Kind.LENGTH: "", Kind.LENGTHS: ""}


def sections_of(
    entries: Mapping[str, str], units: Mapping[str, str], files: Mapping[str, str]
) -> list[Node]:
    """Every section with its groups. `units` are those of the job (at the empty name) and of
    places that have their own, `files` the places that stand in a file of their own."""
    sections = [section_of(section, entries, units) for section in SECTIONS]
    for section in sections:
        for group in section["groups"]:
            _say_file(group, files)
    return sections


def _say_file(group: Node, files: Mapping[str, str]) -> None:
    """Says in a group that it stands in a file which other jobs may share."""
    file = files.get(group["name"])
    if file:
        group["file"] = file
    for inner in [*group["groups"], *group.get("rows", ())]:
        _say_file(inner, files)


def section_of(section: Section, entries: Mapping[str, str], units: Mapping[str, str]) -> Node:
    """One section."""
    groups = [
        _group(group, group.key, entries, units) for group in section.groups if group.key != GUESSES
    ]
    return {
        "name": section.name,
        "title": section.title,
        "intro": section.intro,
        "folded": section.folded,
        "open": any(map(_holds, groups)),
        "groups": groups,
    }


def _group(
    group: Group,
    name: str,
    entries: Mapping[str, str],
    units: Mapping[str, str],
    holder: tuple[Group, str] | None = None,
) -> Node:
    node: Node = {
        "name": name,
        "title": group.title,
        "help": group.help,
        "file": "",
        "many": group.many,
        "row": group.row,
        "in_line": group.in_line or is_pair(group),
        "rare": group.rare,
        "shown": _condition(group.shown, holder[1]) if holder else None,
        "hidden": _hidden(group, name, entries, holder),
    }
    if not group.many:
        return {**node, "rows": [], **_inside(group, name, entries, units)}
    numbers = rows_in(entries, name)
    if group.in_line:
        # One empty row more: it becomes a row of the list once something is typed into it.
        numbers = [*numbers, max(numbers, default=-1) + 1]
    rows = [
        {
            "name": f"{name}[{index}]",
            "number": place + 1,
            "marker": joined(f"{name}[{index}]", ROW),
            "began": entries.get(joined(f"{name}[{index}]", ROW), NEW),
            "ghost": group.in_line and place + 1 == len(numbers),
            **_inside(group, f"{name}[{index}]", entries, units),
        }
        for place, index in enumerate(numbers)
    ]
    return {**node, "rows": rows, "fields": [], "groups": [], "more": None}


def _inside(group: Group, name: str, entries: Mapping[str, str], units: Mapping[str, str]) -> Node:
    """Fields and groups, the rare ones apart."""
    fields = [_field(field, name, entries, units) for field in group.fields]
    groups = [
        _group(inner, joined(name, inner.key), entries, units, (group, name))
        for inner in group.groups
    ]
    flat: list[Node] = []
    if group.in_line:
        # A pair within a row stands in line with it.
        flat = [field for inner in groups if inner["in_line"] for field in inner["fields"]]
        groups = [inner for inner in groups if not inner["in_line"]]
    rare_fields = [field for field in fields if field["rare"]]
    rare_groups = [inner for inner in groups if inner["rare"]]
    held = any(field["value"] for field in rare_fields) or any(map(_holds, rare_groups))
    labels = [field["label"] for field in rare_fields] + [inner["title"] for inner in rare_groups]
    words = group.behind or "; ".join(f"{each[:1].lower()}{each[1:]}" for each in labels)
    more = {"words": words, "fields": rare_fields, "groups": rare_groups, "open": held}
    return {
        "fields": [*(field for field in fields if not field["rare"]), *flat],
        "groups": [inner for inner in groups if not inner["rare"]],
        "more": more if rare_fields or rare_groups else None,
    }


def _holds(node: Node) -> bool:
    """Whether anything stands in a group or a row, an empty row at the end of a list left out."""
    if any(field["value"] for field in node["fields"]):
        return True
    rows = [row for row in node.get("rows", ()) if not row["ghost"]]
    more = node["more"]
    return bool(rows) or any(map(_holds, node["groups"])) or bool(more and more["open"])


def _hidden(
    group: Group, name: str, entries: Mapping[str, str], holder: tuple[Group, str] | None
) -> bool:
    if group.shown is None or holder is None:
        return False
    if is_put_away(holder[0], group, holder[1], entries):
        return True
    return not group.shown.holds(entries, holder[1]) and not any(
        key.startswith((f"{name}.", f"{name}[")) and text for key, text in entries.items()
    )


def _field(field: Field, name: str, entries: Mapping[str, str], units: Mapping[str, str]) -> Node:
    own = joined(name, field.key)
    value = entries.get(own, "")
    shown = field.shown is None or field.shown.holds(entries, name)
    return {
        "name": own,
        "label": field.label,
        "help": field.help,
        "empty": field.empty,
        "kind": field.kind.name.lower(),
        "unit": unit_at(own, units) if field.kind in UNITS else field.unit,
        "numeric": field.kind not in (Kind.TEXT, Kind.CHOICE, Kind.YES_NO),
        "choices": list(_choices(field, value)),
        "needed": field.needed,
        "rare": field.rare,
        "value": value,
        "program": field.key == OF_PROGRAM,
        "unsaid": _unsaid(field),
        "wide": any(len(words) > LONG_CHOICE for words in _words(field)),
        "shown": _condition(field.shown, name),
        # How the part is given says what counts: a length beside its steps would be read as theirs.
        "hidden": not shown and (not value or _of_its_own(field.shown)),
    }


def _of_its_own(shown: When | None) -> bool:
    return shown is not None and shown.key == GIVEN


def _unsaid(field: Field) -> str:
    """What a choice shows while nobody has answered: what counts then, said as just that."""
    if not field.empty:
        return "choose"
    plain = field.empty.startswith(_OPEN) or field.kind is Kind.YES_NO
    return field.empty if plain else f"not said: {field.empty}"


_OPEN = ("I do not know", "not known", "none")


def _words(field: Field) -> Iterator[str]:
    if field.choices:
        yield from (each.words for each in field.choices)
        yield _unsaid(field)


def _choices(field: Field, value: str) -> Iterator[Node]:
    choices = [(each.value, each.words, each.help) for each in field.choices]
    if field.kind is Kind.YES_NO:
        choices = [("yes", "yes", ""), ("no", "no", "")]
    for each, words, help_words in choices:
        yield {"value": each, "words": words, "help": help_words}
    if choices and value and value not in [each for each, _, _ in choices]:
        yield {"value": value, "words": value, "help": ""}


def _condition(shown: When | None, prefix: str) -> Node | None:
    if shown is None:
        return None
    return {"name": joined(prefix, shown.key), "values": " ".join(shown.values)}


def unit_at(name: str, units: Mapping[str, str]) -> str:
    """The unit of a length at a place of the form; empty while the job has none."""
    places = [place for place in units if place and name.startswith(place)]
    return units[max(places, key=len)] if places else units.get("", "")
