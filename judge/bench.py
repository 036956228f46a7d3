"""What a random job has on the bench: blank, both clampings, machine. Lengths in mm."""

from __future__ import annotations

import math
from random import Random
from typing import Any

from judge.ends import End

CORNERS = {"round": 1.0, "tube": 1.0, "hexagon": 2 / math.sqrt(3), "square": math.sqrt(2)}
"""Circumscribed circle over the size."""

LEFT_OPEN = ("levels_from", "last_level", "level_end", "home_after_cycle")
"""Rows that every job states or leaves open; those of one feature stand with it."""
OPEN_SHARE = 0.1
"""Chance of each row being left out."""


def _control(rng: Random, settled: bool) -> dict[str, Any]:
    rows = {
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
    for row in LEFT_OPEN:
        if rng.random() < OPEN_SHARE and not settled:
            del rows[row]
    return rows


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


def draw_blank(rng: Random, shape: str, size: float, bore: float | None, part: float, front: float,
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
    if bore is not None and rng.random() < 0.3:
        blank["bore_tolerance"] = [-0.2, 0.1]
    if rng.random() < 0.15:
        blank["run_out"] = rng.choice((0.1, 0.3))
    if rng.random() < 0.12:
        blank["bow"] = rng.choice((0.1, 0.2))
    if rng.random() < 0.15:
        blank["out_of_square"] = rng.choice((0.1, 0.4))
    return blank, seen


def draw_setups(rng: Random, ends: list[End], seen: list[float], part: float, back: float,
                grip: float, size: float, fault: str, amount: float, at: int
                ) -> list[dict[str, Any]]:  # fmt: skip
    """Both clampings; the jaws stand where the programmer wanted them."""
    hold = round(grip + seen[1] - back, 3)
    seat = rng.choice((0.0, 0.0, 6.0))
    tall = round(rng.uniform(10.0, 24.0), 1)
    error = rng.choice((0.0, 0.0, 0.0, 0.05, 0.15))
    way = rng.choice(("stop", "touch", "touch", "rule"))
    zero: dict[str, Any] = {"way": way, "error": error}
    if way == "stop":
        zero["from_stop"] = round(part + seen[1], 3)
    else:
        zero["face_allowance"] = seen[0]
    if way == "touch":
        zero["touched"] = rng.choice(("turning", "turning", "standing"))
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
    zero_2: dict[str, Any] = {"way": way_2, "error": rng.choice((0.0, 0.0, 0.05, 0.15))}
    if way_2 != "finished-on-stop":
        zero_2["touched"] = rng.choice(("turning", "turning", "standing"))
    if way_2 == "nominal":
        zero_2["face_allowance"] = back if fault != "back-long" else seen[1]
    two: dict[str, Any] = {
        "name": "second", "seat": {"on": "step", "step": 0} if seat_2 > 0 else {"on": "stop"},
        "zero": zero_2, "grip_diameter": round(ends[0].small * 2, 3),
        "jaws": _jaws(rng, round(hold_2 + seat_2, 3), tall, seat_2),
    }  # fmt: skip
    return [one, two]


def draw_machine(rng: Random, inch: bool, settled: bool) -> dict[str, Any]:
    path = rng.choices(("straight", "bent", "unknown"), (40, 30, 30))[0]
    machine: dict[str, Any] = {"rapid_path": path, "home": "beyond"}
    machine["increment"] = 0.0001 if inch else 0.001
    if path == "bent":
        machine["rapid_rates"] = {"x": rng.choice((5.0, 8.0)) * 1000, "z": 10000.0}
    machine["control"] = _control(rng, settled)
    return machine
