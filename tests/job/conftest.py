"""A fixture that writes a job folder."""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from job_cases import SOUND, as_toml

Written = Callable[..., Path]


@pytest.fixture
def written(tmp_path: Path) -> Written:
    """Writes the sound job with changes at dotted keys (None takes a key away)."""

    def write(changes: dict[str, Any] | None = None, /, **files: str | bytes) -> Path:
        raw = copy.deepcopy(SOUND)
        for path, value in (changes or {}).items():
            *way, last = path.split(".")
            table: Any = raw
            for part in way:
                table = table[int(part)] if part.isdigit() else table.setdefault(part, {})
            if isinstance(table, list):
                table[int(last)] = value
            elif value is None:
                del table[last]
            else:
                table[last] = value
        lines = [f"{key} = {as_toml(value)}" for key, value in raw.items()]
        (tmp_path / "job.toml").write_text("\n".join(lines), encoding="utf-8")
        for name in ("one.nc", "two.nc"):
            (tmp_path / name).write_bytes(b"G21\nM30\n")
        for name, text in files.items():
            data = text.encode() if isinstance(text, str) else text
            (tmp_path / name.replace("_", ".")).write_bytes(data)
        return tmp_path

    return write
