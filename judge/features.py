"""What random jobs may have in them beyond the plain work at both ends: a table with weights."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import Any

Point = tuple[float, float]

FEATURES: dict[str, float] = {
    "pattern": 0.08,
    "one-block": 0.08,
    "threads": 0.1,
    "inside-facing": 0.05,
    "pockets": 0.09,
    "pecking": 0.1,
    "drilling": 0.08,
    "compensation": 0.1,
    "corner-words": 0.08,
    "subprograms": 0.08,
    "macros": 0.1,
    "variables": 0.08,
    "loops": 0.08,
    "block-delete": 0.06,
    "zero-shift": 0.06,
    "place-setting": 0.06,
    "tool-words": 0.06,
    "families": 0.0,
    "again": 0.06,
    "search": 0.06,
    "m-words": 0.06,
    "offsets": 0.08,
    "machine-places": 0.06,
    "tool-data": 0.06,
    "modal-macros": 0.08,
    "tapping": 0.08,
    "outward": 0.2,
}
"""Chance of each in a job. `families`: words of another family than cycles-g90."""
_NOT_WITH = {
    "offsets": ("place-setting",),
    "machine-places": ("place-setting", "tool-data"),
    "modal-macros": ("macros", "pecking"),
    "tapping": ("inside-facing",),
    "again": ("variables", "loops", "macros"),
}
"""Features that give way to one that their words would contradict."""
_ASKED_SHARE = 0.9
"""Chance of a feature in a run for chosen features alone."""
_OPEN_SHARE = 0.12
"""Chance of a row of the control that goes with a feature being left out."""

FAULTS: dict[str, tuple[str, ...]] = {
    "pattern": ("few-passes",),
    "threads": (
        "short-run-in",
        "to-shoulder",
        "deep-thread",
        "proud-crest",
        "thread-spindle",
        "early-retract",
    ),
    "pockets": ("steep-wall",),
    "drilling": ("deep-r",),
    "compensation": ("no-compensation", "wrong-side"),
    "block-delete": ("deleted-retract",),
    "zero-shift": ("shift-left",),
    "loops": ("one-too-many",),
    "macros": ("wrong-argument",),
    "search": ("spindle-before",),
    "offsets": ("offset-left", "offset-moved"),
    "machine-places": ("low-machine-place",),
    "tool-data": ("wrong-data",),
    "modal-macros": ("call-left",),
    "tapping": ("deep-tap", "fat-tap", "rapid-tap"),
    "outward": ("deep-outward",),
}
"""What may go wrong with each."""
_FAULTED = 0.3

_ROWS: dict[str, dict[str, tuple[Any, ...]]] = {
    "pattern": {"pattern_one_pass": ("shifted", "unshifted")},
    "pockets": {
        "pocket_order": ("by-level", "by-pocket"),
        "pocket_levels_begin": ("moved-start", "entry-line"),
        "pocket_infeed": ("along-profile", "along-profile", "along-profile", "straight"),
    },
    "pecking": {"pecking_x": ("radial", "diameter")},
    "drilling": {
        "drilling_r": ("incremental", "absolute"),
        "drilling_return": ("initial", "r-level"),
    },
    "compensation": {
        "compensation_in_cycles": ("ignored", "applied", "if-active"),
        "compensation_entry": ("perpendicular", "perpendicular", "at-end"),
        "compensation_corner": ("arc", "square"),
    },
    "tapping": {
        "drilling_r": ("incremental", "absolute"),
        "drilling_return": ("initial", "r-level"),
    },
    "block-delete": {"block_delete": ("off", "on")},
    "threads": {
        "threading_finish_passes": (1, 2),
        "threading_angle": (0.0, 60.0),
        "threading_least_depth": (0.05,),
        "threading_finish_allowance": (0.02, 0.05),
    },
}


@dataclass
class Extras:
    """The features of one job and their own chance."""

    chosen: frozenset[str] = frozenset()
    rng: Random = field(default_factory=Random)
    fault: str = ""
    amount: float = 0.0
    stated: dict[str, Any] = field(default_factory=dict)
    """Rows of the control that go with the features; None: left open."""
    offsets: tuple[str, str] = ("G54", "G55")
    """Work offsets of the two ends."""
    values: tuple[float, float] | None = None
    """Machine Z of both, mm; None: the job gives none."""
    geometry: dict[int, Point] = field(default_factory=dict)
    """Geometry offset of each station's tool, (z, radial x)."""
    told: dict[int, str] = field(default_factory=dict)
    """What the job says of M words."""

    def has(self, feature: str) -> bool:
        """Whether the job has it."""
        return feature in self.chosen

    def draw_rows(self) -> None:
        """Draws the rows of the control that go with the features; some are left open."""
        found: dict[str, Any] = {}
        for feature in sorted(self.chosen):
            for row, values in _ROWS.get(feature, {}).items():
                value = self.rng.choice(values)
                if row.startswith("threading") or self.rng.random() >= _OPEN_SHARE:
                    found[row] = value
                else:
                    found[row] = None
        if self.fault == "wrong-side":
            # A roughing cycle would not follow it.
            found["compensation_in_cycles"] = "ignored"
        if self.fault == "deleted-retract":
            found["block_delete"] = self.rng.choice(("on", None, "off"))
        self.stated = found


def draw_extras(seed: int, only: tuple[str, ...]) -> Extras:
    """The features of a job, by the table's weights or from those asked for."""
    rng = Random(f"{seed} features")
    chance = dict.fromkeys(only, _ASKED_SHARE) if only else FEATURES
    drawn = [name for name in FEATURES if rng.random() < chance.get(name, 0.0)]
    beaten = {other for name in drawn for other in _NOT_WITH.get(name, ())}
    chosen = frozenset(drawn) - beaten
    faults = [fault for name in sorted(chosen) for fault in FAULTS.get(name, ())]
    fault = rng.choice(faults) if faults and rng.random() < _FAULTED else ""
    amount = round(rng.uniform(0.3, 1.5) if rng.random() < 0.5 else rng.uniform(1.5, 5.0), 2)
    extras = Extras(chosen, rng, fault, amount)
    extras.draw_rows()
    _draw_places(extras)
    return extras


def _draw_places(extras: Extras) -> None:
    """Work offsets, their values, geometry offsets and what M words do."""
    rng = extras.rng
    if extras.has("offsets"):
        first = rng.choice(("G54", "G56", "G54.1 P3", "G54.1 P12"))
        extras.offsets = (first, rng.choice(("G55", "G57", "G54.1 P7")))
    between = round(rng.uniform(-60.0, 60.0), 2)
    if extras.fault == "offset-left":
        between = round(rng.choice((-1, 1)) * extras.amount, 2)
    known = extras.has("machine-places") or extras.fault == "offset-left"
    if known or (extras.has("offsets") and rng.random() < 0.6):
        one = round(rng.uniform(-400.0, 400.0), 2)
        extras.values = (one, round(one + between, 2))
    if extras.has("machine-places"):
        for station in range(1, 12):
            place = round(rng.uniform(-120.0, 120.0), 2), round(rng.uniform(-80.0, 80.0), 2)
            extras.geometry[station] = place
    if extras.has("m-words"):
        extras.told = {68: "parts-catcher", 41: "nothing"}
