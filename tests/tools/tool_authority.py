"""Reads the tables of outside values that the tests of tools compare with."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

AUTHORITIES = Path(__file__).parents[1] / "authorities"
FILES = ("inserts.toml", "holders.toml")


def authority(name: str) -> dict[str, Any]:
    """The tables of one file; every file states its origin."""
    return tomllib.loads((AUTHORITIES / name).read_text(encoding="utf-8"))


def keys(name: str) -> set[str]:
    """The tables a file holds, its origin left out."""
    return set(authority(name)) - {"origin"}
