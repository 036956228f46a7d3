"""Frozen data of the plan as plain JSON: every length in millimetres, whatever the job's unit."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

from standclear.interval import Interval

PLACES = 6
"""Decimals of a length, mm."""


def plain(value: Any) -> Any:
    """`value` with dataclasses as tables of their fields and intervals as [low, high]; numbers
    that are not finite become null. Raises TypeError for what JSON has no form for."""
    if isinstance(value, Interval):
        return [plain(value.lo), plain(value.hi)]
    if is_dataclass(value):
        return {f.name: plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, Enum):
        return value.name.lower() if isinstance(value.value, int) else value.value
    if isinstance(value, dict):
        return {str(key): plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    if isinstance(value, float):
        return round(value, PLACES) if value - value == 0 else None
    if value is None or isinstance(value, str | int | bool):
        return value
    raise TypeError(f"no plain form of {type(value).__name__}")


def plain_json(value: Any) -> str:
    """`value` as JSON text, newline at the end."""
    return json.dumps(plain(value), indent=2, ensure_ascii=False) + "\n"
