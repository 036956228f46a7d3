"""Findings and watch list from the air in front of the metal."""

from __future__ import annotations

from collections.abc import Sequence

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.proof.approach import Air, Station
from standclear.proof.facts import Scene
from standclear.proof.result import Approach

WATCHED = 5
"""How many of the closest approaches go on the watch list, beside each tool's first."""


def air_findings(scene: Scene, found: Sequence[Station], air: Air) -> tuple[Finding, ...]:
    """Clearance points inside or too near the metal, and approaches too near: one a block.

    Where a clearance point is too near, the approach that leads to it is not named again.
    """
    findings: dict[tuple[int, str], Finding] = {}
    short = [s for s in found if s.starts and (s.too_near or s.inside)]
    arrivals = {s.motion - 1 for s in short}
    named = {int(scene.motions.block[s.motion]) for s in short}
    for station in found:
        if not station.too_near and not station.inside:
            continue
        block = int(scene.motions.block[station.motion])
        if not station.starts and (station.inside or station.motion in arrivals or block in named):
            continue
        finding = (_start if station.starts else _way)(scene, station, air)
        findings.setdefault((block, finding.code), finding)
    return tuple(findings.values())


def _start(scene: Scene, station: Station, air: Air) -> Finding:
    motions = scene.motions
    z, r = motions.start[station.motion]
    _, r_min, z_max, r_max = station.metal.bounds
    over, before = 2 * (abs(float(r)) - r_max), float(z) - z_max
    what = "The cycle starts" if station.call >= 0 else "The feed starts"
    needed = (
        "Stand at X{need_x} or further out, or at Z{need_z} or further in front."
        if abs(float(r)) > r_min
        else "Stand at Z{need_z} or further in front."
    )
    if station.inside:
        code, severity = "start-inside-metal", Severity.STOP
        message = f"{what} with the tool inside the metal, at X{{x}} Z{{z}}"
    else:
        code, severity = "start-too-near", Severity.MEND
        message = f"{what} too near the metal, at X{{x}} Z{{z}}"
    across = "X {over} on diameter ({over_radial} between tool and metal)"
    along = "Z {before} in front"
    message += (
        f": {across if over >= 0 else 'X {under} under the diameter'}, "
        f"{along if before >= 0 else 'Z {behind} behind the face'}; "
        "wanted {wanted_x} on diameter or {wanted_z} along Z."
    )
    return Finding(
        code,
        severity,
        message,
        needed,
        scene.setup,
        scene.place(int(motions.block[station.motion])),
        (),
        (
            Measure("x", 2 * float(r), Quantity.POSITION_X),
            Measure("z", float(z), Quantity.POSITION_Z),
            Measure("over", over, Quantity.DIAMETER),
            Measure("over_radial", over / 2),
            Measure("before", before),
            *([Measure("under", -over, Quantity.DIAMETER)] if over < 0 else []),
            *([Measure("behind", -before)] if before < 0 else []),
            Measure("wanted_x", 2 * air.across, Quantity.DIAMETER),
            Measure("wanted_z", air.along),
            Measure("need_x", 2 * (r_max + air.across), Quantity.POSITION_X),
            Measure("need_z", z_max + air.along, Quantity.POSITION_Z),
        ),
        motion=station.motion,
        tags=scene.reading(station.motion),
    )


def _way(scene: Scene, station: Station, air: Air) -> Finding:
    gap = station.gap
    across, along = gap.corner or (gap.across, gap.along)
    parts = []
    measures = [
        *scene.target(station.motion),
        Measure("nearest", gap.nearest),
        Measure("wanted_x", 2 * air.across, Quantity.DIAMETER),
        Measure("wanted_z", air.along),
    ]
    if across is not None:
        parts.append("X {gap_x} on diameter, {gap_across} between tool and metal")
        measures += [
            Measure("gap_x", 2 * across, Quantity.DIAMETER),
            Measure("gap_across", across),
        ]
    if along is not None:
        parts.append("Z {gap_z}")
        measures.append(Measure("gap_z", along))
    past = "past the corner: " if gap.corner else ""
    detail = f" ({past}{'; '.join(parts)})" if parts else ""
    short = [
        axis
        for axis, found, wanted in (("X", across, air.across), ("Z", along, air.along))
        if found is not None and found < wanted
    ]
    return Finding(
        "approach-too-near",
        Severity.MEND,
        f"The rapid to X{{to_x}} Z{{to_z}} passes {{nearest}} from the metal{detail}: short in "
        f"{' and '.join(short or ('X', 'Z'))}, where {{wanted_x}} on diameter or {{wanted_z}} "
        "along Z would do.",
        "Lead the rapid further out.",
        scene.setup,
        scene.place(int(scene.motions.block[station.motion])),
        (),
        tuple(measures),
        motion=station.motion,
        tags=scene.reading(station.motion),
    )


def watch_list(
    scene: Scene, found: Sequence[Station], tool_names: Sequence[str]
) -> tuple[Approach, ...]:
    """The closest approaches and each tool's first, in order of motion."""
    motions = scene.motions
    seen: set[int] = set()
    approaches = []
    for s in found:
        tool = int(motions.tool[s.motion])
        place = scene.place(int(motions.block[s.motion]))
        if place is None:
            continue
        where = motions.start[s.motion] if s.starts else motions.end[s.motion]
        approaches.append(
            Approach(
                s.motion,
                place,
                tool_names[tool],
                (float(where[0]), float(where[1])),
                s.gap.nearest,
                s.gap.across,
                s.gap.along,
                "metal",
                tool not in seen,
            )
        )
        seen.add(tool)
    closest = {id(a) for a in sorted(approaches, key=lambda a: a.gap)[:WATCHED]}
    return tuple(a for a in approaches if a.first_of_tool or id(a) in closest)
