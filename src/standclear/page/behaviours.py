"""What is open of a control, in the words in which the form asks for it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from standclear.page.entry.table.control import MACHINE


def behaviour_words(values: Sequence[str]) -> list[str]:
    """Question and answer for each `row=value` of a reading."""
    return [_asked().get(value, value.replace("=", ": ")) for value in values]


@cache
def _asked() -> dict[str, str]:
    return {
        f"{field.key}={choice.value}": f"{field.label} {choice.words}"
        for group in MACHINE.groups
        for field in group.fields
        for choice in field.choices
    }
