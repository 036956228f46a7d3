"""How the program of a random job takes a tool and puts it away."""

from __future__ import annotations

from random import Random

from judge.ends import End
from judge.writer import Writer


def take(w: Writer, station: int, end: End, rng: Random) -> None:
    """A tool at home, and the spindle its way, or not where the end's fault is the spindle."""
    word = f"T{station:02d}{station:02d}"
    if end.extras.has("tool-words"):
        forms = [word, f"{word}{station:02d}", f"T{station}{station}" if station < 10 else word]
        word = end.extras.rng.choice(forms)
    if end.extras.has("tool-data") and station != w.station and station < 9:
        _data(w, end, station)
    w.station = station
    w.block(word)
    if end.extras.has("m-words") and end.extras.rng.random() < 0.4:
        w.block(end.extras.rng.choice(("M41", "M68", "M55")))
    if end.extras.has("place-setting"):
        w.block("G50", w.x(end.extras.rng.choice((110.0, 150.0))), w.z(200.0))
    turn = end.turns[station]
    if end.fault == "wrong-spindle" and station in end.wrong_at:
        turn = "M04" if turn == "M03" else "M03"
    if end.fault == "no-spindle" and station in end.wrong_at:
        w.block("M05")
        turn = ""
    if w.silent_spindle:
        w.silent_spindle, turn = False, ""
    if station not in (4, 5, 7, 9, 10, 11) and rng.random() < 0.6:
        w.block("G50", "S2500")
        w.block("G96", "S180", turn)
    else:
        w.block("G97", f"S{rng.randrange(600, 1800, 50)}", turn)


def _data(w: Writer, end: End, station: int) -> None:
    """Moves the tool's offset, or says again that it has no wear."""
    rng = end.extras.rng
    if rng.random() < 0.3:
        w.block("G10", f"P{station}", "X0.", "Z0.")
        return
    most = end.extras.amount if end.extras.fault == "wrong-data" else rng.choice((0.15, 1.5))
    u, v = (round(rng.uniform(-most, most), 3) for _ in range(2))
    number = station if rng.random() < 0.5 else 10000 + station
    w.block("G10", f"P{number}", "U" + w.x_number(u), "W" + w.number(v))


def away(w: Writer, rng: Random) -> None:
    """Home from beside the part: both axes, or X alone first."""
    w.block("M09")
    w.lift()
    own = w.extras.rng
    if w.extras.has("variables") and own.random() < 0.4:
        w.say("#130=#5001")
        w.block("G00", f"X[#130+{w.x_number(own.uniform(0.5, 6.0))}]")
    w.home("XZ" if rng.random() < 0.7 else "X")
