"""Whether the part can sit where the job says, and whether the jaws hold what the job says."""

from __future__ import annotations

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.interval import Interval
from standclear.job.models import Jaws, Setup
from standclear.proof.bench import WIDE, Metal
from standclear.proof.section import rectangle, surely
from standclear.sweeps.areas import common, thickness, union

SEATED_MM = 0.05
"""Metal that surely stands deeper than this in jaws, chuck or stop cannot be there: wider than any
float noise, finer than a setter would force. Our choice, no source."""
UNLIKE_MM = 0.5
"""Difference on diameter from which jaws do not hold what the job states: more than a jaw gives by
clamping, less than a step worth turning. Common practice, no source."""
ROUNDING_MM = 0.001
"""What a stated diameter may be rounded by."""
END_MM = 1.0
"""Length at either end of the jaws that is not looked at. Our choice, no source."""
HELD_SHARE = 0.75
"""Least share of the metal between the jaws that must have the diameter they close on."""


def seat_findings(
    setup: Setup,
    jaws: Jaws | None,
    stop: Interval,
    metal: Metal,
    grip: Interval,
    flats: Interval | None = None,
) -> tuple[Finding, ...]:
    """What is wrong with how the part sits, before any motion.

    stop: Z of the jaws' stop plane. grip: Z between which the jaws hold. flats: radius of the flats
    of a bar that is not round.

    A part that cannot sit there, `cannot-seat`, lies elsewhere than where it is judged: such a
    finding leaves the set-up unproven.
    """
    if jaws is None:
        return ()
    # A fillet or chamfer at either end of the jaws is not what they hold.
    margin = min(END_MM, (grip.hi - grip.lo) / 4)
    between = common(metal.nominal, rectangle(grip.lo + margin, grip.hi - margin, 0.0, WIDE))
    if between.is_empty:
        return (_nothing_held(setup, grip),)
    radius = float(between.bounds[3])
    found = []
    stated = radius if setup.grip_diameter is None else setup.grip_diameter / 2
    # Jaws that meet more than was stated all along close on that. Where a shoulder alone stands out
    # between them, they are meant to close on what lies behind it.
    closed = radius if _held_share(between, radius) >= HELD_SHARE else min(stated, radius)
    unlike = abs(stated - radius) > UNLIKE_MM / 2
    if flats is not None and radius > flats.hi:
        # Jaws on the bar's own skin stand on flats, on corners or in between.
        corners = common(metal.most, rectangle(grip.lo, grip.hi, 0.0, WIDE)).bounds[3]
        unlike = not flats.lo <= stated <= corners + ROUNDING_MM
    if unlike and closed == radius:
        found.append(_unlike(setup, 2 * stated, 2 * radius))
    # They give way to a taper or the foot of a fillet at their ends by as much as goes untold.
    widest = float(common(metal.nominal, rectangle(grip.lo, grip.hi, 0.0, WIDE)).bounds[3])
    opened = widest if closed < widest <= closed + UNLIKE_MM / 2 else closed
    deep = _deepest(metal.least, _standing(jaws, stop, opened))
    if not deep.is_empty:
        found.append(_cannot_seat(setup, deep))
    elif (share := _held_share(between, closed)) < HELD_SHARE:
        whole = _length(between)
        found.append(_short_hold(setup, 2 * closed, share * whole, whole))
    return tuple(found)


def _held_share(between: BaseGeometry, radius: float) -> float:
    """Of the length of the metal between the jaws what they touch when they close on `radius`."""
    z_min, _, z_max, _ = between.bounds
    touched = common(between, rectangle(z_min, z_max, radius - UNLIKE_MM / 2, WIDE))
    return _length(touched) / _length(between)


def _standing(jaws: Jaws, stop: Interval, radius: float) -> BaseGeometry:
    """Where jaws, chuck and stop surely are, closed on `radius`."""
    profile = shapely.Polygon([(z, h) for z, h in jaws.profile])
    parts = [translate(profile, 0.0, radius)]
    if jaws.chuck is not None:
        face, radius_c = jaws.chuck.face, jaws.chuck.diameter / 2
        parts.append(rectangle(face - radius_c, face, 0.0, radius_c))
    if jaws.stop is not None:
        parts.append(rectangle(-jaws.stop.diameter, 0.0, 0.0, jaws.stop.diameter / 2))
    everywhere = surely(union(parts), stop)
    return common(everywhere, rectangle(-WIDE, WIDE, 0.0, WIDE))


def _deepest(metal: BaseGeometry, standing: BaseGeometry) -> BaseGeometry:
    """The part of the metal deepest in what stands there. A border known to the last bits only
    can leave a slanting hair as long as a chamfer: what no disc of `SEATED_MM` fits in is none."""
    parts = shapely.get_parts(common(metal, standing))
    thick = ~shapely.is_empty(shapely.buffer(parts, -SEATED_MM / 2))
    real = [p for p in parts[thick] if min(_sides(p)) > SEATED_MM]
    return max(real, key=lambda p: min(_sides(p)), default=shapely.Polygon())


def _sides(area: BaseGeometry) -> tuple[float, float]:
    z_min, r_min, z_max, r_max = area.bounds
    return z_max - z_min, r_max - r_min


def _length(area: BaseGeometry) -> float:
    parts = [p for p in shapely.get_parts(area) if not p.is_empty and thickness(p) > 0]
    return float(sum(p.bounds[2] - p.bounds[0] for p in parts))


def _nothing_held(setup: Setup, grip: Interval) -> Finding:
    return Finding(
        "cannot-seat",
        Severity.STOP,
        "There is no metal between the jaws, from Z{z_from} to Z{z_to}.",
        "Check seat, stop and zero of the set-up.",
        setup.name,
        measures=(
            Measure("z_from", grip.lo, Quantity.POSITION_Z),
            Measure("z_to", grip.hi, Quantity.POSITION_Z),
        ),
        unproven=True,
    )


def _unlike(setup: Setup, stated: float, found: float) -> Finding:
    return Finding(
        "grip-unlike-metal",
        Severity.MEND,
        "The job says the jaws grip diameter {stated}; the metal between them measures {found}. "
        "Both places of the jaws were proved.",
        "State the diameter that is gripped, or leave `grip_diameter` out.",
        setup.name,
        measures=(
            Measure("stated", stated, Quantity.DIAMETER),
            Measure("found", found, Quantity.DIAMETER),
        ),
    )


def _cannot_seat(setup: Setup, deep: BaseGeometry) -> Finding:
    z_from, r_from, z_to, r_to = deep.bounds
    return Finding(
        "cannot-seat",
        Severity.STOP,
        "The part cannot sit there: metal from Z{z_from} to Z{z_to}, diameter {d_from} to {d_to}, "
        "stands {depth} deep where jaws, chuck or stop are.",
        "Check seat, jaws and gripped diameter; a shoulder may not fit between the jaws. For a bar "
        "that runs on into the spindle give the jaws no `chuck`, or one behind the bar's end.",
        setup.name,
        measures=(
            Measure("z_from", z_from, Quantity.POSITION_Z),
            Measure("z_to", z_to, Quantity.POSITION_Z),
            Measure("d_from", 2 * r_from, Quantity.DIAMETER),
            Measure("d_to", 2 * r_to, Quantity.DIAMETER),
            Measure("depth", min(z_to - z_from, r_to - r_from)),
        ),
        unproven=True,
    )


def _short_hold(setup: Setup, diameter: float, held: float, between: float) -> Finding:
    return Finding(
        "grip-unlike-metal",
        Severity.MEND,
        "The jaws close on diameter {diameter}, which is {held} long of the {between} of metal "
        "between them; the rest is thinner.",
        "Grip on one diameter, or take jaws that fit the step.",
        setup.name,
        measures=(
            Measure("diameter", diameter, Quantity.DIAMETER),
            Measure("held", held),
            Measure("between", between),
        ),
    )
