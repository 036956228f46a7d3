"""Findings from what was struck: motions against metal and obstacles."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from standclear.blocks.program import Program
from standclear.findings.finding import Finding, Measure, Place, Quantity, Severity
from standclear.motions.table import Motions, Path, Trace
from standclear.proof.obstacles import Encounter
from standclear.proof.result import Part, Strike


@dataclass(frozen=True)
class Scene:
    """What a finding is made from, one set-up and one reading of its program."""

    setup: str
    program: Program
    trace: Trace
    unproven_from: int
    """Number of the first motion that could not be followed; the table's length where none."""

    @property
    def motions(self) -> Motions:
        return self.trace.motions

    def place(self, block: int) -> Place | None:
        """The place of a block; None where the motion belongs to none."""
        if block < 0:
            return None
        found = self.program.blocks[block]
        column = found.words[0].column if found.words else 1
        return Place(
            found.file or self.program.name,
            found.index,
            found.line,
            column,
            found.shown,
            bool(found.file),
        )

    def related(self, motion: int) -> tuple[Place, ...]:
        """The profile block that a cycle follows in this motion."""
        place = self.place(int(self.motions.profile[motion]))
        return () if place is None else (place,)

    def reading(self, motion: int) -> tuple[str, ...]:
        """The open control values that this motion stands for, `row=value`."""
        values = self.trace.reading
        number = int(self.motions.call[motion])
        if number >= 0:
            call = next(c for c in self.trace.calls if c.number == number)
            values += call.readings[int(self.motions.variant[motion])]
        return values

    def target(self, motion: int) -> tuple[Measure, Measure]:
        """Where a motion ends, as programmed."""
        z, r = self.motions.end[motion]
        return (
            Measure("to_x", 2 * float(r), Quantity.POSITION_X),
            Measure("to_z", float(z), Quantity.POSITION_Z),
        )


_STRIKES = {
    Part.TOOL_IN_RAPID: (
        "rapid-into-metal",
        "The rapid to X{to_x} Z{to_z} {runs} {depth} deep into metal",
        "Keep the rapid outside the metal: go in front of the face or out over the diameter first.",
    ),
    Part.HOLDER: (
        "holder-into-metal",
        "The holder or heel {runs} {depth} deep into metal on the feed to X{to_x} Z{to_z}",
        "Take a tool that reaches there, or cut the way free first.",
    ),
    Part.IN_THREAD: (
        "holder-into-metal",
        "The thread pass to X{to_x} Z{to_z} {runs} {depth} deep into metal with more than its "
        "insert between root and crest",
        "Turn down to the crest first, or take a tool that reaches the root.",
    ),
    Part.PAST_CENTRE: (
        "holder-into-metal",
        "The tool, past the centre line, {runs} {depth} deep into metal of the far side on the "
        "feed to X{to_x} Z{to_z}",
        "Stop at the centre line, or leave room on the far side.",
    ),
    Part.APPEARING: (
        "tool-appears-in-metal",
        "The tool {stands} {depth} deep in metal where it is called, at X{to_x} Z{to_z}",
        "Retreat further before the tool change.",
    ),
}
_SPINDLE = {
    True: (
        "feed-with-spindle-stopped",
        "The feed to X{to_x} Z{to_z} {runs} {depth} deep into metal with the spindle stopped",
        "Start the spindle before this block.",
    ),
    False: (
        "feed-with-spindle-wrong-way",
        "The feed to X{to_x} Z{to_z} {runs} {depth} deep into metal with the spindle turning "
        "against the tool",
        "Turn the spindle the way this tool cuts, M03 or M04.",
    ),
}


def strike_findings(
    scene: Scene, strikes: Sequence[Strike], ways: Mapping[int, tuple[str, ...]]
) -> tuple[Finding, ...]:
    """One finding for each block and part of the tool, with the deepest of its sure strikes, or of
    those after something that could not be followed where no other is.

    `ways`: by motion the ways home that strike, as `row=value`, where any was tried.
    """
    deepest: dict[tuple[int, Part], Strike] = {}
    count: dict[tuple[int, Part], int] = {}
    for strike in strikes:
        key = (int(scene.motions.block[strike.motion]), strike.part)
        count[key] = count.get(key, 0) + 1
        if key not in deepest or _weight(scene, strike) > _weight(scene, deepest[key]):
            deepest[key] = strike
    return tuple(
        _strike_finding(scene, s, count[key], ways.get(s.motion, ())) for key, s in deepest.items()
    )


def _weight(scene: Scene, strike: Strike) -> tuple[bool, float]:
    return strike.motion < scene.unproven_from, depth(strike)


def depth(strike: Strike) -> float:
    """How deep a strike is, mm: the lesser of its extents along and across the axis (on radius)."""
    return min(strike.depth_x, strike.depth_z)


def _strike_finding(scene: Scene, strike: Strike, count: int, ways: tuple[str, ...]) -> Finding:
    motion = strike.motion
    if strike.part is Part.SPINDLE:
        code, message, cure = _SPINDLE[int(scene.motions.spindle[motion]) == 0]
    else:
        code, message, cure = _STRIKES[strike.part]
    z_min, r_min, z_max, r_max = (
        strike.overlap.bounds if not strike.overlap.is_empty else (0.0, 0.0, 0.0, 0.0)
    )
    surely = motion < scene.unproven_from
    message = message.replace("{runs}", "runs" if surely else "may run")
    message = message.replace("{stands}", "stands" if surely else "may stand")
    message += ", between Z{z_from} and Z{z_to}, from diameter {d_from} to {d_to}"
    if ways:
        message += "; the way home after a cycle is not stated, so any is tried"
    elif scene.motions.path[motion] == Path.ANYWHERE and scene.motions.call[motion] >= 0:
        message += "; the way is not stated (rapid path, home after a cycle), so any is tried"
    if count > 1:
        message += " ({count} motions of this block strike; this is the deepest)"
    return Finding(
        code,
        Severity.STOP,
        message + ".",
        cure,
        scene.setup,
        scene.place(int(scene.motions.block[motion])),
        scene.related(motion),
        (
            Measure("depth", depth(strike)),
            Measure("depth_x", strike.depth_x),
            Measure("depth_z", strike.depth_z),
            *scene.target(motion),
            Measure("z_from", z_min, Quantity.POSITION_Z),
            Measure("z_to", z_max, Quantity.POSITION_Z),
            Measure("d_from", 2 * r_min, Quantity.DIAMETER),
            Measure("d_to", 2 * r_max, Quantity.DIAMETER),
            Measure("count", count, Quantity.COUNT),
        ),
        motion=motion,
        tags=(*scene.reading(motion), *ways),
    )


def obstacle_findings(scene: Scene, met: Iterable[Encounter], margin: float) -> tuple[Finding, ...]:
    """One finding for each block and obstacle: the nearest or deepest of its motions."""
    worst: dict[tuple[int, str], Encounter] = {}
    for encounter in met:
        key = (int(scene.motions.block[encounter.motion]), encounter.obstacle)
        if key not in worst or _worse(encounter, worst[key]):
            worst[key] = encounter
    return tuple(_obstacle_finding(scene, e, margin) for e in worst.values())


def _worse(one: Encounter, other: Encounter) -> bool:
    return (one.strikes, -one.distance, one.overlap.area) > (
        other.strikes,
        -other.distance,
        other.overlap.area,
    )


def _obstacle_finding(scene: Scene, met: Encounter, margin: float) -> Finding:
    motion = met.motion
    surely = motion < scene.unproven_from
    place = scene.place(int(scene.motions.block[motion]))
    measures: tuple[Measure, ...] = scene.target(motion)
    if not met.strikes:
        return Finding(
            "jaws-near",
            Severity.MEND,
            f"The tool passes {{gap}} from the {met.obstacle} on the way to X{{to_x}} Z{{to_z}}; "
            "{margin} is wanted.",
            "Let the part stand out further, or take jaws that stand back.",
            scene.setup,
            place,
            scene.related(motion),
            (*measures, Measure("gap", met.distance), Measure("margin", margin)),
            motion=motion,
            tags=scene.reading(motion),
        )
    z_min, r_min, z_max, r_max = met.overlap.bounds
    does = "strikes" if surely else "may strike"
    return Finding(
        "jaws-struck",
        Severity.STOP,
        f"The tool {does} the {met.obstacle}, {{depth}} deep, on the way to X{{to_x}} Z{{to_z}}, "
        "between Z{z_from} and Z{z_to}.",
        "Let the part stand out further, take jaws that stand back, or stop the motion earlier.",
        scene.setup,
        place,
        scene.related(motion),
        (
            *measures,
            Measure("depth", min(r_max - r_min, z_max - z_min)),
            Measure("z_from", z_min, Quantity.POSITION_Z),
            Measure("z_to", z_max, Quantity.POSITION_Z),
        ),
        motion=motion,
        tags=scene.reading(motion),
    )
