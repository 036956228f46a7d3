"""The cases of the corpus: a program and, beside it, what it means, worked by hand.

README.md in this folder describes the file of a case.
"""

from __future__ import annotations

import json
import math
import tomllib
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
MM_PER_INCH = 25.4
"""Exact: ISO 31-1 and the agreement of 1959 (from memory)."""
HOME = "home"
"""Stands for a coordinate of which only is known that it lies beyond the work."""
ANY = "*"
"""Stands for a coordinate that is not compared."""
KINDS = ("rapid", "feed", "anywhere", "appear", "thread", "cw", "ccw", "...")


@dataclass(frozen=True)
class Wanted:
    """One line of a `motions` text, lengths in mm, X on diameter as it is written."""

    line: int
    kind: str
    x: float | None = None
    """None: home; not a number: not compared."""
    z: float | None = None
    centre: tuple[float, float] | None = None
    """(x, z) of an arc's centre."""
    also: tuple[tuple[str, str], ...] = ()
    """Further things to compare, such as ("feed", "0.2")."""


@dataclass(frozen=True)
class Means:
    """What a program means in one set-up, read one way."""

    setup: int = 0
    reading: tuple[str, ...] = ()
    motions: tuple[Wanted, ...] = ()
    counts: dict[int, dict[str, int]] = field(default_factory=dict)
    last: tuple[float | None, float | None] | None = None
    findings: tuple[str, ...] | None = None
    unproven_from: int | None = None
    trusted: tuple[str, ...] = ()


@dataclass(frozen=True)
class Case:
    """One program of the corpus with what it means."""

    name: str
    """Folder and file without its ending: `roughing/step-outside`."""
    data: dict[str, Any]

    @property
    def path(self) -> Path:
        """The program's file."""
        return HERE / f"{self.name}.nc"

    @cached_property
    def text(self) -> str:
        """The program as a reader sees it."""
        return self.path.read_bytes().decode("latin-1")

    @property
    def nearly(self) -> str:
        """The case whose findings this one just does not have; empty where it is no near miss."""
        name = self.data.get("nearly", "")
        return f"{self.name.rsplit('/', 1)[0]}/{name}" if name else ""

    @cached_property
    def job(self) -> dict[str, Any]:
        """The whole job's data, as a job file states it."""
        job = tomllib.loads((HERE / "default.toml").read_text())
        own = self.data.get("job", {})
        if "setup" in own:
            own = {**own, "setup": [{**job["setup"][0], **each} for each in own["setup"]]}
        return _laid_over(job, own)

    @property
    def scale(self) -> float:
        """Millimetres in the unit of the job."""
        return MM_PER_INCH if self.job["units"] == "inch" else 1.0

    @cached_property
    def means(self) -> tuple[Means, ...]:
        """What is compared: the case itself, and each `[[also]]` with what it says differently."""
        common = {k: v for k, v in self.data.items() if k in _MEANS}
        others = self.data.get("also", [])
        readings = [each for each in (common, *others) if each.keys() & _COMPARED]
        return tuple(self._means(each) for each in readings)

    @property
    def findings(self) -> list[str]:
        """`line code` of every finding that the case says its program makes."""
        of_text = [f for each in self.means for f in each.findings or ()]
        return of_text + list(self.data.get("proof", {}).get("draws", []))

    def _means(self, data: dict[str, Any]) -> Means:
        last = data.get("last")
        return Means(
            setup=data.get("setup", 1) - 1,
            reading=tuple(data.get("reading", [])),
            motions=tuple(self._wanted(data.get("motions", ""))),
            counts={int(k): v for k, v in data.get("counts", {}).items()},
            last=None if last is None else self._place(last.split()),
            findings=None if data.get("findings") is None else tuple(data["findings"]),
            unproven_from=data.get("unproven_from"),
            trusted=tuple(data.get("trusted", [])),
        )

    def _wanted(self, text: str) -> Iterator[Wanted]:
        for written in text.splitlines():
            words = written.split("#")[0].split()
            if not words:
                continue
            try:
                yield self._wanted_line(words)
            except (ValueError, IndexError) as error:
                raise ValueError(f"{self.name}: {written!r} cannot be read: {error}") from error

    def _wanted_line(self, words: list[str]) -> Wanted:
        line, kind, *rest = words
        if kind not in KINDS:
            raise ValueError(f"{kind!r} is none of {', '.join(KINDS)}")
        if kind == "...":
            return Wanted(int(line), kind)
        also = tuple((w.split("=")[0], w.split("=")[1]) for w in rest if "=" in w)
        places = [w for w in rest if "=" not in w]
        x, z = self._place(places[:2])
        centre = None
        if kind in ("cw", "ccw"):
            _, about_x, about_z = places[2:]
            centre = (float(about_x) * self.scale, float(about_z) * self.scale)
        elif len(places) != 2:
            raise ValueError("give X and Z")
        return Wanted(int(line), kind, x, z, centre, also)

    def _place(self, words: list[str]) -> tuple[float | None, float | None]:
        x, z = (
            None if w == HOME else math.nan if w == ANY else float(w) * self.scale for w in words
        )
        return x, z


_MEANS = {
    "setup",
    "reading",
    "motions",
    "counts",
    "last",
    "findings",
    "unproven_from",
    "trusted",
}
_COMPARED = _MEANS - {"setup", "reading"}
KEYS = _MEANS | {"says", "job", "also", "proof", "nearly", "files"}


def cases() -> list[Case]:
    """Every case of the corpus, by name."""
    found = []
    for path in sorted(HERE.glob("*/*.toml")):
        name = f"{path.parent.name}/{path.stem}"
        data = tomllib.loads(path.read_text())
        strange = (data.keys() - KEYS) | {
            key for each in data.get("also", []) for key in each.keys() - _MEANS
        }
        if strange:
            raise ValueError(f"{name}: no such key: {', '.join(sorted(strange))}")
        found.append(Case(name, data))
    return found


def _laid_over(under: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    """`over` laid over `under`: tables key by key, the rest whole, "open" takes a key out."""
    laid = deepcopy(under)
    for key, value in over.items():
        if isinstance(value, dict) and isinstance(laid.get(key), dict):
            laid[key] = _laid_over(laid[key], value)
        elif value == "open":
            laid.pop(key, None)
        else:
            laid[key] = value
    return laid


def toml_value(value: Any) -> str:
    """`value` as TOML on one line."""
    if isinstance(value, dict):
        return (
            "{ " + ", ".join(f"{json.dumps(k)} = {toml_value(v)}" for k, v in value.items()) + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(each) for each in value) + "]"
    return json.dumps(value)


def write_job(case: Case, folder: Path) -> None:
    """The case as a job folder: `job.toml`, its program and the other files that it names."""
    (folder / "case.nc").write_bytes(case.path.read_bytes())
    for name in case.data.get("files", []):
        (folder / name).write_bytes((case.path.parent / name).read_bytes())
    (folder / "job.toml").write_text(
        "".join(f"{key} = {toml_value(value)}\n" for key, value in case.job.items())
    )


def turned(at: tuple[float, float], centre: tuple[float, float]) -> float:
    """The direction from an arc's centre to a point, both (x diameter, z); radians, from +Z
    towards +X."""
    return math.atan2((at[0] - centre[0]) / 2, at[1] - centre[1])
