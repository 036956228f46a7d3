"""Findings about the metal itself: raw skin, bands, good metal, loose metal, depth of cut."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.proof.facts import Scene
from standclear.proof.shares import BURR_MM, Loosened, Shares, depths
from standclear.proof.skin import RawLeft, Where
from standclear.sweeps.areas import common, less, union
from standclear.sweeps.sweep import Sweeps

DEPTH_NOISE_MM = 0.001
"""A depth of cut is known to the thousandth that sweeps may be wrong by."""


OTHER_END = "what the other end has finished"
"""What is good metal where the job gives no finished outline."""
MEANT = " Where it is meant, give the part's `outline`: the cut is then held against that."


def good_metal_findings(
    scene: Scene,
    cut: Sweeps,
    finished: BaseGeometry,
    bores: BaseGeometry,
    allowed: float,
    whose: str,
) -> tuple[Finding, ...]:
    """Cuts more than `allowed` mm under the outline `finished`, which `whose` names; what lies in
    `bores` may be cut."""
    if finished.is_empty:
        return ()
    good = finished.buffer(-allowed, join_style="mitre")
    # The outline ends on the axis, where it is no surface: nothing is drawn in there.
    z_min, _, z_max, _ = finished.bounds
    core = shapely.box(z_min + allowed, 0.0, z_max - allowed, 2 * allowed)
    good = less(union([good, common(core, finished)]), bores)
    shapely.prepare(good)
    near = shapely.intersects(cut.cut, good)
    found: dict[int, Finding] = {}
    for motion in np.unique(cut.cut_motion[near]).tolist():
        pieces = cut.cut[(cut.cut_motion == motion) & near]
        wrong = common(union(pieces), good)
        block = int(scene.motions.block[motion])
        if wrong.area == 0.0:
            continue
        full = less(common(union(pieces), finished), bores)
        z_from, r_from, z_to, r_to = full.bounds
        deep = min(r_to - r_from, z_to - z_from)
        if block in found and _depth_of(found[block]) >= deep:
            continue
        found[block] = Finding(
            "good-metal-cut",
            Severity.STOP,
            f"The cut to X{{to_x}} Z{{to_z}} goes {{depth}} under {whose}, between Z{{z_from}} and "
            "Z{z_to}, down to diameter {diameter}.",
            "Check the offset, the tool and the size in this block."
            + (MEANT if whose == OTHER_END else ""),
            scene.setup,
            scene.place(block),
            scene.related(motion),
            (
                Measure("depth", deep),
                *scene.target(motion),
                Measure("z_from", z_from, Quantity.POSITION_Z),
                Measure("z_to", z_to, Quantity.POSITION_Z),
                Measure("diameter", 2 * r_from, Quantity.DIAMETER),
            ),
            motion=motion,
        )
    return tuple(found.values())


def _depth_of(finding: Finding) -> float:
    return next(float(m.value) for m in finding.measures if m.name == "depth")


def too_deep_findings(
    scene: Scene, shares: Shares, limits: Sequence[float | None], names: Sequence[str]
) -> tuple[Finding, ...]:
    """The deepest cut of each block that is deeper than its tool may take; `limits` in mm by tool
    of the trace."""
    if len(shares.motion) == 0:
        return ()
    tool = scene.motions.tool[shares.motion]
    limit = np.array([np.inf if limits[t] is None else limits[t] for t in tool], dtype=float)
    deep = depths(shares, scene.motions)
    over = np.flatnonzero(deep > limit + DEPTH_NOISE_MM)
    worst: dict[int, int] = {}
    for k in over.tolist():
        block = int(scene.motions.block[shares.motion[k]])
        if block not in worst or deep[k] > deep[worst[block]]:
            worst[block] = k
    return tuple(
        too_deep_finding(
            scene, int(shares.motion[k]), names[tool[k]], float(deep[k]), float(limit[k])
        )
        for k in worst.values()
    )


def too_deep_finding(scene: Scene, motion: int, name: str, depth: float, limit: float) -> Finding:
    """A motion by which the tool `name` cuts `depth` mm deep and may take `limit`."""
    return Finding(
        "cut-too-deep",
        Severity.MEND,
        f"{name} cuts {{depth}} deep in one pass on the way to X{{to_x}} Z{{to_z}}; it may take "
        "{limit}.",
        "Start the passes further out, or take less a pass.",
        scene.setup,
        scene.place(int(scene.motions.block[motion])),
        scene.related(motion),
        (Measure("depth", depth), Measure("limit", limit), *scene.target(motion)),
        motion=motion,
    )


def loose_finding(scene: Scene, loosened: Loosened, *, falls: bool) -> Finding:
    """Metal that hangs on nothing gripped after a motion; what follows is unproven unless the job
    says that it falls there."""
    z_from, r_from, z_to, r_to = loosened.area.bounds
    block = int(scene.motions.block[loosened.motion])
    message = (
        "After the cut to X{to_x} Z{to_z} the metal between Z{z_from} and Z{z_to}, diameter "
        "{d_from} to {d_to}, hangs on nothing"
    )
    return Finding(
        "loose-metal",
        Severity.NOTE if falls else Severity.STOP,
        message + (", and falls there as the job says." if falls else "."),
        ""
        if falls
        else "If it falls or is caught there, name the line in the set-up's `falls_at`; else leave "
        "a neck.",
        scene.setup,
        scene.place(block),
        scene.related(loosened.motion),
        (
            *scene.target(loosened.motion),
            Measure("z_from", z_from, Quantity.POSITION_Z),
            Measure("z_to", z_to, Quantity.POSITION_Z),
            Measure("d_from", 2 * r_from, Quantity.DIAMETER),
            Measure("d_to", 2 * r_to, Quantity.DIAMETER),
        ),
        unproven=not falls,
        motion=loosened.motion + 1,
    )


def burr_finding(scene: Scene, burr: Loosened) -> Finding:
    """Foil or a pip that comes free: it is swarf, and what follows stays proven."""
    z_from, r_from, z_to, r_to = burr.area.bounds
    return Finding(
        "loose-metal",
        Severity.NOTE,
        "After the cut to X{to_x} Z{to_z} a burr thinner than {limit} comes free, between "
        "Z{z_from} and Z{z_to}, diameter {d_from} to {d_to}; it counts as swarf.",
        "",
        scene.setup,
        scene.place(int(scene.motions.block[burr.motion])),
        scene.related(burr.motion),
        (
            *scene.target(burr.motion),
            Measure("limit", BURR_MM),
            Measure("z_from", z_from, Quantity.POSITION_Z),
            Measure("z_to", z_to, Quantity.POSITION_Z),
            Measure("d_from", 2 * r_from, Quantity.DIAMETER),
            Measure("d_to", 2 * r_to, Quantity.DIAMETER),
        ),
        motion=burr.motion,
    )


def thin_neck_finding(scene: Scene, area: BaseGeometry, least_neck: float) -> Finding:
    """Metal that hangs by less than the job's least neck when the set-up ends."""
    z_from, _, z_to, _ = area.bounds
    return Finding(
        "loose-metal",
        Severity.STOP,
        "The metal between Z{z_from} and Z{z_to} hangs by less than the least neck, {neck} across.",
        "Leave a thicker neck, or part it off and say where it falls.",
        scene.setup,
        measures=(
            Measure("z_from", z_from, Quantity.POSITION_Z),
            Measure("z_to", z_to, Quantity.POSITION_Z),
            Measure("neck", least_neck, Quantity.DIAMETER),
        ),
        unproven=True,
        motion=len(scene.motions),
    )


_RAW = {
    Where.OUTER_FACE: (
        "face-left-raw",
        "Raw skin stays on the outer face, up to Z{z_to}, from diameter {d_from} to {d_to}.",
        "Move the part zero further into the metal, or face lower.",
    ),
    Where.CHUCK_FACE: (
        "face-left-raw",
        "Raw skin stays on the face at the chuck side, from diameter {d_from} to {d_to}.",
        "Leave more for the other end: split the spare length again.",
    ),
    Where.DIAMETER: (
        "diameter-left-raw",
        "Raw skin stays on the diameter between Z{z_from} and Z{z_to}.",
        "Take the bar that the drawing asks for, or turn this length too.",
    ),
    Where.BAND: (
        "band-left",
        "A band of raw skin {width} wide stays between Z{z_from} and Z{z_to}, between what the two "
        "ends turn.",
        "Turn one end {width} further, clear of the jaws, or grip shorter.",
    ),
    Where.BORE: (
        "diameter-left-raw",
        "Raw skin stays in the bore between Z{z_from} and Z{z_to}.",
        "Bore it through, or take a tube with a smaller bore.",
    ),
}


def raw_findings(setup: str, left: Sequence[RawLeft], *, surely: bool) -> tuple[Finding, ...]:
    """One finding for each stretch of raw skin; Z counts in the frame of the set-up named.

    Not `surely`: motions that could not be followed may take it off.
    """
    return tuple(
        Finding(
            code,
            Severity.MEND,
            message if surely else message.replace(" stays ", " may stay "),
            cure if surely else "First clear up what is not proved.",
            setup,
            measures=(
                Measure("z_from", raw.z_from, Quantity.POSITION_Z),
                Measure("z_to", raw.z_to, Quantity.POSITION_Z),
                Measure("width", raw.z_to - raw.z_from),
                Measure("d_from", 2 * raw.r_from, Quantity.DIAMETER),
                Measure("d_to", 2 * raw.r_to, Quantity.DIAMETER),
            ),
        )
        for raw in left
        for code, message, cure in [_RAW[raw.where]]
    )
