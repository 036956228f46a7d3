"""What to key in where a job runs again on another bench: offsets, tools, and what else changed.

Millimetres; Z + away from the spindle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from standclear.job.models import Jaws, Job, Tool
from standclear.job.setup_checks import jaws_of
from standclear.plan.setting.changed import exact_sum
from standclear.plan.setting.split import increment_of
from standclear.plan.setting.zeros import SetupZero, to_step, zeros_of
from standclear.proof.held import tools_of

NO_SHAPE = {"name", "wear", "greatest_depth", "geometry"}
"""Keys of a tool that say nothing of where its tip is."""


@dataclass(frozen=True)
class Anew:
    """The zero of one set-up, then and now."""

    zero: SetupZero
    """As it is to be set now; its change is counted from the same chuck."""
    keyed_before: float | None
    """The number that was keyed in then, by the way in use now."""
    way_before: str
    moved: float | None
    """Of the work offset's Z, new less old; None where other jaws leave it open: the zero is to be
    set anew."""
    old: float | None
    """Machine value of the offset's Z, as the kept job has it."""
    new: float | None
    stated: float | None
    """What the job file states now; another value than `new` is to be looked into."""


@dataclass(frozen=True)
class Value:
    """Something of the job that has another value now."""

    what: str
    old: Any
    new: Any


@dataclass(frozen=True)
class OtherTool:
    """A station whose tool is another one now."""

    station: int
    name: str
    what: tuple[str, ...]
    """Keys of its table that differ; empty where it is new in its station or gone from it."""
    state: str
    """`changed`, `new` or `gone`."""
    old_geometry: tuple[float, float] | None = None
    """(x on diameter, z) of the offset, as the kept job states it, and as the job does now."""
    new_geometry: tuple[float, float] | None = None

    @property
    def other_shape(self) -> bool:
        """Whether it has to be touched off again."""
        return bool(set(self.what) - NO_SHAPE)


@dataclass(frozen=True)
class KeyIn:
    """All that is to be keyed in or set anew."""

    zeros: tuple[Anew, ...]
    other_setups: bool
    """The set-ups are others than they were: every zero is to be set anew."""
    tools: tuple[OtherTool, ...]
    values: tuple[Value, ...]
    """Blank, jaws and gripped diameters."""


def key_in(before: Job, now: Job) -> KeyIn:
    """What differs between the job `before` and `now` for the one who sets it up."""
    same = [s.name for s in before.setup] == [s.name for s in now.setup]
    return KeyIn(
        tuple(_zeros(before, now)) if same else (),
        not same,
        tuple(_tools(tools_of(before), tools_of(now))),
        (*_blank(before, now), *(_holding(before, now) if same else ())),
    )


def _zeros(before: Job, now: Job) -> Iterator[Anew]:
    then = zeros_of(before, before)
    for k, zero in enumerate(zeros_of(before, now)):
        old_jaws, new_jaws = (jaws_of(job, job.setup[k]) for job in (before, now))
        by_jaws = _stop_moved(old_jaws, new_jaws)
        moved = None if by_jaws is None else to_step(zero.change + by_jaws, increment_of(now))
        old = before.setup[k].offset_z
        in_use = next(w for w in then[k].ways if w.in_use)
        beside = next((w for w in then[k].ways if w.way == zero.in_use.way), in_use)
        yield Anew(
            zero,
            beside.keyed,
            in_use.way,
            moved,
            old,
            None if old is None or moved is None else exact_sum(old, moved),
            now.setup[k].offset_z,
        )


def _stop_moved(old: Jaws | str | None, new: Jaws | str | None) -> float | None:
    """How far the stop plane lies further from the chuck's face in the new jaws; None where that
    cannot be told."""
    if old == new:
        return 0.0
    if not isinstance(old, Jaws) or not isinstance(new, Jaws):
        return None
    if old.chuck is None or new.chuck is None:
        return None
    return old.chuck.face - new.chuck.face


def _tools(before: Sequence[Tool], now: Sequence[Tool]) -> Iterator[OtherTool]:
    old = {(t.station, t.offset): t for t in before}
    new = {(t.station, t.offset): t for t in now}
    for key in sorted({*old, *new}, key=lambda k: (k[0], k[1] or 0)):
        one, other = old.get(key), new.get(key)
        if one is None and other is not None:
            yield OtherTool(other.station, other.name, (), "new")
        elif other is None and one is not None:
            yield OtherTool(one.station, one.name, (), "gone")
        elif one is not None and other is not None and one != other:
            fields = Tool.model_fields
            differ = tuple(f for f in fields if getattr(one, f) != getattr(other, f))
            old_xz, new_xz = _geometry(one), _geometry(other)
            yield OtherTool(other.station, other.name, differ, "changed", old_xz, new_xz)


def _geometry(tool: Tool) -> tuple[float, float] | None:
    return None if tool.geometry is None else (tool.geometry.x, tool.geometry.z)


def _blank(before: Job, now: Job) -> Iterator[Value]:
    for name in type(now.blank).model_fields:
        old, new = getattr(before.blank, name), getattr(now.blank, name)
        if old != new:
            yield Value(f"blank {name.replace('_', ' ')}", old, new)
    if before.part.length != now.part.length:
        yield Value("part length", before.part.length, now.part.length)


def _holding(before: Job, now: Job) -> Iterator[Value]:
    for old, new in zip(before.setup, now.setup, strict=True):
        one, other = jaws_of(before, old), jaws_of(now, new)
        if one != other:
            alike = " (other measures)" if _name(one) == _name(other) else ""
            yield Value(f"jaws of set-up {new.name}", _name(one), _name(other) + alike)
        if old.grip_diameter != new.grip_diameter:
            yield Value(f"grip diameter of set-up {new.name}", old.grip_diameter, new.grip_diameter)


def _name(jaws: Jaws | str | None) -> str:
    if not isinstance(jaws, Jaws):
        return "none"
    return jaws.name or "without a name"
