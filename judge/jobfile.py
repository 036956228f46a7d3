"""The judge's own reading of `job.toml`: plain records in millimetres."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from judge.motion import Point, Undecided

Table = Mapping[str, Any]


@dataclass(frozen=True)
class BlankRange:
    """The blank as a range, mm."""

    radius_low: float
    """Radius gripped at the smallest size: half the diameter or width across flats."""
    radius_high: float
    outer: float
    """Strike radius: circumscribed circle of the largest, half the run-out and the bow added."""
    bore: float
    """Radius of the smallest bore less half the run-out and the bow, 0 where solid."""
    lengths: tuple[float, ...]
    """Least and greatest, where they differ."""
    lean: float
    """How far a sawn face leans, out of square."""


@dataclass(frozen=True)
class JawSet:
    """Jaws from the stop plane, mm."""

    profile: tuple[Point, ...]
    """(z, h)."""
    steps: tuple[float, ...]
    chuck: tuple[float, float] | None
    """(face, radius)."""
    stop: float | None
    """Radius of the stop."""

    @property
    def front(self) -> float:
        """z of the jaws' front."""
        return max(z for z, _ in self.profile)


@dataclass(frozen=True)
class Clamping:
    """One set-up, lengths in mm."""

    name: str
    program: str
    start: Table | None
    end: Table | None
    turned: bool
    offset: str
    seat_on: str
    seat_step: int
    stick_out: float
    seat_error: float
    way: str
    from_stop: float | None
    allowance: float
    error: float
    standing: bool
    """The face was touched with the spindle standing."""
    jaws: JawSet | None
    grip: float | None
    """Radius gripped, where the job gives it."""
    offset_z: float | None = None
    """Machine value of the offset's Z."""


@dataclass(frozen=True)
class JobFile:
    """The job as the judge reads it."""

    unit: float
    """mm in one unit of the job."""
    blank: BlankRange
    part_length: float
    machine: Table
    control: Table
    tools: tuple[Table, ...]
    setups: tuple[Clamping, ...]
    subprograms: tuple[str, ...] = ()
    """Files that hold programs which others call."""
    variables: Table = field(default_factory=dict)
    """Common variables by number, as the control holds them at the start."""
    m_words: Mapping[int, str] = field(default_factory=dict)
    """What the job says that M words do."""

    @property
    def offset_values(self) -> dict[str, float]:
        """Machine Z of each work offset that the job gives, mm."""
        found: dict[str, float] = {}
        for setup in self.setups:
            if setup.offset_z is None:
                continue
            if found.setdefault(setup.offset, setup.offset_z) != setup.offset_z:
                raise Undecided(f"{setup.offset} is keyed in anew between two set-ups")
        return found


def _blank(table: Table, unit: float) -> BlankRange:
    low, high = table.get("size_tolerance", (0.0, 0.0))
    size = float(table["size"])
    small, large = (size + low) * unit, (size + high) * unit
    over_corners = {"round": 1.0, "tube": 1.0, "hexagon": 2 / 3**0.5, "square": 2**0.5}
    outer = large / 2 * over_corners[table.get("shape", "round")]
    wander = (table.get("run_out") or 0.0) * unit / 2 + (table.get("bow") or 0.0) * unit
    bore = 0.0
    if table.get("bore") is not None:
        bore = (table["bore"] + table.get("bore_tolerance", (0.0, 0.0))[0]) * unit / 2
        bore = max(0.0, bore - wander)
    lengths = {(table["length"] + t) * unit for t in table.get("length_tolerance", (0.0, 0.0))}
    return BlankRange(
        small / 2, large / 2, outer + wander, bore, tuple(sorted(lengths)),
        (table.get("out_of_square") or 0.0) * unit,
    )  # fmt: skip


def _jaws(table: Table | None, unit: float) -> JawSet | None:
    if table is None:
        return None
    chuck = table.get("chuck")
    stop = table.get("stop")
    return JawSet(
        profile=tuple((z * unit, h * unit) for z, h in table["profile"]),
        steps=tuple(z * unit for z in table.get("steps", ())),
        chuck=None if chuck is None else (chuck["face"] * unit, chuck["diameter"] * unit / 2),
        stop=None if stop is None else stop["diameter"] * unit / 2,
    )


def _clamping(table: Table, number: int, job: Table, unit: float) -> Clamping:
    seat = table.get("seat", {})
    zero = table["zero"]
    jaws = table.get("jaws", job.get("jaws"))
    if isinstance(jaws, str):
        raise Undecided("jaws in a file of their own")
    grip = table.get("grip_diameter")
    from_stop = zero.get("from_stop")
    return Clamping(
        name=table["name"],
        program=table["program"],
        start=table.get("start"),
        end=table.get("end"),
        turned=table.get("turned", number > 0),
        offset=table.get("offset", "G54"),
        seat_on=seat.get("on", "stop"),
        seat_step=seat.get("step", 0),
        stick_out=(seat.get("stick_out") or 0.0) * unit,
        seat_error=seat.get("error", 0.0) * unit,
        way=zero["way"],
        from_stop=None if from_stop is None else from_stop * unit,
        allowance=(zero.get("face_allowance") or 0.0) * unit,
        error=zero.get("error", 0.0) * unit,
        standing=zero.get("touched", "turning") == "standing",
        jaws=_jaws(jaws, unit),
        grip=None if grip is None else grip * unit / 2,
        offset_z=None if table.get("offset_z") is None else table["offset_z"] * unit,
    )


def read_job_text(text: str) -> JobFile:
    """A job from the text of its file; machine, tools and jaws must stand inline."""
    job: Table = tomllib.loads(text)
    unit = 25.4 if job["units"] == "inch" else 1.0
    machine, tools = job["machine"], job["tools"]
    if isinstance(machine, str) or isinstance(tools, str):
        raise Undecided("machine or tools in a file of their own")
    return JobFile(
        unit=unit,
        blank=_blank(job["blank"], unit),
        part_length=job["part"]["length"] * unit,
        machine=machine,
        control=machine.get("control", {}),
        tools=tuple(tools),
        setups=tuple(_clamping(s, i, job, unit) for i, s in enumerate(job["setup"])),
        subprograms=tuple(job.get("subprograms", ())),
        variables=job.get("variables", {}),
        m_words={int(m["number"]): m["does"] for m in job.get("m_words", ())},
    )
