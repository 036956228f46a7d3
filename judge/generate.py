"""Random two-sided jobs: sensible work at both ends, and faults of many sizes."""

from __future__ import annotations

import json
import math
from random import Random
from typing import Any

from judge.ends import End, draw_bore, draw_end, draw_groove, draw_recess
from judge.kit import boring, drill, grooving, profiling, turning
from judge.operations import write_end
from judge.writer import Writer

FAULTS = (
    "thick", "long", "back-long", "jaws-near", "near-face", "low-clearance", "corner-cut",
    "no-retract", "wrong-spindle", "no-spindle", "home-from-bore", "rapid-feed", "short-edge",
    "heel", "wide-blade", "short-reach", "thick-bar",
)  # fmt: skip
_FAULTED = 0.72
"""Share of jobs with a fault drawn; about half of those faults are too small to strike."""


def _amount(rng: Random) -> float:
    """Size of a fault: slight or gross, mm."""
    return round(rng.uniform(0.3, 2.2) if rng.random() < 0.55 else rng.uniform(2.2, 7.0), 2)


def _control(rng: Random) -> dict[str, Any]:
    return {
        "cycle_words": rng.choices(("cycles-g90", "cycles-g77", "cycles-g20"), (84, 8, 8))[0],
        "x_words": "diameter" if rng.random() < 0.92 else "radius",
        "number_without_point": rng.choice(("increment", "unit")),
        "cycle_number_without_point": "increment",
        "arc_centre": "incremental",
        "levels_from": rng.choice(("moved-start", "start")),
        "last_level": rng.choice(("left-to-profile", "own-level", "equalised")),
        "level_end": rng.choice(("45-degrees", "45-degrees", "along-profile")),
        "home_after_cycle": rng.choice(("direct", "x-first", "z-first")),
        "level_outside_profile": "to-exit",
        "pocket_in_plain_roughing": "left",
        "tool_with_motion": "before",
        "offset_with_motion": "jump",
        "block_delete": "off",
        "optional_stop": "off",
        "roughing_depth": 1.5,
        "roughing_withdrawal": 0.5,
        "pecking_return": 0.5,
    }


def _jaws(rng: Random, front: float, tall: float, seat: float) -> dict[str, Any]:
    """Stepped jaws whose gripping surface ends at `front` from the stop plane; with a seat for
    the blank at `seat` where that is above 0."""
    step = round(rng.uniform(4.0, 8.0), 1)
    low = round(tall * rng.uniform(0.35, 0.7), 1)
    # Behind the seat the jaws reach further in: that shoulder carries the blank.
    back = [(-14.0, -4.0), (seat, -4.0), (seat, 0.0)] if seat > 0 else [(-14.0, 0.0)]
    profile = [
        *back, (front, 0.0), (front, low), (front - step, low), (front - step, tall),
        (-14.0, tall),
    ]  # fmt: skip
    table: dict[str, Any] = {"profile": profile, "steps": [seat] if seat > 0 else []}
    if rng.random() < 0.6:
        table["chuck"] = {"face": -14.0, "diameter": 160.0}
    return table


def _scale(table: Any, factor: float) -> Any:
    """The same table with every length divided by `factor`, to the job's unit."""
    plain = ("station", "cutting", "point", "point_angle")
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


def make_job(seed: int, cheap: bool = True) -> dict[str, str]:
    """A random job as file name -> text, its job file `job.toml`.

    The same seed gives the same job. `cheap` jobs suit pixels of 0.1 mm; the others take finer
    levels and have something of everything.
    """
    rng = Random(seed)
    fault = rng.choice(FAULTS) if rng.random() < _FAULTED else ""
    amount = _amount(rng)
    at = rng.randrange(2)
    inch = rng.random() < 0.15
    control = _control(rng)

    shape = rng.choices(("round", "tube", "hexagon"), (70, 15, 15))[0]
    size = round(rng.uniform(24.0, 56.0), 1)
    raw = size / 2 * (2 / math.sqrt(3) if shape == "hexagon" else 1.0)
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
    width = first.groove.tool_width if first.groove else 3.0
    bored = rng.random()
    if not hole and (bored < 0.5 or fault in ("home-from-bore", "thick-bar") or not cheap):
        end = ends[at if fault in ("home-from-bore", "thick-bar") else bored < 0.2]
        widest = end.small - 2.5
        if widest > 6.5:
            end.bore = draw_bore(rng, widest, part * 0.45)
            if fault in ("home-from-bore", "no-retract"):
                end.bore.bore_by = "plain"
    if first.finish_by == "plain" and not first.groove:
        draw_recess(rng, first, 14.0, 30.0)
    if not cheap:
        for end in ends:
            end.depth = round(end.depth * 0.6, 2)
    if fault == "heel":
        first.finish_by, first.groove = "plain", None
        draw_recess(rng, first, 20.0, 42.0)
    if fault == "corner-cut":
        ends[at].finish_by = "plain"
    ends[at].fault, ends[at].amount = fault, amount
    spindle = "M04" if rng.random() < 0.12 else "M03"
    nose = rng.choice((0.0, 0.4, 0.4, 0.8))
    for end in ends:
        end.spindle = spindle
        # A nose that stops with its centre on the axis, or past it; a sharp corner goes past.
        end.past = nose if nose > 0 and rng.random() < 0.7 else 0.6

    tools = _kit(rng, ends, fault, amount, width, nose)
    for tool in tools:
        tool["cuts_with"] = spindle
    blank, seen = _blank(rng, shape, size, bore, part, front, back, fault, amount)
    setups = _setups(rng, ends, seen, part, back, grip, size, fault, amount, at)
    machine = _machine(rng, control, inch)
    return _files(rng, ends, tools, blank, setups, machine, part, inch, cheap)


def _kit(rng: Random, ends: list[End], fault: str, amount: float, width: float, nose: float
         ) -> list[dict[str, Any]]:  # fmt: skip
    deepest = max(e.depth for e in ends)
    side = round(rng.uniform(max(4.0, deepest + 1.5), 9.0), 1)
    if fault == "short-edge":
        side = round(max(1.8, deepest + 1.0 - amount * 0.6), 2)
    tools = [turning(1, side, 6.0, rng.choice((4.0, 5.0, 7.0)), nose)]
    heel = round(rng.uniform(16.0, 36.0), 1)
    dive = math.degrees(math.atan(ends[0].recess))
    if ends[0].recess and abs(heel - dive) < 8.0:
        heel = round(dive + (8.0 if heel > dive or dive < 26.0 else -8.0), 1)
    tools.append(profiling(2, 8.0, heel))
    groove = ends[0].groove
    deep = groove.surface - groove.bottom if groove else 5.0
    high = max(0.0, ends[0].raw - groove.surface) if groove else 0.0
    reach = round(deep + high + rng.uniform(1.0, 6.0), 2)
    blade = width - 0.6 if rng.random() < 0.05 else width
    if fault == "short-reach":
        reach = round(max(1.2, deep + 1.0 - amount * 0.7), 2)
    if fault == "wide-blade":
        blade = round(width + 0.8 + amount * 0.3, 2)
    tools.append(grooving(3, width, blade, reach, rng))
    hole = next((e.bore for e in ends if e.bore), None)
    if hole is not None:
        tools.append(drill(4, hole.drill_r * 2, round(hole.drill_depth + rng.uniform(3, 30), 1)))
        bar = hole.bar + (amount if fault == "thick-bar" else 0.0)
        tools.append(boring(5, round(bar, 2), hole.bore_r - hole.drill_r + 1.0))
    return tools


def _blank(rng: Random, shape: str, size: float, bore: float | None, part: float, front: float,
           back: float, fault: str, amount: float
           ) -> tuple[dict[str, Any], list[float]]:  # fmt: skip
    """The blank on the bench, and its allowances as they really are."""
    seen = [front, back]
    if fault == "thick":
        size = round(size + amount, 2)
    if fault == "long":
        seen[0] = round(front + amount * 0.8, 2)
    if fault == "back-long":
        seen[1] = round(back + amount * 0.8, 2)
    blank: dict[str, Any] = {"shape": shape, "size": size, "length": round(part + sum(seen), 3)}
    if bore is not None:
        blank["bore"] = bore
    if rng.random() < 0.25:
        blank["size_tolerance"] = [-0.1, 0.1]
    if rng.random() < 0.25:
        blank["length_tolerance"] = [-0.2, 0.2]
    if rng.random() < 0.15:
        blank["run_out"] = 0.1
    return blank, seen


def _setups(rng: Random, ends: list[End], seen: list[float], part: float, back: float,
            grip: float, size: float, fault: str, amount: float, at: int
            ) -> list[dict[str, Any]]:  # fmt: skip
    """Both clampings; the jaws stand where the programmer wanted them."""
    hold = round(grip + seen[1] - back, 3)
    seat = rng.choice((0.0, 0.0, 6.0))
    tall = round(rng.uniform(10.0, 24.0), 1)
    error = rng.choice((0.0, 0.0, 0.0, 0.05))
    way = rng.choice(("stop", "touch", "touch", "rule"))
    zero: dict[str, Any] = {"way": way, "error": error}
    if way == "stop":
        zero["from_stop"] = round(part + seen[1], 3)
    else:
        zero["face_allowance"] = seen[0]
    stick = round(part + sum(seen) - hold, 3)
    where = {"on": "step", "step": 0} if seat > 0 else {"on": "stop"}
    if way == "rule" or (way == "touch" and rng.random() < 0.3):
        where = {"on": "stick-out", "stick_out": stick, "error": rng.choice((0.0, 0.1))}
    one: dict[str, Any] = {
        "name": "first", "seat": where, "zero": zero, "grip_diameter": size,
        "jaws": _jaws(rng, round(hold + seat, 3), tall, seat),
    }  # fmt: skip

    seat_2 = rng.choice((0.0, 0.0, 5.0))
    hold_2 = round(ends[0].small_length - rng.uniform(1.0, 3.0), 2)
    if fault == "jaws-near" and at == 1:
        hold_2 = round(part - ends[1].length + amount - rng.uniform(0.0, 3.0), 2)
    way_2 = rng.choice(("finished-on-stop", "measured", "nominal"))
    zero_2: dict[str, Any] = {"way": way_2, "error": rng.choice((0.0, 0.0, 0.05))}
    if way_2 == "nominal":
        zero_2["face_allowance"] = back if fault != "back-long" else seen[1]
    two: dict[str, Any] = {
        "name": "second", "seat": {"on": "step", "step": 0} if seat_2 > 0 else {"on": "stop"},
        "zero": zero_2, "grip_diameter": round(ends[0].small * 2, 3),
        "jaws": _jaws(rng, round(hold_2 + seat_2, 3), tall, seat_2),
    }  # fmt: skip
    return [one, two]


def _machine(rng: Random, control: dict[str, Any], inch: bool) -> dict[str, Any]:
    path = rng.choices(("straight", "bent", "unknown"), (40, 30, 30))[0]
    machine: dict[str, Any] = {"rapid_path": path, "home": "beyond"}
    machine["increment"] = 0.0001 if inch else 0.001
    if path == "bent":
        machine["rapid_rates"] = {"x": rng.choice((5.0, 8.0)) * 1000, "z": 10000.0}
    machine["control"] = control
    return machine


def _files(rng: Random, ends: list[End], tools: list[dict[str, Any]], blank: dict[str, Any],
           setups: list[dict[str, Any]], machine: dict[str, Any], part: float, inch: bool,
           cheap: bool) -> dict[str, str]:  # fmt: skip
    files: dict[str, str] = {}
    control = machine["control"]
    together = rng.random() < 0.3
    writer = Writer(control["cycle_words"], inch, control["x_words"])
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
        other = Writer(control["cycle_words"], inch, control["x_words"])
        other.start(2)
        write_end(other, ends[1], rng)
        files["second.nc"] = _ended(other)
        setups[0]["program"], setups[1]["program"] = "first.nc", "second.nc"
    factor = 25.4 if inch else 1.0
    scaled_control = control | {
        k: _scale(control[k], factor)
        for k in ("roughing_depth", "roughing_withdrawal", "pecking_return")
    }
    rates = machine.get("rapid_rates")
    whole = machine | {"control": scaled_control}
    if rates is not None:
        whole["rapid_rates"] = _scale(rates, factor)
    parts = [
        f'title = "Random job"\nunits = "{"inch" if inch else "mm"}"\n',
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
