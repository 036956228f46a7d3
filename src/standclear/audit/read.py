"""Reading a certificate: every value of it is of the kind that it must be, or it is refused.

Lengths are whole nanometres. Frame of a stage: the section (z, r) of its set-up, Z0 at part zero.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Any

from standclear.audit.exact import Point

VERSION = 1
FARTHEST = 10**13
"""Ten kilometres in nanometres; a number beyond that is no length of a lathe."""
RAPID, FEED, APPEAR = 0, 1, 2
STRAIGHT, ANYWHERE = 0, 1
KEYS = ("certificate", "job", "contact_limit", "tools", "stages")


class Refused(Exception):
    """The certificate does not hold; the text says where and why."""


@dataclass(frozen=True)
class Tool:
    """A tool as the job describes it, seen from its controlled point at (0, 0)."""

    name: str
    outline: tuple[Point, ...]
    """Counter-clockwise; the tool lies inside."""
    body: tuple[tuple[Point, ...], ...]
    """Convex parts that with a rim of the contact limit cover the outline: checked."""
    edges: tuple[Point, ...]
    """Counter-clockwise; what it holds is part of the tool."""
    cuts: tuple[bool, ...]
    """Of each edge of `edges` from its point to the next: it cuts."""
    insert: tuple[Point, ...]
    """Convex; what of the tool may be in the metal of a thread."""
    spindle: int
    """The way the spindle must turn for it to cut: 1 or -1."""
    on_axis: bool
    """It cuts on the axis alone."""
    opens: bool
    """What it cuts is gone; not so for a tap."""
    wear: int
    """How far it may lie off along either axis."""


@dataclass(frozen=True)
class Row:
    """One motion of a tool's controlled point."""

    kind: int
    path: int
    start: Point
    end: Point
    sagitta: int
    """How far the way may leave the line from start to end."""
    tool: int
    line: int
    """Line of the program, 0 where none makes the motion."""
    choice: int
    """Motions with one number of this, -1 where none, belong to readings of one cycle call, of
    which the control makes one."""
    reading: int
    counted: bool
    """What a feed cuts is gone; not so where it may not be made."""
    crest: int
    """More than 0 in a thread pass: how far from the tip the insert may meet metal."""
    spindle: int


@dataclass(frozen=True)
class Source:
    """The metal of a stage is what a stage before it has left."""

    stage: int
    falls: bool
    """It is what has fallen there, not what stayed."""
    sign: int
    """-1 where the part was turned round: z becomes c - z; 1 where not: z + c."""
    least: int
    most: int
    """Between which c lies."""
    face: int | None
    """No metal stands at a greater z; None where that follows from c."""


@dataclass(frozen=True)
class Stage:
    """Motions in one frame on metal that nothing but they take from."""

    setup: str
    blank: tuple[int, int, int, int] | None
    """(z, r, z, r) of the largest blank in the first stage."""
    source: Source | None
    obstacles: tuple[tuple[str, tuple[Point, ...]], ...]
    motions: tuple[Row, ...]
    corner: int
    """How far from a corner between two rapids the control may leave it."""
    earlier: dict[int, tuple[int, ...]]
    """For a motion the earlier ones that have cut what it passes through."""
    stays: tuple[tuple[Point, ...], ...]
    """Convex parts that with `falls` cover all that the motions leave: checked."""
    falls: tuple[tuple[Point, ...], ...]
    """Metal apart from what stays, which the job says comes down."""
    taken_by: tuple[int, ...]
    """Motions that have cut all that is neither in `stays` nor in `falls`."""


@dataclass(frozen=True)
class Certificate:
    """What the file says; nothing of it is checked yet but its form."""

    title: str
    files: dict[str, str]
    """SHA-256 of every file of the job."""
    contact_limit: int
    tools: tuple[Tool, ...]
    stages: tuple[Stage, ...]


def content_hash(document: dict[str, Any]) -> str:
    """SHA-256 over everything that a certificate says besides."""
    rest = {key: document[key] for key in KEYS}
    text = json.dumps(rest, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def read_certificate(text: bytes) -> Certificate:
    """Raises `Refused` where the file is no certificate, or was altered after it was written."""
    try:
        document = json.loads(text, parse_constant=_no_number, object_pairs_hook=_once)
    except RecursionError as error:
        raise Refused("this is no certificate: brackets within brackets without end") from error
    except ValueError as error:
        raise Refused(f"this is no certificate: {error}") from error
    if not isinstance(document, dict) or set(document) != {*KEYS, "sha256"}:
        raise Refused(f"this is no certificate: it must hold {', '.join(KEYS)} and sha256 alone")
    if document["certificate"] != VERSION or isinstance(document["certificate"], bool):
        raise Refused(f"certificate is {document['certificate']}; this checker reads {VERSION}")
    if document["sha256"] != content_hash(document):
        raise Refused("the file was altered: its sha256 is not that of what it says")
    job = _table(document["job"], "job", ("title", "files"))
    files = job["files"]
    if not isinstance(files, dict):
        raise Refused("job.files is no table")
    return Certificate(
        _text(job["title"], "job.title"),
        {name: _text(value, f"job.files {name}") for name, value in files.items()},
        _whole(document["contact_limit"], "contact_limit", 1, FARTHEST),
        tuple(_tool(t, f"tools[{k}]") for k, t in enumerate(_list(document["tools"], "tools"))),
        tuple(_stage(s, f"stages[{k}]") for k, s in enumerate(_list(document["stages"], "stages"))),
    )


def _tool(value: Any, at: str) -> Tool:
    keys = ("name", "outline", "body", "edges", "cuts", "insert", "spindle", "on_axis", "opens")
    t = _table(value, at, (*keys, "wear"))
    edges = _ring(t["edges"], f"{at}.edges")
    cuts = tuple(_yes(c, f"{at}.cuts") for c in _list(t["cuts"], f"{at}.cuts"))
    if len(cuts) != len(edges):
        raise Refused(f"{at}.cuts has {len(cuts)} entries for {len(edges)} edges")
    spindle = _whole(t["spindle"], f"{at}.spindle", -1, 1)
    if spindle == 0:
        raise Refused(f"{at}.spindle is 0; it must be 1 or -1")
    return Tool(
        _text(t["name"], f"{at}.name"),
        _ring(t["outline"], f"{at}.outline"),
        _rings(t["body"], f"{at}.body"),
        edges,
        cuts,
        _ring(t["insert"], f"{at}.insert"),
        spindle,
        _yes(t["on_axis"], f"{at}.on_axis"),
        _yes(t["opens"], f"{at}.opens"),
        _whole(t["wear"], f"{at}.wear", 0, FARTHEST),
    )


def _stage(value: Any, at: str) -> Stage:
    keys = (
        "set_up",
        "blank",
        "source",
        "obstacles",
        "motions",
        "corner",
        "earlier",
        "stays",
        "falls",
    )
    s = _table(value, at, (*keys, "taken_by"))
    blank, source = s["blank"], s["source"]
    if (blank is None) == (source is None):
        raise Refused(f"{at} must have a blank or a source, not both")
    box = None
    if blank is not None:
        z0, r0, z1, r1 = (_length(v, f"{at}.blank") for v in _list(blank, f"{at}.blank", 4))
        box = (z0, r0, z1, r1)
    motions = tuple(
        _row(m, f"{at}.motions[{k}]") for k, m in enumerate(_list(s["motions"], f"{at}.motions"))
    )
    earlier = s["earlier"]
    if not isinstance(earlier, dict) or not all(key.isascii() and key.isdigit() for key in earlier):
        raise Refused(f"{at}.earlier is no table by numbers of motions")
    count = len(motions)
    return Stage(
        _text(s["set_up"], f"{at}.set_up"),
        box,
        None if source is None else _source(source, f"{at}.source"),
        tuple(_obstacle(o, f"{at}.obstacles") for o in _list(s["obstacles"], f"{at}.obstacles")),
        motions,
        _whole(s["corner"], f"{at}.corner", 0, FARTHEST),
        {int(k): _numbers(v, f"{at}.earlier.{k}", count) for k, v in earlier.items()},
        _rings(s["stays"], f"{at}.stays"),
        _rings(s["falls"], f"{at}.falls"),
        _numbers(s["taken_by"], f"{at}.taken_by", count),
    )


def _row(value: Any, at: str) -> Row:
    v = _list(value, at, 14)
    kind, path = _whole(v[0], f"{at} kind", 0, 2), _whole(v[1], f"{at} path", 0, 1)
    z0, r0, z1, r1 = (_length(x, at) for x in v[2:6])
    return Row(
        kind,
        path,
        (z0, r0),
        (z1, r1),
        _whole(v[6], f"{at} sagitta", 0, FARTHEST),
        _whole(v[7], f"{at} tool", 0, FARTHEST),
        _whole(v[8], f"{at} line", 0, FARTHEST),
        _whole(v[9], f"{at} choice", -1, FARTHEST),
        _whole(v[10], f"{at} reading", 0, FARTHEST),
        _yes(v[11], f"{at} counted"),
        _whole(v[12], f"{at} crest", 0, FARTHEST),
        _whole(v[13], f"{at} spindle", -1, 1),
    )


def _source(value: Any, at: str) -> Source:
    s = _table(value, at, ("stage", "falls", "sign", "least", "most", "face"))
    sign = _whole(s["sign"], f"{at}.sign", -1, 1)
    least, most = _length(s["least"], f"{at}.least"), _length(s["most"], f"{at}.most")
    if sign == 0 or least > most:
        raise Refused(f"{at} is no way from one stage to another")
    return Source(
        _whole(s["stage"], f"{at}.stage", 0, FARTHEST),
        _yes(s["falls"], f"{at}.falls"),
        sign,
        least,
        most,
        None if s["face"] is None else _length(s["face"], f"{at}.face"),
    )


def _obstacle(value: Any, at: str) -> tuple[str, tuple[Point, ...]]:
    name, ring = _list(value, at, 2)
    return _text(name, at), _ring(ring, at)


def _rings(value: Any, at: str) -> tuple[tuple[Point, ...], ...]:
    return tuple(_ring(ring, f"{at}[{k}]") for k, ring in enumerate(_list(value, at)))


def _ring(value: Any, at: str) -> tuple[Point, ...]:
    """Points as one row of numbers: z, r, z, r ..."""
    flat = [_length(v, at) for v in _list(value, at)]
    if len(flat) < 6 or len(flat) % 2:
        raise Refused(f"{at} is no outline: {len(flat)} numbers")
    return tuple(zip(flat[0::2], flat[1::2], strict=True))


def _numbers(value: Any, at: str, below: int) -> tuple[int, ...]:
    return tuple(_whole(v, at, 0, below - 1) for v in _list(value, at))


def _length(value: Any, at: str) -> int:
    return _whole(value, at, -FARTHEST, FARTHEST)


def _whole(value: Any, at: str, least: int, most: int) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
        raise Refused(f"{at} is {value!r}; it must be a whole number from {least} to {most}")
    return value


def _yes(value: Any, at: str) -> bool:
    if not isinstance(value, bool):
        raise Refused(f"{at} is {value!r}; it must be true or false")
    return value


def _text(value: Any, at: str) -> str:
    if not isinstance(value, str):
        raise Refused(f"{at} is {value!r}; it must be text")
    return value


def _list(value: Any, at: str, count: int | None = None) -> list[Any]:
    if not isinstance(value, list) or (count is not None and len(value) != count):
        raise Refused(f"{at} is no list{'' if count is None else f' of {count}'}")
    return value


def _table(value: Any, at: str, keys: tuple[str, ...]) -> dict[str, Any]:
    if not isinstance(value, dict) or set(value) != set(keys):
        raise Refused(f"{at} must hold {', '.join(keys)} alone")
    return value


def _no_number(text: str) -> Any:
    raise ValueError(f"{text} is no number")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) != len(pairs):
        raise ValueError("a key stands twice")
    return table
