"""Writes how the outside of a random part is roughed, and its profile. Sizes in mm, radii."""

from __future__ import annotations

from random import Random

from judge.ends import End
from judge.writer import Writer


def rough(w: Writer, end: End, rng: Random) -> tuple[int, int] | None:
    """Roughs the outside; gives the labels of the profile where there is one."""
    z, r = end.start
    w.block("G00", w.x(r), w.z(z))
    if end.rough_by in ("G71", "G72", "G73"):
        return _with_profile(w, end, rng)
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
    if end.extras.has("loops"):
        _in_loops(w, end, z)
        return None
    for level, length in radii:
        w.block("G00", w.x(level))
        w.block("G01", w.z(-length + end.allow_z), w.feed(0.2))
        if end.fault == "no-retract" and level == radii[-1][0]:
            w.block("G00", w.x(end.raw - end.amount), w.z(-length - 4.0))
        w.block("G01", w.x(level + end.depth))
        w.block("G00", w.z(z))
    return None


def _in_loops(w: Writer, end: End, z: float) -> None:
    """The same levels told by a loop over each diameter."""
    stages = (
        (end.raw, end.large + end.allow_x, end.length),
        (end.large + end.allow_x, end.small + end.allow_x, end.small_length),
    )
    for k, (top, bottom, length) in enumerate(stages, start=1):
        step = w.x_number(end.depth)
        lowest = bottom - (end.depth if end.extras.fault == "one-too-many" and k == 1 else 0.0)
        w.say(f"#1={w.x_number(top)}-{step}")
        jump = end.extras.rng.random() < 0.5
        mark = w.label()
        w.say(f"N{mark} M08" if jump else f"WHILE[#1GT{w.x_number(lowest)}]DO{k}")
        cut = [("G00 X#1",), ("G01", w.z(-length + end.allow_z), w.feed(0.2)),
               ("G01", f"X[#1+{step}]"), ("G00", w.z(z))]  # fmt: skip
        for block in cut:
            w.block(*block)
        w.say(f"#1=#1-{step}")
        w.say(f"IF[#1GT{w.x_number(lowest)}]GOTO{mark}" if jump else f"END{k}")
        w.block("G00", w.x(bottom))
        w.block("G01", w.z(-length + end.allow_z), w.feed(0.2))
        w.block("G01", w.x(top))
        w.block("G00", w.z(z))


def _with_profile(w: Writer, end: End, rng: Random) -> tuple[int, int]:
    across = end.rough_by == "G72"
    first, last = w.label(), w.label()
    allow = (w.x(end.allow_x, "U"), w.z(end.allow_z, "W"), w.feed(0.25))
    if end.rough_by == "G73":
        away_x = end.raw - end.small + 0.5
        passes = max(2, round(away_x / end.depth) + 1)
        if end.extras.fault == "few-passes":
            passes = max(1, round(passes / 3))
        along = round(end.depth * 0.5, 2)
        if end.one_block:
            w.block("G73", f"P{first}", f"Q{last}", *allow[:2], "I" + w.number(away_x),
                    "K" + w.number(along), f"D{passes}", allow[2])  # fmt: skip
        else:
            w.block("G73", "U" + w.number(away_x), w.z(along, "W"), f"R{passes}")
            w.block("G73", f"P{first}", f"Q{last}", *allow)
    elif end.one_block:
        depth = w.increments("D", end.depth)
        if end.extras.rng.random() < 0.4:
            depth = "D" + w.number(end.depth)
        w.block(end.rough_by, f"P{first}", f"Q{last}", *allow[:2], depth, allow[2])
    else:
        step = (w.z(end.depth, "W"),) if across else ("U" + w.number(end.depth),)
        w.block(end.rough_by, *step, "R" + w.number(end.return_gap))
        w.block(end.rough_by, f"P{first}", f"Q{last}", *allow)
    w.in_profile = True
    if across:
        _profile_across(w, end, first, last, rng)
    else:
        _profile_along(w, end, first, last, rng)
    w.in_profile = False
    return first, last


def compensation(end: End, across: bool) -> str:
    """The word that turns compensation on, or none."""
    if not end.compensated:
        return ""
    right = across == (end.extras.fault == "wrong-side")
    return "G42" if right else "G41"


def _profile_across(w: Writer, end: End, first: int, last: int, rng: Random) -> None:
    """From the chuck end outwards."""
    places = [p for _, p in reversed(end.contour())]
    on = compensation(end, True)
    both = [w.x(end.start[1])] if end.face_pocket and end.extras.rng.random() < 0.8 else []
    w.block(f"N{first}", on, "G00", *both, w.z(-end.length))
    at = (-end.length, end.exit)
    for place in [*places[1:], (1.0, places[-1][1])]:
        label = f"N{last}" if place[0] == 1.0 and not on else ""
        w.block(label, "G01", *w.steps(at, place, end.relative, rng))
        at = place
    if on:
        w.block(f"N{last}", "G40", "G01", w.z(1.0 + 1.2 * end.compensated))


def _profile_along(w: Writer, end: End, first: int, last: int, rng: Random) -> None:
    """From the face to the chuck."""
    way = end.contour()
    on = compensation(end, False)
    both = [w.z(end.start[0])] if end.pocket is not None and end.extras.rng.random() < 0.8 else []
    if both and end.extras.rng.random() < 0.3 and w.family == "cycles-g90":
        both = ["W0."]
    w.block(f"N{first}", on, "G00", w.x(way[0][1][1]), *both)
    write_contour(w, end, (end.start[0], way[0][1][1]), rng, "" if on else f"N{last}")
    if on:
        w.block(f"N{last}", "G40", "G01", w.x(end.exit + 1.2 * end.compensated))


def write_contour(w: Writer, end: End, at: tuple[float, float], rng: Random, label: str) -> None:
    """The blocks of the finished outside from its entry on; `label` for the last of them."""
    way = end.contour()
    skip = False
    for k, (word, place) in enumerate(way):
        if skip:
            skip = False
            continue
        extra = _round(w, end, word, rng)
        following = way[k + 1] if k + 1 < len(way) else None
        if end.corner_words and following is not None:
            corner = _corner(w, end, at, place, following)
            if corner is not None:
                word, place, extra = "G01", corner[0], [corner[1]]
                skip = True
        if k == 0:
            extra = [*extra, w.feed(0.1)]
        w.block(label if k == len(way) - 1 else "", word, *w.steps(at, place, end.relative, rng),
                *extra)  # fmt: skip
        at = place


def _corner(w: Writer, end: End, at: tuple[float, float], here: tuple[float, float],
            following: tuple[str, tuple[float, float]]
            ) -> tuple[tuple[float, float], str] | None:  # fmt: skip
    """The corner itself and its word, where the edge of the face or the fillet is to follow."""
    word, after = following
    # The older form, without a comma, stands beside one axis alone.
    older = end.extras.rng.random() < 0.5
    square = abs(here[0] - at[0]) < 1e-9 or abs(here[1] - at[1]) < 1e-9
    edge = end.small - end.taper
    if end.chamfer > 0 and after == (-end.chamfer, edge) and square and end.taper == 0:
        comma = "" if older and abs(at[0]) < 1e-9 else ","
        return (0.0, edge), f"{comma}{'R' if word == 'G03' else 'C'}{w.number(end.chamfer)}"
    if end.arc > 0 and word == "G02" and end.taper == 0 and after[0] == -end.small_length:
        comma = "" if older and abs(at[1] - end.small) < 1e-9 else ","
        return (-end.small_length, end.small), f"{comma}R{w.number(end.arc)}"
    return None


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
