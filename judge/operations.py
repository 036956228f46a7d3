"""Writes the program of one end: face, rough, finish, recesses and groove.

Stations: 1 roughing, 2 finishing, 3 grooving, 4 drill, 5 boring bar, 6 left-hand, 7 inside
grooving, 8 face grooving, 9 and 10 threading outside and inside, 11 tap. Sizes in mm, radii.
"""

from __future__ import annotations

from random import Random

from judge.ends import RECESS, End
from judge.grooves import write_groove
from judge.inside import write_inside
from judge.outward import write_outward
from judge.roughing import compensation, rough, write_contour
from judge.thread_work import write_threads
from judge.turret import away, take
from judge.writer import Writer


def write_end(w: Writer, end: End, rng: Random) -> None:
    """All operations of one end, each tool from home and back."""
    w.clear_r = end.raw + 13.0
    take(w, 1, end, rng)
    _face(w, end)
    profile = rough(w, end, rng)
    if end.finish_by != "none":
        if profile is not None and rng.random() < 0.35:
            _finish_with(w, end, profile, rng)
        else:
            away(w, rng)
            take(w, 2, end, rng)
            _finish_with(w, end, profile, rng)
        if end.recess:
            _recess(w, end)
    away(w, rng)
    if end.back:
        take(w, 6, end, rng)
        with w.apart():
            _back(w, end)
        away(w, rng)
    if end.groove is not None:
        take(w, 3, end, rng)
        with w.apart():
            write_groove(w, end, end.groove)
        away(w, rng)
    if end.outward is not None:
        take(w, 6, end, rng)
        with w.apart():
            write_outward(w, end)
        away(w, rng)
    write_inside(w, end, rng)
    write_threads(w, end, rng)


def _face(w: Writer, end: End) -> None:
    """Takes the raw face down to zero, past the centre or into the bore."""
    if end.face_by == "none":
        return
    z, r = end.face + end.clear_z, end.raw + end.clear_x
    if end.fault == "near-face":
        z -= end.amount
    inner = end.hole - 0.8 if end.hole > 0 else -end.past
    w.block("G00", w.x(r), w.z(z))
    w.block("M08")
    if end.face_by == "G94":
        passes = max(1, round(end.face / 1.2))
        for k in range(1, passes + 1):
            depth = w.z(end.face * (1 - k / passes))
            cone = ["R" + w.number(end.cone if k < passes else 0.0)] if end.cone > 0 else []
            if k == 1:
                w.block("G94", w.x(inner), depth, *cone, w.feed(0.15))
            else:
                w.block(depth, *cone)
    elif end.face_by == "G72":
        first, last = w.label(), w.label()
        depth = w.increments("D", 1.2) if end.one_block else ""
        if not depth:
            w.block("G72", w.z(1.2, "W"), "R" + w.number(0.5))
        w.block("G72", f"P{first}", f"Q{last}", "U0.", "W0.", depth, w.feed(0.15))
        w.in_profile = True
        w.block(f"N{first}", "G00", w.z(0.0))
        w.block(f"N{last}", "G01", w.x(inner), w.feed(0.12))
        w.in_profile = False
    else:
        w.block("G00", w.z(0.0))
        w.block("G00" if end.fault == "rapid-feed" else "G01", w.x(inner), w.feed(0.12))
        if end.fault != "no-retract":
            w.block("G00", w.z(end.clear_z))
        w.block("G00", w.x(r))


def _finish_with(w: Writer, end: End, profile: tuple[int, int] | None, rng: Random) -> None:
    z, r = end.start
    w.block("G00", w.x(r), w.z(z))
    if profile is not None and end.finish_by == "G70":
        w.block("G70", f"P{profile[0]}", f"Q{profile[1]}", w.feed(0.1))
        return
    entry = end.contour()[0][1][1]
    on = compensation(end, False)
    w.block(on, "G00", w.x(entry))
    write_contour(w, end, (z, entry), rng, "")
    if on:
        w.block("G40", "G01", w.x(end.exit + 1.2 * end.compensated))
    if end.fault == "corner-cut":
        w.block("G00", w.x(end.large + 3.0 - end.amount), w.z(z))
    elif w.family == "cycles-g90":
        w.block("G00", w.x(0.8, "U"), w.z(0.8, "W"))
    w.block("G00", w.x(r))
    w.block("G00", w.z(z))


def _back(w: Writer, end: End) -> None:
    """A recess turned away from the chuck: in at a slope, along, out at the collar."""
    run = RECESS / end.back
    stop = -end.small_length - 1.0
    start = stop - 1.5 - run
    top = end.raw + end.clear_x
    w.block("G00", w.x(top), w.z(end.ready))
    w.block("G00", w.z(start))
    on = "G41" if end.compensated and end.extras.rng.random() < 0.7 else ""
    w.block("G00", w.x(end.large + 0.5 + (1.2 * end.compensated if on else 0.0)))
    w.block(on, "G01", w.x(end.large), w.feed(0.1))
    w.block("G01", w.x(end.large - RECESS), w.z(start + run))
    w.block("G01", w.z(stop))
    if end.fault == "no-retract" and not on:
        w.block("G00", w.z(stop + end.amount))
    w.block("G01", w.x(end.exit))
    if on:
        w.block("G40", "G01", w.x(end.exit + 1.2 * end.compensated))
    w.block("G00", w.x(top))


def _recess(w: Writer, end: End) -> None:
    """A shallow recess in the large diameter, entered at a slope."""
    run = RECESS / end.recess
    z = -end.length + 2.0 + run
    w.block("G00", w.x(end.raw + end.clear_x))
    w.block("G00", w.z(z))
    w.block("G01", w.x(end.large), w.feed(0.1))
    w.block("G01", w.x(end.large - RECESS), w.z(z - run))
    w.block("G01", w.z(z - run - 1.5))
    w.block("G01", w.x(end.exit))
    w.block("G00", w.x(end.raw + end.clear_x))
