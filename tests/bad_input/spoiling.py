"""Copies of the examples, and ways to spoil them at random, the same for the same seed."""

from __future__ import annotations

import json
import math
import random
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

EXAMPLES = Path(__file__).parents[2] / "examples"
FOLDERS = sorted(each.parent.name for each in EXAMPLES.glob("*/job.toml"))

Place = tuple[str | int, ...]


def copy_of(example: str, folder: Path) -> Path:
    """A copy of an example under `folder`, free to be spoilt."""
    return Path(shutil.copytree(EXAMPLES / example, folder / example))


def spoilt_bytes(rng: random.Random, data: bytes) -> bytes:
    """Text with bytes struck out, put in or changed, and lines doubled, dropped or exchanged."""
    for _ in range(rng.choice([1, 1, 2, 3, 5, 20])):
        rows = data.split(b"\n")
        one, other = rng.randrange(len(rows)), rng.randrange(len(rows))
        at = rng.randrange(len(data) + 1)
        sign = rng.choice(b"0123456789.-+GXZUWRPQFSTMNIK/;()#%[] \r\n").to_bytes(1, "big")
        match rng.randrange(6):
            case 0:
                data = data[:at] + rng.randrange(1, 256).to_bytes(1, "big") + data[at + 1 :]
            case 1:
                data = data[:at] + data[at + rng.choice([1, 2, 5, 30]) :]
            case 2:
                data = data[:at] + sign + data[at:]
            case 3:
                data = b"\n".join([*rows[:one], rows[other], *rows[one:]])
            case 4:
                data = b"\n".join([*rows[:one], *rows[one + 1 :]])
            case _:
                rows[one], rows[other] = rows[other], rows[one]
                data = b"\n".join(rows)
    return data


def spoilt_table(rng: random.Random, data: bytes) -> bytes:
    """A TOML file with values changed, exchanged for others, left out or put in."""
    root: dict[str, Any] = tomllib.loads(data.decode())
    for _ in range(rng.choice([1, 1, 1, 2, 4])):
        places = [place for place in _places(root, ()) if place]
        if not places:
            break
        *way, last = rng.choice(places)
        table: Any = root
        for key in way:
            table = table[key]
        _spoil(rng, table, last)
    return "".join(f"{json.dumps(key)} = {_toml(value)}\n" for key, value in root.items()).encode()


def _spoil(rng: random.Random, table: Any, key: str | int) -> None:
    value = table[key]
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    way = rng.randrange(6)
    if way == 0:
        del table[key]
    elif way == 1:
        table[key] = rng.choice([0, -1, "", [], {}, "x", True, 1.5, [[0.0, 0.0]], "job.toml"])
    elif way == 2 and isinstance(table, dict):
        table["odd_key"] = value
    elif way == 2:
        table.insert(rng.randrange(len(table) + 1), value)
    elif is_number and way == 3:
        table[key] = rng.choice([-value, value * 10, value / 10, 1e-9, 1e9, math.nan, math.inf])
    elif is_number:
        table[key] = value * rng.uniform(0.3, 2)


def _places(value: Any, place: Place) -> Iterator[Place]:
    yield place
    if isinstance(value, dict | list):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _places(inner, (*place, key))


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(k)} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_toml(each) for each in value) + "]"
    if isinstance(value, float) and not math.isfinite(value):
        return "nan" if math.isnan(value) else "inf" if value > 0 else "-inf"
    return json.dumps(value)
