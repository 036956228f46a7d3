"""A run along its time: what each moment does, with which tool, and what power it may take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from standclear.estimate.clock import Clock, clock_of
from standclear.estimate.cuts import Cuts, cuts_of
from standclear.estimate.feeding import feed_seconds
from standclear.estimate.materials import material_of
from standclear.estimate.rapids import rapid_seconds
from standclear.estimate.taken import Taken
from standclear.job.models import Job
from standclear.motions.table import Kind
from standclear.proof.result import JobProof

Floats = NDArray[np.float64]


class Doing(IntEnum):
    """What the tool does."""

    METAL = 0
    AIR = 1
    """A feed that takes nothing off."""
    RAPID = 2


@dataclass(frozen=True)
class Along:
    """Arrays over spans of time, in order; they follow one another without a gap. Spans of which
    the time is not known are left out, and so are waits and tool changes."""

    begin: Floats
    """s."""
    end: Floats
    doing: NDArray[np.int64]
    tool: NDArray[np.int64]
    """Index into the trace's tools."""
    power: tuple[Floats, Floats]
    """kW, least and most; nan where it is not counted."""


@dataclass(frozen=True)
class Run:
    """One set-up's run: its name, its spans, and the tools of its trace by station."""

    name: str
    along: Along
    stations: tuple[int, ...]


def runs_of(job: Job, proof: JobProof, taken: Sequence[Sequence[Taken]]) -> tuple[Run, ...]:
    """The first way through the program of each set-up along its time, and the power on it."""
    clock, material = clock_of(job), material_of(job.blank.material)
    return tuple(
        Run(
            setup.name,
            along_run(ways[0], cuts_of(ways[0], setup, material), clock),
            tuple(use.station for use in ways[0].reading.trace.tools),
        )
        for setup, ways in zip(proof.setups, taken, strict=True)
    )


def along_run(taken: Taken, cuts: Cuts, clock: Clock) -> Along:
    """One way through a program along its time; `cuts` are its own. A feed that is partly in air
    stands with the air first: so a cut begins."""
    motions, way = taken.motions, taken.way
    feeding = np.nan_to_num(np.where(way, feed_seconds(motions), 0.0))
    rapid = np.zeros(len(motions))
    if clock.axes is not None:
        _, straight = rapid_seconds(motions, clock.axes)
        rapid = np.nan_to_num(np.where(way, straight, 0.0))
    part = taken.in_metal
    spans = np.column_stack(
        [np.where(motions.kind == Kind.FEED, feeding * (1.0 - part), rapid), feeding * part]
    )
    doing = np.column_stack(
        [
            np.where(motions.kind == Kind.FEED, Doing.AIR, Doing.RAPID),
            np.full(len(motions), Doing.METAL),
        ]
    )
    low, high = np.full(len(motions), np.nan), np.full(len(motions), np.nan)
    low[cuts.found.motion], high[cuts.found.motion] = cuts.power
    nothing = np.full(len(motions), np.nan)
    seconds = spans.ravel()
    some = seconds > 0
    end = np.cumsum(seconds[some])
    return Along(
        end - seconds[some],
        end,
        doing.ravel()[some].astype(np.int64),
        np.repeat(motions.tool, 2)[some].astype(np.int64),
        (
            np.column_stack([nothing, low]).ravel()[some],
            np.column_stack([nothing, high]).ravel()[some],
        ),
    )


def merged(along: Along, least: float) -> Along:
    """Spans of one tool doing one thing joined, and those shorter than `least` seconds given to
    the one before them; the power of a joined span is the most of its parts."""
    if len(along.end) == 0:
        return along
    keep = [0]
    for k in range(1, len(along.end)):
        last = keep[-1]
        same = along.tool[k] == along.tool[last] and along.doing[k] == along.doing[last]
        short = along.end[k] - along.begin[k] < least and along.tool[k] == along.tool[last]
        if not (same or short):
            keep.append(k)
    rows = np.array(keep)
    group = np.searchsorted(rows, np.arange(len(along.end)), side="right") - 1
    power = []
    for each in along.power:
        most = np.full(len(rows), -np.inf)
        np.maximum.at(most, group, np.where(np.isfinite(each), each, -np.inf))
        power.append(np.where(np.isfinite(most), most, np.nan))
    begin = along.begin[rows]
    end = np.append(begin[1:], along.end[-1])
    return Along(begin, end, along.doing[rows], along.tool[rows], (power[0], power[1]))
