"""How hard a set-up is on tool, spindle, grip and part: ranges, and the limits that they reach.

Every figure is an estimate over published constants and usual shares; nothing here says that
anything is safe. The makers' plates and manuals govern.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.boring_bars import boring_bar, gives_way, is_boring_bar
from standclear.estimate.cuts import ON_AXIS, Cuts, bend_of, cuts_of
from standclear.estimate.holding import grip_left, permitted_speed
from standclear.estimate.limits import Limit, limits_reached
from standclear.estimate.materials import Material, material_of
from standclear.estimate.other_materials import Others, other_materials
from standclear.estimate.sources import sources_of
from standclear.estimate.starting_values import Usual, usual_values
from standclear.estimate.taken import Taken
from standclear.interval import Interval
from standclear.job.models import Clamping, Job, Machine, Shop
from standclear.job.setup_checks import jaws_of
from standclear.proof.result import JobProof, SetupProof

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class ToolLoad:
    """The hardest that one tool has it in a set-up. Each figure is the worst over all its motions,
    `line` where the chip is largest."""

    station: int
    offset: int
    name: str
    line: int
    depth: float
    """mm."""
    feed: Interval
    """mm per revolution."""
    thickness: float
    """Mean thickness of the chip, mm; nan where it is not counted."""
    rate: float
    """cm3/min."""
    speed: Interval
    """m/min, slowest and fastest of its cuts."""
    rpm: float
    force: Interval | None
    """N; None where material or chip is not known."""
    power: Interval | None
    """kW at the spindle."""
    torque: Interval | None
    """N m of a drill or a tap; None for other tools, and where force is not known."""
    thrust: Interval | None
    """N along a drill; None for other tools, and where force is not known."""
    bend: Interval | None
    """The part away from the tool, mm; None where force or jaws are not known."""
    roughness: Interval | None
    """Peak to valley by nose and feed alone, micrometres; None without a nose."""
    bar_bend: Interval | None
    """The tip of a boring bar away from the part, mm; None for other tools, and where the bar's
    overhang or the force is not known."""
    usual: Usual | None


@dataclass(frozen=True)
class SetupLoad:
    """The load of one set-up."""

    name: str
    tools: tuple[ToolLoad, ...]
    volume: float
    """Taken off, cm3."""
    grip: Interval | None
    """Gripping force wanted at the hardest cut, N."""
    grip_left: float | None
    """At the highest speed of any cut, N."""
    permitted: float | None
    """Speed at which just the most gripping force that is wanted is left, rpm."""


@dataclass(frozen=True)
class JobLoad:
    """The load of a job."""

    setups: tuple[SetupLoad, ...]
    limits: tuple[Limit, ...]
    limited: bool
    """The job gives some limit that a cut could reach."""
    material: Material | None
    others: Others | None
    """What other materials would ask for; None where no chip is known."""
    sources: tuple[str, ...]
    left_out: tuple[str, ...]


def job_load(job: Job, proof: JobProof, taken: Sequence[Sequence[Taken]]) -> JobLoad:
    """The load of `job`, of which `taken` says what each motion takes off (`all_taken`) and `proof`
    is its own. Where programs can be read in several ways, the worst of all."""
    assert isinstance(job.machine, Machine)
    material = material_of(job.blank.material)
    setups: list[SetupLoad] = []
    limits: list[Limit] = []
    every: list[tuple[str, Cuts]] = []
    clamped = False
    for setup, found, own in zip(job.setup, proof.setups, taken, strict=True):
        jaws = jaws_of(job, setup)
        assert not isinstance(jaws, str)
        clamping = jaws.clamping if jaws is not None else None
        clamped = clamped or clamping is not None
        cuts = [cuts_of(one, found, material) for one in own]
        every += [(setup.name, one) for one in cuts]
        setups.append(_setup_load(job, found, cuts, material, clamping))
        limits += limits_reached(setup.name, cuts, job, clamping)
    kinds = {str(kind) for _, one in every for kind in one.kind}
    usual = [tool.usual for setup in setups for tool in setup.tools if tool.usual is not None]
    others = other_materials(every)
    return JobLoad(
        tuple(setups),
        tuple(limits),
        job.machine.spindle_power is not None or clamped,
        material,
        others,
        tuple(sources_of(material, kinds, usual, others=others is not None)),
        tuple(_left_out(job, material, job.machine)),
    )


def _setup_load(
    job: Job,
    setup: SetupProof,
    cuts: Sequence[Cuts],
    material: Material | None,
    clamping: Clamping | None,
) -> SetupLoad:
    tools: dict[tuple[int, int], list[ToolLoad]] = {}
    for one in cuts:
        for index in dict.fromkeys(one.tool.tolist()):
            load = _tool_load(job, one, index, setup, material)
            tools.setdefault((load.station, load.offset), []).append(load)
    wanted = _hull([w for w in (_worst(one.grip) for one in cuts) if w is not None])
    fastest = max((float(np.nanmax(c.found.rpm)) for c in cuts if len(c.found.rpm)), default=0.0)
    left = permitted = None
    if clamping is not None:
        left = grip_left(clamping, fastest) if np.isfinite(fastest) else None
        permitted = None if wanted is None else permitted_speed(clamping, wanted.hi)
    return SetupLoad(
        setup.name,
        tuple(_hardest(same) for same in tools.values()),
        max((float(c.found.volume.sum()) / 1000.0 for c in cuts), default=0.0),
        wanted,
        left,
        permitted,
    )


def _tool_load(
    job: Job, one: Cuts, index: int, setup: SetupProof, material: Material | None
) -> ToolLoad:
    own = np.flatnonzero(one.tool == index)
    use = one.reading.trace.tools[index]
    found = one.found
    thick = found.thickness[1][own]
    on_axis = bool(np.isin(one.kind[own], ON_AXIS).all())
    largest = own[int(np.argmax(np.nan_to_num(found.chip[own])))]
    tooling = one.reading.tools[index]
    nose = 0.0 if tooling is None else tooling.shape.nose_radius_mm
    force = _worst(one.force, own)
    shop, tools = job.shop, job.tools
    assert isinstance(shop, Shop)
    assert isinstance(tools, list)
    bar = boring_bar(tools[use.tool]) if use.tool >= 0 else None
    feeds = Interval(float(np.nanmin(found.feed[own])), float(np.nanmax(found.feed[own])))
    return ToolLoad(
        use.station,
        use.offset,
        one.reading.names[index],
        int(one.line[largest]),
        float(found.depth[own].max()),
        feeds,
        float(np.nanmax(thick)) if np.isfinite(thick).any() else float("nan"),
        float(np.nanmax(found.rate[own])),
        _speeds(found.speed[own], at_most=on_axis),
        float(np.nanmax(found.rpm[own])),
        force,
        _worst(one.power, own),
        _worst(one.torque, own) if on_axis else None,
        _worst(one.thrust, own),
        None if material is None else bend_of(one, own, setup, material),
        Interval(peak_to_valley_um(feeds.lo, nose), peak_to_valley_um(feeds.hi, nose))
        if nose > 0
        else None,
        None if bar is None or force is None else gives_way(bar, force),
        usual_values(
            shop,
            job.blank.material,
            material,
            use.station,
            str(one.kind[largest]),
            2.0 * float(np.nanmax(found.outer[own])),
        ),
    )


def _speeds(speed: Floats, *, at_most: bool) -> Interval:
    """m/min, slowest and fastest of the cuts; of a tool on the axis that of its rim alone."""
    fastest = float(np.nanmax(speed))
    return Interval(fastest if at_most else float(np.nanmin(speed)), fastest)


def peak_to_valley_um(feed: float, nose: float) -> float:
    """Rt = f^2 / (8 r), micrometres, feed and nose radius in mm: the ridge that a round nose leaves
    between turns, for feeds up to 2 r sin k' with the trailing angle k'. Closed form of the
    parabola; real surfaces are 1.2 to 2 times as rough (common practice, no source)."""
    return 1000.0 * feed * feed / (8.0 * nose)


def _worst(
    ranges: tuple[Floats, Floats], own: NDArray[np.int64] | slice = slice(None)
) -> Interval | None:
    """The range of the motion that has the most; None where none is known."""
    low, high = ranges[0][own], ranges[1][own]
    if not np.isfinite(high).any():
        return None
    k = int(np.nanargmax(high))
    return Interval(float(low[k]), float(high[k]))


def _hull(parts: Sequence[Interval]) -> Interval | None:
    if not parts:
        return None
    return Interval(max(p.lo for p in parts), max(p.hi for p in parts))


def _hardest(same: Sequence[ToolLoad]) -> ToolLoad:
    return max(same, key=lambda load: (0.0 if load.force is None else load.force.hi, load.rate))


def _left_out(job: Job, material: Material | None, machine: Machine) -> Iterator[str]:
    if material is None:
        named = job.blank.material or "none given"
        yield f"force, power and bending: no constants for the material ({named})"
    if machine.spindle_power is None:
        yield "the spindle's power: the machine file gives no spindle_power"
    for setup in job.setup:
        jaws = jaws_of(job, setup)
        assert not isinstance(jaws, str)
        if jaws is None or jaws.clamping is None:
            yield f"set-up {setup.name}, the grip at speed: its jaws state no clamping"
    tools = job.tools if isinstance(job.tools, list) else []
    bare = [t.station for t in tools if t.overhang is None and is_boring_bar(t)]
    if bare:
        named = ", ".join(f"T{station:02d}" for station in bare)
        yield f"the bending of boring bars: {named} state no overhang"
    yield "push along the axis of tools other than drills, and whether the grip holds any of it"
    yield "the chuck's own give; interrupted cuts"
