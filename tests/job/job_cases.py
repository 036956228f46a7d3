"""A sound job of our own to spoil, one key at a time."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from standclear.errors import Fault, JobError
from standclear.job.read import read_job

SOUND: dict[str, Any] = {
    "units": "mm",
    "blank": {"size": 45.0, "length": 72.0},
    "part": {"length": 70.0},
    "machine": {"rapid_path": "straight"},
    "tools": [
        {"station": 1, "insert": "CNMG120408", "holder": "PCLNL2525M12"},
        {"station": 3, "drill": {"diameter": 12.0, "length": 90.0}},
    ],
    "jaws": {"profile": [[-12.0, 0.0], [18.0, 0.0], [18.0, 20.0], [-12.0, 36.0]], "steps": [6.0]},
    "setup": [
        {"name": "one", "program": "one.nc", "zero": {"way": "touch", "face_allowance": 1.0}},
        {"name": "two", "program": "two.nc", "zero": {"way": "finished-on-stop"}},
    ],
}


def as_toml(value: Any) -> str:
    """A value as inline TOML."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {as_toml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(as_toml(item) for item in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return f'"{value}"' if isinstance(value, str) else repr(value)


def faults_of(path: Path, **values: Any) -> tuple[Fault, ...]:
    """The faults of a job that must have some."""
    with pytest.raises(JobError) as caught:
        read_job(path, **values)
    return caught.value.faults


def fault_lines(path: Path, **values: Any) -> list[str]:
    """The same as lines of text."""
    return [str(fault) for fault in faults_of(path, **values)]
