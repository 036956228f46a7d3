"""Writes what a random program does from the face inwards: ring groove, drill, bore, inner groove.

Stations as in `judge.operations`. Sizes in mm, radii.
"""

from __future__ import annotations

from random import Random

from judge.ends import Bore, End, InnerGroove, Ring
from judge.tapping import write_tap
from judge.turret import away, take
from judge.writer import Writer


def write_inside(w: Writer, end: End, rng: Random) -> None:
    """All operations inside, each tool from home and back."""
    if end.bore is not None:
        take(w, 4, end, rng)
        with w.apart():
            _drill(w, end, end.bore)
        away(w, rng)
        if end.tapped is not None:
            write_tap(w, end, rng)
        if end.bore.bore_by != "none":
            take(w, 5, end, rng)
            _bore(w, end, end.bore, rng)
        if end.bore.groove is not None:
            take(w, 7, end, rng)
            _inner_groove(w, end, end.bore, end.bore.groove, rng)
    if end.ring is not None:
        take(w, 8, end, rng)
        with w.apart():
            _ring(w, end, end.ring)
        away(w, rng)


def _drill(w: Writer, end: End, bore: Bore) -> None:
    z = end.ready
    if end.fault == "near-face":
        z -= end.amount
    w.block("G00", w.x(0.0), w.z(z))
    if end.fault == "rapid-feed":
        w.block("G00", w.z(-end.amount))
    if end.extras.has("drilling"):
        _by_cycle(w, end, bore, z)
    elif bore.drill_by == "G74" and end.one_block:
        w.block("G74", w.z(-bore.drill_depth), "K" + w.number(5.0), w.feed(0.12))
    elif bore.drill_by == "G74":
        w.block("G74", "R" + w.number(0.5))
        w.block("G74", w.z(-bore.drill_depth), w.increments("Q", 5.0), w.feed(0.12))
    else:
        w.block("G01", w.z(-bore.drill_depth), w.feed(0.12))
        w.block("G00", w.z(z))


def _by_cycle(w: Writer, end: End, bore: Bore, z: float) -> None:
    """G83 or G85 with its R told as the control reads it; none where that is not known."""
    rng = end.extras.rng
    ready = round(z * rng.uniform(0.3, 0.9), 2)
    if end.extras.fault == "deep-r":
        ready = round(ready - end.extras.amount, 2)
    rule = end.extras.stated.get("drilling_r")
    level = []
    if rule is not None and rng.random() < 0.8:
        level = ["R" + w.number(ready - z if rule == "incremental" else ready - w.origin[0])]
    word = rng.choice(("G83", "G83", "G85"))
    pecks = [w.increments("Q", 4.0)] if word == "G83" and rng.random() < 0.9 else []
    where = [w.x(0.0)] if rng.random() < 0.5 else []
    w.block(word, *where, w.z(-bore.drill_depth), *level, *pecks,
            w.feed(0.12))  # fmt: skip
    w.block("G80")
    w.block("G00", w.z(z))


def _bore(w: Writer, end: End, bore: Bore, rng: Random) -> None:
    r, z = bore.drill_r - 0.6, end.ready
    w.block("G00", w.x(r), w.z(z))
    allow = 0.2
    if bore.bore_by in ("G71", "G73"):
        first, last = w.label(), w.label()
        allowances = (w.x(-allow, "U"), w.z(0.1, "W"), w.feed(0.15))
        call = (bore.bore_by, f"P{first}", f"Q{last}")
        if bore.bore_by == "G73":
            passes = max(2, round((bore.bore_r - bore.drill_r) / 0.8) + 1)
            if end.extras.fault == "few-passes":
                passes = 1
            inwards = w.number(bore.drill_r - bore.bore_r - 0.5)
            if end.one_block:
                w.block(*call, *allowances[:2], "I" + inwards, f"D{passes}", allowances[2])
            else:
                w.block("G73", "U" + inwards, "W0.", f"R{passes}")
                w.block(*call, *allowances)
        elif end.one_block:
            w.block(*call, *allowances[:2], w.increments("D", 0.8), allowances[2])
        else:
            w.block("G71", "U" + w.number(0.8), "R" + w.number(0.3))
            w.block(*call, *allowances)
        w.in_profile = True
        on = ""
        if end.compensated:
            on = "G42" if end.extras.fault == "wrong-side" else "G41"
        w.block(f"N{first}", on, "G00", w.x(bore.bore_r + 0.8))
        way = [(0.0, bore.bore_r + 0.8), (-0.8, bore.bore_r), (-bore.bore_depth, bore.bore_r),
               (-bore.bore_depth, r)]  # fmt: skip
        at = (z, bore.bore_r + 0.8)
        for k, place in enumerate(way):
            word = "G02" if k == 1 and end.rounded else "G01"
            label = f"N{last}" if k == len(way) - 1 and not on else ""
            extra = ["R" + w.number(0.8)] if word == "G02" else []
            if k == 0:
                extra = [w.feed(0.1)]
            w.block(label, word, *w.steps(at, place, end.relative, rng), *extra)
            at = place
        if on:
            w.block(f"N{last}", "G40", "G01", w.x(r - 1.2 * end.compensated))
        w.in_profile = False
        w.block("G70", f"P{first}", f"Q{last}")
    elif bore.bore_by == "G72":
        _bored_across(w, end, bore, r, allow)
    elif bore.bore_by == "G90":
        count = max(1, round((bore.bore_r - bore.drill_r) / 0.8))
        for k in range(1, count + 1):
            level = bore.drill_r + (bore.bore_r - bore.drill_r) * k / count
            if k == 1:
                w.block("G90", w.x(level), w.z(-bore.bore_depth), w.feed(0.12))
            else:
                w.block(w.x(level))
    else:
        on = ""
        if end.compensated:
            on = "G42" if end.extras.fault == "wrong-side" else "G41"
        w.block(on, "G00", w.x(bore.bore_r))
        w.block("G01", w.z(-bore.bore_depth), w.feed(0.1))
        if end.fault == "no-retract" and not on:
            w.block("G00", w.x(bore.bore_r + end.amount))
        w.block("G01", w.x(r))
        if on:
            w.block("G40", "G00", w.z(z))
        if end.fault == "home-from-bore":
            w.home(rng.choice(("XZ", "X", "Z")))
            return
        w.block("G00", w.z(z))
    w.block("G00", w.z(z), deleted=end.extras.fault == "deleted-retract")
    w.home("XZ" if rng.random() < 0.7 else "Z")


def _bored_across(w: Writer, end: End, bore: Bore, r: float, allow: float) -> None:
    """Levels across the bore from the face inwards, each fed outwards to the wall."""
    first, last = w.label(), w.label()
    words = (f"P{first}", f"Q{last}", w.x(-allow, "U"), w.z(0.1, "W"), w.feed(0.15))
    if end.one_block:
        w.block("G72", *words[:4], w.increments("D", 1.4), words[4])
    else:
        w.block("G72", w.z(1.4, "W"), "R" + w.number(0.3))
        w.block("G72", *words)
    w.in_profile = True
    w.block(f"N{first}", "G00", w.z(-bore.bore_depth))
    w.block("G01", w.x(bore.bore_r), w.feed(0.1))
    w.block("G01", w.z(-0.8))
    w.block("G01", w.x(bore.bore_r + 0.8), w.z(0.0))
    w.block(f"N{last}", "G01", w.z(0.5))
    w.in_profile = False
    w.block("G70", f"P{first}", f"Q{last}")


def _inner_groove(w: Writer, end: End, bore: Bore, groove: InnerGroove, rng: Random) -> None:
    r, z = bore.bore_r - 0.5, end.ready
    w.block("G00", w.x(r), w.z(z))
    w.block("G00", w.z(groove.z))
    if groove.by == "G75":
        w.block("G75", "R" + w.number(0.2))
        w.block("G75", w.x(bore.bore_r + groove.depth), w.increments("P", 0.6), w.feed(0.05))
    else:
        w.block("G00" if end.fault == "rapid-feed" else "G01", w.x(bore.bore_r + groove.depth),
                w.feed(0.05))  # fmt: skip
        if end.fault != "no-retract":
            w.block("G00", w.x(r))
    if end.fault == "home-from-bore":
        w.home(rng.choice(("XZ", "X", "Z")))
        return
    w.block("G00", w.z(z))
    w.home("XZ" if rng.random() < 0.7 else "Z")


def _ring(w: Writer, end: End, ring: Ring) -> None:
    """Plunges side by side into the face, from the axis outwards."""
    z, step = end.ready, ring.width - ring.tool_width
    w.block("G00", w.x(ring.inner), w.z(z))
    near = 0.8
    if end.fault == "near-face":
        near -= end.amount
    w.block("G00", w.z(near))
    if ring.by == "G74":
        words = [w.x(ring.inner + step)] if step > 0 else []
        words.append(w.z(-ring.depth))
        aside = ring.tool_width * 0.8
        if end.one_block:
            words += ["I" + w.number(aside)] if step > 0 else []
            w.block("G74", *words, "K" + w.number(1.5), w.feed(0.06))
            w.block("G00", w.z(z))
            return
        if step > 0:
            words.append(w.increments("P", aside))
        w.block("G74", "R" + w.number(0.3))
        w.block("G74", *words, w.increments("Q", 1.5), w.feed(0.06))
    else:
        w.block("G00" if end.fault == "rapid-feed" else "G01", w.z(-ring.depth), w.feed(0.06))
        if end.fault == "no-retract":
            w.block("G00", w.x(ring.inner + end.amount))
        w.block("G00", w.z(near))
        if step > 0:
            w.block("G00", w.x(ring.inner + step))
            w.block("G01", w.z(-ring.depth), w.feed(0.06))
            w.block("G00", w.z(near))
    w.block("G00", w.z(z))
