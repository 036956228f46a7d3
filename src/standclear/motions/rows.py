"""Collects motions one by one and hands them on as the table of arrays."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

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


@dataclass
class RowWriter:
    """The rows so far."""

    rows: list[tuple[Any, ...]] = field(default_factory=list)

    def __len__(self) -> int:
        return len(self.rows)

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
    ) -> None:
        """Adds one row; (z, r) in the frame of the set-up, mm."""
        self.rows.append(
            (
                kind,
                path,
                start,
                end,
                sagitta,
                tool,
                block,
                profile,
                call,
                variant,
                credited,
                crest,
                now.spindle,
                now.feed if kind == Kind.FEED else 0.0,
                now.feed_mode,
                now.speed,
                now.speed_mode,
                now.clamp,
                now.coolant,
            )
        )

    def table(self) -> Motions:
        """All rows as arrays."""
        columns: list[Any] = [list(c) for c in zip(*self.rows, strict=True)] or [[]] * 19
        return Motions(
            kind=np.array(columns[0], dtype=np.int8),
            path=np.array(columns[1], dtype=np.int8),
            start=_pairs(columns[2]),
            end=_pairs(columns[3]),
            sagitta=np.array(columns[4], dtype=np.float64),
            tool=np.array(columns[5], dtype=np.int16),
            block=np.array(columns[6], dtype=np.int32),
            profile=np.array(columns[7], dtype=np.int32),
            call=np.array(columns[8], dtype=np.int32),
            variant=np.array(columns[9], dtype=np.int16),
            credited=np.array(columns[10], dtype=np.bool_),
            crest=np.array(columns[11], dtype=np.float64),
            spindle=np.array(columns[12], dtype=np.int8),
            feed=np.array(columns[13], dtype=np.float64),
            feed_mode=np.array(columns[14], dtype=np.int8),
            speed=np.array(columns[15], dtype=np.float64),
            speed_mode=np.array(columns[16], dtype=np.int8),
            clamp=np.array(columns[17], dtype=np.float64),
            coolant=np.array(columns[18], dtype=np.bool_),
        )


def _pairs(values: list[Position]) -> NDArray[np.float64]:
    return np.array(values, dtype=np.float64).reshape(-1, 2)
