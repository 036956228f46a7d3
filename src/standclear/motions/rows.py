"""Collects motions one by one and hands them on as the table of arrays."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from struct import Struct

import numpy as np
from numpy.typing import NDArray

from standclear.motions.step import Position
from standclear.motions.table import FeedMode, Kind, Motions, Path, SpeedMode, Spindle


@dataclass(frozen=True, slots=True)
class Conditions:
    """Spindle, feed and coolant in force in a row; units as in `Motions`."""

    spindle: Spindle
    feed: float
    feed_mode: FeedMode
    speed: float
    speed_mode: SpeedMode
    clamp: float
    coolant: bool


_COLUMNS = {
    "kind": "b",
    "path": "b",
    "start": "dd",
    "end": "dd",
    "sagitta": "d",
    "tool": "h",
    "block": "i",
    "profile": "i",
    "call": "i",
    "variant": "h",
    "credited": "?",
    "crest": "d",
    "compensated": "?",
    "spindle": "b",
    "feed": "d",
    "feed_mode": "b",
    "speed": "d",
    "speed_mode": "b",
    "clamp": "d",
    "coolant": "?",
}
"""Columns of the table with the form of a row's numbers, in the order in which `add` gives them."""
_PACKED = Struct("<" + "".join(_COLUMNS.values()))
_ROW = np.dtype(
    [
        (name, f"<{form[0]}", (2,)) if len(form) == 2 else (name, f"<{form}")
        for name, form in _COLUMNS.items()
    ]
)


@dataclass
class RowWriter:
    """The rows so far, packed: a loop that makes many motions holds numbers and nothing else."""

    packed: bytearray = field(default_factory=bytearray)

    def __len__(self) -> int:
        return len(self.packed) // _PACKED.size

    def add(
        self,
        kind: Kind,
        start: Position,
        end: Position,
        tool: int,
        block: int,
        now: Conditions,
        *,
        path: Path = Path.STRAIGHT,
        sagitta: float = 0.0,
        profile: int = -1,
        call: int = -1,
        variant: int = 0,
        credited: bool = True,
        crest: float = 0.0,
        compensated: bool = False,
    ) -> None:
        """Adds one row; (z, r) in the frame of the set-up, mm."""
        self.packed += _PACKED.pack(
            kind,
            path,
            *start,
            *end,
            sagitta,
            tool,
            block,
            profile,
            call,
            variant,
            credited,
            crest,
            compensated,
            now.spindle,
            now.feed if kind == Kind.FEED else 0.0,
            now.feed_mode,
            now.speed,
            now.speed_mode,
            now.clamp,
            now.coolant,
        )

    def keep(self, most: int) -> None:
        """Drops all but the first rows, `most` at most; no call is cut in two."""
        if len(self) <= most:
            return
        calls = self._unpacked()["call"]
        while most > 0 and calls[most] >= 0 and calls[most] == calls[most - 1]:
            most -= 1
        del self.packed[most * _PACKED.size :]

    def last_call(self) -> int:
        """The greatest number of a call that has rows; -1 where none has."""
        return int(self._unpacked()["call"].max(initial=-1))

    def _unpacked(self) -> NDArray[np.void]:
        return np.frombuffer(bytes(self.packed), dtype=_ROW)

    def table(self) -> Motions:
        """All rows as arrays."""
        rows = self._unpacked()
        return Motions(**{column.name: np.array(rows[column.name]) for column in fields(Motions)})
