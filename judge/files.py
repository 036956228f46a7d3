"""The files of a random job: programs of both ends, and the job file. Sizes in mm."""

from __future__ import annotations

import json
from collections.abc import Callable
from random import Random
from typing import Any

from judge.ends import End
from judge.features import Extras
from judge.operations import write_end
from judge.writer import Writer

_LENGTHS = ("roughing_depth", "roughing_withdrawal", "pecking_return", "threading_least_depth",
            "threading_finish_allowance")  # fmt: skip
"""Rows of the control that are lengths."""


def _scale(table: Any, factor: float) -> Any:
    """The same table with every length divided by `factor`, to the job's unit."""
    plain = ("station", "cutting", "point", "point_angle", "angle", "tip")
    if isinstance(table, dict):
        return {k: v if k in plain else _scale(v, factor) for k, v in table.items()}
    if isinstance(table, list | tuple):
        return [_scale(v, factor) for v in table]
    if isinstance(table, float):
        return round(table / factor, 6)
    return table


def _toml(value: Any) -> str:
    """A value of the job file, tables inline."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_toml(v) for v in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return json.dumps(value)


def _table(name: str, table: dict[str, Any]) -> str:
    head = f"[{name}]" if not name.startswith("[") else name
    return head + "\n" + "".join(f"{k} = {_toml(v)}\n" for k, v in table.items())


def job_text(table: dict[str, Any]) -> str:
    """A job file from what stands in it."""
    plain: list[str] = []
    tables: list[str] = []
    for name, value in table.items():
        if isinstance(value, dict):
            tables.append(_table(name, value))
        elif isinstance(value, list) and value and all(isinstance(each, dict) for each in value):
            tables += [_table(f"[[{name}]]", each) for each in value]
        else:
            plain.append(f"{name} = {_toml(value)}\n")
    return "\n".join(["".join(plain), *tables])


def job_files(rng: Random, extras: Extras, ends: list[End], tools: list[dict[str, Any]],
              blank: dict[str, Any], setups: list[dict[str, Any]], machine: dict[str, Any],
              part: float, inch: bool) -> dict[str, str]:  # fmt: skip
    """File name -> text; the job file is `job.toml`."""
    control = machine["control"]
    together = rng.random() < 0.3 or extras.has("search") or extras.fault == "offset-left"

    def begun(number: int) -> Writer:
        writer = Writer(control["cycle_words"], inch, control["x_words"], extras, number * 1000)
        writer.start(number)
        return writer

    files = _together(begun(1), rng, ends, setups) if together else _apart(begun, rng, ends, setups)
    if extras.values is not None:
        for setup, value in zip(setups, extras.values, strict=True):
            setup["offset_z"] = value
    factor = 25.4 if inch else 1.0
    scaled_control = control | {k: _scale(control[k], factor) for k in _LENGTHS if k in control}
    rates = machine.get("rapid_rates")
    whole = machine | {"control": scaled_control}
    if rates is not None:
        whole["rapid_rates"] = _scale(rates, factor)
    called = sorted(set(files) - {setup["program"] for setup in setups})
    calls = f"subprograms = {_toml(called)}\n" if called else ""
    parts = [
        f'title = "Random job"\nunits = "{"inch" if inch else "mm"}"\n{calls}',
        _table("blank", _scale(blank, factor)),
        _table("part", {"length": _scale(part, factor)}),
        _table("machine", whole),
        *(_table("[[tools]]", _scale(t, factor)) for t in tools),
        *(_table("[[setup]]", _scale(s, factor)) for s in setups),
        *(_table("[[m_words]]", {"number": n, "does": d}) for n, d in extras.told.items()),
    ]
    files["job.toml"] = "\n".join(parts)
    return files


def _together(writer: Writer, rng: Random, ends: list[End], setups: list[dict[str, Any]]
              ) -> dict[str, str]:  # fmt: skip
    """Both ends in one program, with a stop for turning round between them."""
    extras = writer.extras
    first, second = extras.offsets
    setups[0] |= {"program": "both.nc", "end": {"stop": 1}, "offset": first}
    setups[1] |= {"program": "both.nc", "start": {"stop": 1}, "offset": second}
    _select(writer, 0)
    write_end(writer, ends[0], rng)
    writer.block("M09")
    writer.home()
    if extras.has("offsets") and extras.rng.random() < 0.5 and extras.fault != "offset-left":
        setups[0]["end"] = setups[1]["start"] = {"offset": second}
    writer.block("M00")
    if extras.has("search"):
        mark = writer.label()
        setups[0]["end"] = {"label": mark}
        reached = extras.rng.choice(("search", "search", "running", None))
        setups[1]["start"] = {"label": mark} | ({"reached": reached} if reached else {})
        writer.block(f"N{mark}", "G20" if writer.inch else "G21", "G40", "G99", "ABS")
        writer.silent_spindle = extras.fault == "spindle-before"
    if extras.fault != "offset-left":
        _select(writer, 1)
    write_end(writer, ends[1], rng)
    return {"both.nc": _ended(writer), **writer.files}


def _apart(begun: Callable[[int], Writer], rng: Random, ends: list[End],
           setups: list[dict[str, Any]]) -> dict[str, str]:  # fmt: skip
    """A program for each end."""
    files: dict[str, str] = {}
    for k, end in enumerate(ends):
        writer = begun(k + 1)
        if writer.extras.values is not None or writer.extras.has("offsets"):
            setups[k]["offset"] = writer.extras.offsets[k]
            _select(writer, k)
        write_end(writer, end, rng)
        name = ("first.nc", "second.nc")[k]
        files |= {name: _ended(writer), **writer.files}
        setups[k]["program"] = name
    return files


def _select(writer: Writer, index: int) -> None:
    """The work offset of an end, now and then given its value by the program."""
    extras, name = writer.extras, writer.extras.offsets[index]
    rng = extras.rng
    writer.block(name)
    if not extras.has("offsets") or (rng.random() < 0.5 and extras.fault != "offset-moved"):
        return
    kind = ["L20", "P" + name.split("P")[1]] if "P" in name else ["L2", f"P{int(name[1:]) - 53}"]
    if extras.values is not None and rng.random() < 0.7:
        writer.block("G10", *kind, "Z" + writer.number(extras.values[index]))
    elif extras.values is None and index == 0 and rng.random() < 0.4:
        writer.block("G10", *kind, "Z" + writer.number(round(rng.uniform(-300.0, 300.0), 2)))
    if extras.values is not None and (rng.random() < 0.3 or extras.fault == "offset-moved"):
        most = extras.amount if extras.fault == "offset-moved" else 0.2
        writer.block("G10", *kind, "W" + writer.number(round(rng.uniform(-most, most), 3)))


def _ended(writer: Writer) -> str:
    writer.block("M05")
    writer.home()
    if writer.extras.has("again"):
        writer.block("G00", "G40")
        writer.block("M99")
    else:
        writer.block("M30")
    return writer.text()
