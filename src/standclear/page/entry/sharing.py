"""Set-ups that name one program: right where marks part it, most often a slip where none do."""

from __future__ import annotations

from collections.abc import Mapping

from standclear.page.entry.entries import Problem, rows_in

_MARKS = ("start.at", "end.at")


def whole_again(entries: Mapping[str, str]) -> list[tuple[int, int]]:
    """(set-up, earlier set-up), by their rows, that both run all of one program: no mark says that
    either starts or ends within it."""
    found: list[tuple[int, int]] = []
    first: dict[str, int] = {}
    for index in rows_in(entries, "setup"):
        name = f"setup[{index}]"
        program = entries.get(f"{name}.program", "").strip()
        if program and not any(entries.get(f"{name}.{mark}") for mark in _MARKS):
            earlier = first.setdefault(program, index)
            if earlier != index:
                found.append((index, earlier))
    return found


def sharing_warnings(entries: Mapping[str, str]) -> list[Problem]:
    """What stands beside the program of a set-up that runs all that an earlier one runs."""
    places = {index: place + 1 for place, index in enumerate(rows_in(entries, "setup"))}
    return [
        Problem(
            f"setup[{index}].program",
            f"set-up {places[earlier]} runs all of it too",
            "if this end has a program of its own, choose that; if one file holds both ends, "
            "say below where each set-up starts and ends",
        )
        for index, earlier in whole_again(entries)
    ]
