"""Writes grooves in the outside of a random part. Sizes in mm, radii."""

from __future__ import annotations

from judge.ends import End, Groove
from judge.writer import Writer


def write_groove(w: Writer, end: End, groove: Groove) -> None:
    """One groove, by plunges, by a pecking cycle or by a call with arguments."""
    top = (end.raw if groove.z < -end.length + 8.0 else groove.surface) + end.clear_x
    if end.fault == "low-clearance":
        top = groove.surface - end.amount * 0.6
    step = groove.width - groove.tool_width
    w.block("G00", w.x(end.raw + end.clear_x), w.z(end.clear_z))
    w.block("G00", w.z(groove.z))
    w.block("G00", w.x(top))
    if groove.by == "G75" and end.one_block:
        words = [w.z(groove.z + step)] if step > 0 else []
        words += ["K" + w.number(groove.tool_width * 0.8)] if step > 0 else []
        w.block("G75", w.x(groove.bottom), *words, "I" + w.number(1.2), w.feed(0.08))
    elif groove.by == "G75":
        _pecked(w, end, groove, step)
    elif end.extras.has("modal-macros"):
        _by_modal_macro(w, end, groove, top, step)
    elif end.extras.has("macros"):
        _by_macro(w, end, groove, top, step)
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


def _pecked(w: Writer, end: End, groove: Groove, step: float) -> None:
    rng = end.extras.rng
    pecking = end.extras.has("pecking")
    w.block("G75", "R" + w.number(0.3))
    aside = [w.z(groove.z + step), w.increments("Q", groove.tool_width * 0.8)] if step > 0 else []
    words = [w.x(groove.bottom), *aside[:1], w.increments("P", 1.2), *aside[1:]]
    if pecking and aside and rng.random() < 0.3:
        words.append("R" + w.number(rng.choice((0.0, 0.0, 0.3))))
    w.block("G75", *words, w.feed(0.08))


def _by_modal_macro(w: Writer, end: End, groove: Groove, top: float, step: float) -> None:
    """A plunge after each place that is gone to: X bottom, U top."""
    number = w.next_number()
    rng = end.extras.rng
    w.keep(number, ["G01 X#24 F#9", "G00 X#21"], rng.random() < 0.4)
    w.block("G66", f"P{number}", "X" + w.x_number(groove.bottom - w.origin[1]),
            "U" + w.x_number(top - w.origin[1]), w.feed(0.08))  # fmt: skip
    count = 0 if step <= 0 else max(1, round(step / (groove.tool_width * 0.8) + 0.49))
    for k in range(count + 1):
        w.block("G00", w.z(groove.z + (step * k / count if count else 0.0)))
    if end.extras.fault != "call-left":
        w.block("G67")
    w.block("G00", w.x(top))
    if end.extras.fault == "call-left":
        w.block("G67")


def _by_macro(w: Writer, end: End, groove: Groove, top: float, step: float) -> None:
    """Plunges side by side, told by arguments: X bottom, U top, Z first, W width to go, A step."""
    number = w.next_number()
    if end.extras.fault == "wrong-argument":
        top = groove.surface - end.amount - 0.3
    body = ["#2=#26", "WHILE[#2LE[#26+#23+.0001]]DO1", "G00 Z#2", "G01 X#24 F#9", "G00 X#21",
            "#2=#2+#1", "END1"]  # fmt: skip
    count = 0 if step <= 0 else max(1, round(step / (groove.tool_width * 0.8) + 0.49))
    move = step / count if count else 1.0
    if end.extras.rng.random() < 0.3:
        # The second list: A step, I bottom, J top, K first place; then I width to go.
        other = ["#2=#6", "WHILE[#2LE[#6+#7+.0001]]DO1", "G00 Z#2", f"G01 X#4 {w.feed(0.08)}",
                 "G00 X#5", "#2=#2+#1", "END1"]  # fmt: skip
        w.keep(number, other, end.extras.rng.random() < 0.4)
        w.block(
            "G65", f"P{number}", "A" + w.number(move), "I" + w.x_number(groove.bottom
            - w.origin[1]), "J" + w.x_number(top - w.origin[1]),
            "K" + w.number(groove.z - w.origin[0]), "I" + w.number(step if count else 0.0),
        )  # fmt: skip
        return
    if end.extras.rng.random() < 0.5:
        body = ["#2=#26", "N10 G00 Z#2", "G01 X#24 F#9", "G00 X#21", "#2=#2+#1",
                "IF[#2LE[#26+#23+.0001]]GOTO10"]  # fmt: skip
    w.keep(number, body, end.extras.rng.random() < 0.4)
    w.block(
        "G65", f"P{number}", "X" + w.x_number(groove.bottom - w.origin[1]),
        "U" + w.x_number(top - w.origin[1]), "Z" + w.number(groove.z - w.origin[0]),
        "W" + w.number(step if count else 0.0), "A" + w.number(move), w.feed(0.08),
    )  # fmt: skip
