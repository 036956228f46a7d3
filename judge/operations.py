"""Writes the program of one end: face, rough, finish, recesses and groove.

Stations: 1 roughing, 2 finishing, 3 grooving, 4 drill, 5 boring bar, 6 left-hand, 7 inside
grooving, 8 face grooving. Sizes in mm, radii.
"""

from __future__ import annotations

from random import Random

from judge.ends import RECESS, End, Groove
from judge.inside import write_inside
from judge.turret import away, take
from judge.writer import Writer


def write_end(w: Writer, end: End, rng: Random) -> None:
    """All operations of one end, each tool from home and back."""
    take(w, 1, end, rng)
    _face(w, end)
    profile = _rough(w, end, rng)
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
        _back(w, end)
        away(w, rng)
    if end.groove is not None:
        take(w, 3, end, rng)
        _groove(w, end, end.groove)
        away(w, rng)
    write_inside(w, end, rng)


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
        w.block("G72", w.z(1.2, "W"), "R" + w.number(0.5))
        w.block("G72", f"P{first}", f"Q{last}", "U0.", "W0.", w.feed(0.15))
        w.block(f"N{first}", "G00", w.z(0.0))
        w.block(f"N{last}", "G01", w.x(inner), w.feed(0.12))
    else:
        w.block("G00", w.z(0.0))
        w.block("G00" if end.fault == "rapid-feed" else "G01", w.x(inner), w.feed(0.12))
        if end.fault != "no-retract":
            w.block("G00", w.z(end.clear_z))
        w.block("G00", w.x(r))


def _rough(w: Writer, end: End, rng: Random) -> tuple[int, int] | None:
    """Roughs the outside; gives the labels of the profile where there is one."""
    z, r = end.start
    w.block("G00", w.x(r), w.z(z))
    if end.rough_by in ("G71", "G72"):
        across = end.rough_by == "G72"
        first, last = w.label(), w.label()
        step = (w.z(end.depth, "W"),) if across else ("U" + w.number(end.depth),)
        w.block(end.rough_by, *step, "R" + w.number(end.return_gap))
        w.block(
            end.rough_by, f"P{first}", f"Q{last}", w.x(end.allow_x, "U"),
            w.z(end.allow_z, "W"), w.feed(0.25),
        )  # fmt: skip
        _profile(w, end, first, last, across, rng)
        return first, last
    radii = []
    level = end.raw - end.depth
    while level > end.large + end.allow_x:
        radii.append((level, end.length))
        level -= end.depth
    radii.append((end.large + end.allow_x, end.length))
    level = end.large + end.allow_x - end.depth
    while level > end.small + end.allow_x:
        radii.append((level, end.small_length))
        level -= end.depth
    radii.append((end.small + end.allow_x, end.small_length))
    if end.rough_by == "G90":
        depth = 0.0
        for k, (level, length) in enumerate(radii):
            where = [] if k and depth == length else [w.z(-length + end.allow_z)]
            depth = length
            words = ["G90"] if k == 0 else []
            w.block(*words, w.x(level), *where, *([w.feed(0.2)] if k == 0 else []))
        if end.taper > 0:
            ends = -end.small_length + end.allow_z
            level = end.small_at(ends) + end.allow_x
            lead = end.small_at(z) - end.small_at(ends)
            w.block("G90", w.x(level), w.z(ends), "R" + w.number(lead), w.feed(0.2))
        return None
    for level, length in radii:
        w.block("G00", w.x(level))
        w.block("G01", w.z(-length + end.allow_z), w.feed(0.2))
        if end.fault == "no-retract" and level == radii[-1][0]:
            w.block("G00", w.x(end.raw - end.amount), w.z(-length - 4.0))
        w.block("G01", w.x(level + end.depth))
        w.block("G00", w.z(z))
    return None


def _profile(w: Writer, end: End, first: int, last: int, across: bool, rng: Random) -> None:
    """The contour between two labels, as G71 or G72 wants it."""
    way = end.contour()
    if across:
        places = [p for _, p in reversed(way)]
        w.block(f"N{first}", "G00", w.z(-end.length))
        at = (-end.length, end.exit)
        for place in [*places[1:], (1.0, places[-1][1])]:
            label = f"N{last}" if place[0] == 1.0 else ""
            w.block(label, "G01", *w.steps(at, place, end.relative, rng))
            at = place
        return
    w.block(f"N{first}", "G00", w.x(way[0][1][1]))
    at = (end.start[0], way[0][1][1])
    for k, (word, place) in enumerate(way):
        label = f"N{last}" if k == len(way) - 1 else ""
        extra = [w.feed(0.1)] if k == 0 else []
        w.block(label, word, *w.steps(at, place, end.relative, rng), *_round(w, end, word, rng),
                *extra)  # fmt: skip
        at = place


def _round(w: Writer, end: End, word: str, rng: Random) -> list[str]:
    """How an arc of the contour is told: by its radius or by its centre."""
    if word not in ("G02", "G03"):
        return []
    radius = end.arc if word == "G02" else end.chamfer
    if rng.random() < 0.5:
        return ["R" + w.number(radius)]
    # The fillet's centre lies above its start, that of the rounded edge behind its start.
    if word == "G02":
        return ["I" + w.number(radius), "K0."]
    return ["I0.", "K" + w.number(-radius)]


def _finish_with(w: Writer, end: End, profile: tuple[int, int] | None, rng: Random) -> None:
    z, r = end.start
    w.block("G00", w.x(r), w.z(z))
    if profile is not None and end.finish_by == "G70":
        w.block("G70", f"P{profile[0]}", f"Q{profile[1]}", w.feed(0.1))
        return
    way = end.contour()
    w.block("G00", w.x(way[0][1][1]))
    at = (z, way[0][1][1])
    for word, place in way:
        w.block(word, *w.steps(at, place, end.relative, rng), *_round(w, end, word, rng))
        at = place
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
    w.block("G00", w.x(end.large + 0.5))
    w.block("G01", w.x(end.large), w.feed(0.1))
    w.block("G01", w.x(end.large - RECESS), w.z(start + run))
    w.block("G01", w.z(stop))
    if end.fault == "no-retract":
        w.block("G00", w.z(stop + end.amount))
    w.block("G01", w.x(end.exit))
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


def _groove(w: Writer, end: End, groove: Groove) -> None:
    top = (end.raw if groove.z < -end.length + 8.0 else groove.surface) + end.clear_x
    if end.fault == "low-clearance":
        top = groove.surface - end.amount * 0.6
    step = groove.width - groove.tool_width
    w.block("G00", w.x(end.raw + end.clear_x), w.z(end.clear_z))
    w.block("G00", w.z(groove.z))
    w.block("G00", w.x(top))
    if groove.by == "G75":
        w.block("G75", "R" + w.number(0.3))
        words = [w.x(groove.bottom)]
        if step > 0:
            words.append(w.z(groove.z + step))
        words.append(w.increments("P", 1.2))
        if step > 0:
            words.append(w.increments("Q", groove.tool_width * 0.8))
        w.block("G75", *words, w.feed(0.08))
    else:
        count = 0 if step <= 0 else max(1, round(step / (groove.tool_width * 0.8) + 0.49))
        for k in range(count + 1):
            if k:
                w.block("G00", w.z(groove.z + step * k / count))
            w.block("G00" if end.fault == "rapid-feed" else "G01", w.x(groove.bottom),
                    w.feed(0.08))  # fmt: skip
            if end.fault == "no-retract" and k == count:
                w.block("G00", w.z(groove.z + 6.0))
            w.block("G00", w.x(top))
    w.block("G00", w.x(end.raw + end.clear_x))
