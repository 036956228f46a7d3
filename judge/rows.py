"""Rows of the control that a job leaves open: every value each of them may take."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from judge.motion import Undecided

OPEN_VALUES: dict[str, tuple[str, ...]] = {
    "levels_from": ("moved-start", "start"),
    "last_level": ("left-to-profile", "own-level", "equalised"),
    "level_end": ("45-degrees", "along-profile"),
    "home_after_cycle": ("direct", "x-first", "z-first"),
    "pecking_x": ("radial", "diameter"),
    "pattern_one_pass": ("shifted", "unshifted"),
    "pocket_order": ("by-level", "by-pocket"),
    "pocket_levels_begin": ("moved-start", "entry-line"),
    "pocket_infeed": ("straight", "along-profile"),
    "drilling_r": ("incremental", "absolute"),
    "drilling_return": ("initial", "r-level"),
    "compensation_in_cycles": ("ignored", "applied", "if-active"),
    "compensation_entry": ("perpendicular", "at-end"),
    "compensation_corner": ("arc", "square"),
    "arc_centre": ("incremental", "absolute"),
    "number_without_point": ("increment", "unit"),
    "cycle_number_without_point": ("increment", "unit"),
    "block_delete": ("off", "on"),
    "optional_stop": ("off", "on"),
    "reached": ("running", "search"),
}
"""Rows that are tried at every value; the others must be stated."""


class OpenRow(Undecided):
    """A row that the job leaves open is wanted."""

    def __init__(self, row: str) -> None:
        super().__init__(f"{row} is open")
        self.row = row


def stated(control: Mapping[str, Any], row: str) -> Any:
    """What a job says of a row. Raises `OpenRow` where it says nothing."""
    value = control.get(row)
    if value is None:
        raise OpenRow(row)
    return value
