"""Random two-sided jobs: sensible work at both ends, and faults of many sizes."""

from __future__ import annotations

from random import Random
from typing import Any

from judge.bench import CORNERS, draw_blank, draw_machine, draw_setups
from judge.dress import dress
from judge.ends import (
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
from judge.files import job_files
from judge.tools import draw_tools

FAULTS = (
    "thick", "long", "back-long", "jaws-near", "near-face", "low-clearance", "corner-cut",
    "no-retract", "wrong-spindle", "no-spindle", "home-from-bore", "rapid-feed", "short-edge",
    "heel", "wide-blade", "short-reach", "thick-bar",
)  # fmt: skip
BAND_MM = -0.2
"""Where the two ends meet they leave a band as wide as this, mm: they strike nothing there."""
_FAULTED = 0.58
"""Share of jobs with a fault drawn; about half of those faults are too small to strike."""
_FAULTED_ASKED = 0.25
"""The same in a run for chosen features, whose own faults are to be met."""
_GRIP_LEFT_OUT = 0.7
"""Share of jobs that leave the diameter gripped at the second end to the metal that stands there: a
programmer's number is rarely what the first end leaves."""
_WORN = 0.08
"""Share of jobs in which one tool has a bound of wear; those leave no row of the control open."""


def _amount(rng: Random) -> float:
    """Size of a fault: slight or gross, mm."""
    return round(rng.uniform(0.3, 2.2) if rng.random() < 0.55 else rng.uniform(2.2, 7.0), 2)


def make_job(
    seed: int, cheap: bool = True, only: tuple[str, ...] = (), meet: float = BAND_MM
) -> dict[str, str]:
    """A random job as file name -> text, its job file `job.toml`.

    The same seed gives the same job. `cheap` jobs suit pixels of 0.1 mm; the others take finer
    levels and have something of everything. `only`: features that nearly every job is to have, and
    no others. `meet`: how far the two ends' turning overlaps, mm; below 0, what they leave.
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
    length_2 = round(max(part - length_1 + meet, 5.0), 2)
    large_2 = round(rng.uniform(max(least + 1.0, size / 2 - 4.0), size / 2 - 0.6), 2)
    small_2 = round(rng.uniform(max(least, large_2 - 5.0), large_2 - 0.6), 2)
    short = round(length_2 * rng.uniform(0.35, 0.7), 1)
    second = draw_end(rng, raw, hole, back, length_2, small_2, short, large_2)
    ends = [first, second]

    groove_depth = rng.uniform(1.5, 5.0)
    if rng.random() < 0.55 or fault in ("wide-blade", "short-reach") or not cheap:
        first.groove = draw_groove(rng, first, groove_depth)
    bored = rng.random()
    by_cycle = extras.has("tapping") or extras.has("drilling")
    in_bore = fault in ("home-from-bore", "thick-bar")
    if not hole and (bored < 0.5 or by_cycle or in_bore or not cheap):
        end = ends[at if in_bore else bored < 0.2]
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
    turns = {k: other if k == 6 and rng.random() < 0.3 else spindle for k in range(1, 12)}
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
    if shape in ("hexagon", "square"):
        setups[0]["on_flats"] = True
    if Random(f"grip {seed}").random() < _GRIP_LEFT_OUT:
        del setups[1]["grip_diameter"]
    machine = draw_machine(rng, inch, settled=worn)
    machine["control"] = _control(machine["control"], extras)
    if extras.has("tool-words"):
        machine["second_home"] = "beyond"
    return job_files(rng, extras, ends, tools, blank, setups, machine, part, inch)


def _control(rows: dict[str, Any], extras: Extras) -> dict[str, Any]:
    """The rows of the control with those of the features; None leaves one out."""
    whole = rows | extras.stated
    if extras.has("families"):
        whole["cycle_words"] = extras.rng.choice(("cycles-g77", "cycles-g20"))
    return {row: value for row, value in whole.items() if value is not None}
