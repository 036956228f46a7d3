"""Random two-sided jobs: sensible work at both ends, and faults of many sizes."""

from __future__ import annotations

import json
from random import Random
from typing import Any

from judge.bench import CORNERS, draw_blank, draw_machine, draw_setups
from judge.dress import dress
from judge.ends import (
    End,
    draw_back,
    draw_bore,
    draw_end,
    draw_groove,
    draw_inner_groove,
    draw_recess,
    draw_ring,
    draw_taper,
)
from judge.features import Extras, draw_extras
from judge.operations import write_end
from judge.tools import draw_tools
from judge.writer import Writer

FAULTS = (
    "thick", "long", "back-long", "jaws-near", "near-face", "low-clearance", "corner-cut",
    "no-retract", "wrong-spindle", "no-spindle", "home-from-bore", "rapid-feed", "short-edge",
    "heel", "wide-blade", "short-reach", "thick-bar",
)  # fmt: skip
_FAULTED = 0.72
"""Share of jobs with a fault drawn; about half of those faults are too small to strike."""
_FAULTED_ASKED = 0.25
"""The same in a run for chosen features, whose own faults are to be met."""
_WORN = 0.08
"""Share of jobs in which one tool has a bound of wear; those leave no row of the control open."""


_LENGTHS = ("roughing_depth", "roughing_withdrawal", "pecking_return", "threading_least_depth",
            "threading_finish_allowance")  # fmt: skip
"""Rows of the control that are lengths."""


def _amount(rng: Random) -> float:
    """Size of a fault: slight or gross, mm."""
    return round(rng.uniform(0.3, 2.2) if rng.random() < 0.55 else rng.uniform(2.2, 7.0), 2)


def _scale(table: Any, factor: float) -> Any:
    """The same table with every length divided by `factor`, to the job's unit."""
    plain = ("station", "cutting", "point", "point_angle", "tip")
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


def make_job(seed: int, cheap: bool = True, only: tuple[str, ...] = ()) -> dict[str, str]:
    """A random job as file name -> text, its job file `job.toml`.

    The same seed gives the same job. `cheap` jobs suit pixels of 0.1 mm; the others take finer
    levels and have something of everything. `only`: features that nearly every job is to have, and
    no others.
    """
    rng = Random(seed)
    extras = draw_extras(seed, only)
    fault = rng.choice(FAULTS) if rng.random() < (_FAULTED_ASKED if only else _FAULTED) else ""
    amount = _amount(rng)
    at = rng.randrange(2)
    inch = rng.random() < 0.15

    shape = rng.choices(("round", "tube", "hexagon", "square"), (60, 14, 13, 13))[0]
    size = round(rng.uniform(24.0, 56.0 if shape != "square" else 38.0), 1)
    raw = size / 2 * CORNERS[shape]
    bore = round(rng.uniform(0.25, 0.45) * size, 1) if shape == "tube" else None
    hole = 0.0 if bore is None else bore / 2
    part = round(rng.uniform(42.0, 80.0), 1)
    front, back = round(rng.uniform(0.4, 2.6), 2), round(rng.uniform(0.4, 2.6), 2)

    # First end: what the jaws leave free; second end: the rest.
    grip = round(rng.uniform(10.0, 16.0), 1)
    room = round(rng.uniform(0.8, 6.0), 2)
    if fault == "jaws-near" and at == 0:
        room -= amount
    length_1 = round(part + back - grip - room, 2)
    small_length = round(rng.uniform(11.0, min(22.0, length_1 - 9.0)), 1)
    least = hole + 2.5
    large = round(rng.uniform(max(least + 1.5, size / 2 - 5.0), size / 2 - 0.7), 2)
    small = round(rng.uniform(max(least, large - 6.0), large - 0.8), 2)
    first = draw_end(rng, raw, hole, front, length_1, small, small_length, large)
    length_2 = round(max(part - length_1 - 0.2, 5.0), 2)
    large_2 = round(rng.uniform(max(least + 1.0, size / 2 - 4.0), size / 2 - 0.6), 2)
    small_2 = round(rng.uniform(max(least, large_2 - 5.0), large_2 - 0.6), 2)
    short = round(length_2 * rng.uniform(0.35, 0.7), 1)
    second = draw_end(rng, raw, hole, back, length_2, small_2, short, large_2)
    ends = [first, second]

    groove_depth = rng.uniform(1.5, 5.0)
    if rng.random() < 0.55 or fault in ("wide-blade", "short-reach") or not cheap:
        first.groove = draw_groove(rng, first, groove_depth)
    bored = rng.random()
    if not hole and (bored < 0.5 or fault in ("home-from-bore", "thick-bar") or not cheap):
        end = ends[at if fault in ("home-from-bore", "thick-bar") else bored < 0.2]
        widest = end.small - 2.5
        if widest > 6.5:
            end.bore = draw_bore(rng, widest, part * 0.45)
            if fault in ("home-from-bore", "no-retract"):
                end.bore.bore_by = "plain"
            if rng.random() < 0.5 or not cheap:
                draw_inner_groove(rng, end.bore)
    if rng.random() < 0.3 and first.finish_by != "none":
        draw_back(rng, first)
    for end in ends:
        if rng.random() < 0.35:
            draw_taper(rng, end)
        if rng.random() < 0.3 and end.finish_by != "none":
            draw_ring(rng, end)
    rings = [end.ring for end in ends if end.ring]
    if len({ring.tool_width for ring in rings}) > 1:
        second.ring = None
    if first.finish_by == "plain" and not first.groove and not first.back:
        draw_recess(rng, first, 14.0, 30.0)
    if not cheap:
        for end in ends:
            end.depth = round(end.depth * 0.6, 2)
    if fault == "heel":
        first.finish_by, first.groove, first.back = "plain", None, 0.0
        draw_recess(rng, first, 20.0, 42.0)
    if fault == "corner-cut":
        ends[at].finish_by = "plain"
    ends[at].fault, ends[at].amount = fault, amount
    spindle = "M04" if rng.random() < 0.12 else "M03"
    other = "M03" if spindle == "M04" else "M04"
    turns = {k: other if k == 6 and rng.random() < 0.3 else spindle for k in range(1, 11)}
    nose = rng.choice((0.0, 0.4, 0.4, 0.8))
    wrong_at = rng.choice(((1, 3), (1, 4), (2, 6), (5, 7, 8)))
    for end in ends:
        end.turns, end.wrong_at = turns, wrong_at
        # A nose that stops with its centre on the axis, or past it; a sharp corner goes past.
        if end.past < 1.0 and nose > 0 and rng.random() < 0.7:
            end.past = nose

    dress(ends, extras)
    width = next((end.groove.tool_width for end in ends if end.groove), 3.0)
    worn = rng.random() < _WORN and not extras.chosen
    tools = draw_tools(rng, ends, fault, amount, width, nose, turns, worn)
    blank, seen = draw_blank(rng, shape, size, bore, part, front, back, fault, amount)
    setups = draw_setups(rng, ends, seen, part, back, grip, size, fault, amount, at)
    machine = draw_machine(rng, inch, settled=worn)
    machine["control"] = _control(machine["control"], extras)
    if extras.has("tool-words"):
        machine["second_home"] = "beyond"
    return _files(rng, extras, ends, tools, blank, setups, machine, part, inch)


def _control(rows: dict[str, Any], extras: Extras) -> dict[str, Any]:
    """The rows of the control with those of the features; None leaves one out."""
    whole = rows | extras.stated
    if extras.has("families"):
        whole["cycle_words"] = extras.rng.choice(("cycles-g77", "cycles-g20"))
    if extras.has("pockets"):
        whole["level_end"] = "45-degrees"
    return {row: value for row, value in whole.items() if value is not None}


def _files(rng: Random, extras: Extras, ends: list[End], tools: list[dict[str, Any]],
           blank: dict[str, Any], setups: list[dict[str, Any]], machine: dict[str, Any],
           part: float, inch: bool) -> dict[str, str]:  # fmt: skip
    files: dict[str, str] = {}
    control = machine["control"]
    together = rng.random() < 0.3
    writer = Writer(control["cycle_words"], inch, control["x_words"], extras)
    writer.start(1)
    if together:
        writer.block("G54")
        write_end(writer, ends[0], rng)
        writer.block("M09")
        writer.home()
        writer.block("M00")
        writer.block("G55")
        write_end(writer, ends[1], rng)
        files["both.nc"] = _ended(writer)
        setups[0] |= {"program": "both.nc", "end": {"stop": 1}}
        setups[1] |= {"program": "both.nc", "start": {"stop": 1}, "offset": "G55"}
    else:
        write_end(writer, ends[0], rng)
        files["first.nc"] = _ended(writer)
        other = Writer(control["cycle_words"], inch, control["x_words"], extras, 2000)
        other.start(2)
        write_end(other, ends[1], rng)
        files["second.nc"] = _ended(other)
        writer.files |= other.files
        setups[0]["program"], setups[1]["program"] = "first.nc", "second.nc"
    factor = 25.4 if inch else 1.0
    scaled_control = control | {k: _scale(control[k], factor) for k in _LENGTHS if k in control}
    rates = machine.get("rapid_rates")
    whole = machine | {"control": scaled_control}
    if rates is not None:
        whole["rapid_rates"] = _scale(rates, factor)
    files |= writer.files
    calls = f"subprograms = {_toml(sorted(writer.files))}\n" if writer.files else ""
    parts = [
        f'title = "Random job"\nunits = "{"inch" if inch else "mm"}"\n{calls}',
        _table("blank", _scale(blank, factor)),
        _table("part", {"length": _scale(part, factor)}),
        _table("machine", whole),
        *(_table("[[tools]]", _scale(t, factor)) for t in tools),
        *(_table("[[setup]]", _scale(s, factor)) for s in setups),
    ]
    files["job.toml"] = "\n".join(parts)
    return files


def _ended(writer: Writer) -> str:
    writer.block("M05")
    writer.home()
    writer.block("M30")
    return writer.text()
