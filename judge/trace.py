"""From programmed legs to moves: corners, compensation, and the machine's way in rapid."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from judge.corners import with_corners
from judge.curve import chords
from judge.jobfile import JobFile
from judge.motion import FAR, Leg, Move, Point, Step, Undecided
from judge.nose import Nose, compensated


def chord_ways(start: Point, legs: list[Leg], nose: Nose | None, control: Mapping[str, Any]
               ) -> list[list[Point]]:  # fmt: skip
    """For each leg the end points of its chords, corners cut and compensation applied.

    `nose` may be None where no leg is compensated. Raises `Undecided`.
    """
    groups = with_corners(start, legs)
    flat = [(number, leg) for number, group in enumerate(groups) for leg in group]
    ways: list[list[Point]] = [[] for _ in legs]
    at = start  # as programmed
    tip = start  # as it stands
    index = 0
    while index < len(flat):
        number, leg = flat[index]
        if leg.side == 0:
            way = chords(at, leg.end, leg.arc.clockwise, leg.arc.centre) if leg.arc else [leg.end]
            ways[number] += way
            at = tip = leg.end
            index += 1
            continue
        last = index
        while last < len(flat) and flat[last][1].side != 0:
            last += 1
        # Blocks that move nothing do not count among those that meet.
        run = []
        here = at
        for owner, moving in flat[index:last]:
            if moving.placed:
                raise Undecided("a place named under compensation")
            if moving.end != here or moving.arc is not None:
                run.append((owner, moving))
                here = moving.end
        leaving = next((b for _, b in flat[last:] if b.end != here), None)
        if run:
            if nose is None:
                raise Undecided("compensation of a tool without a nose")
            found = compensated(tip, [b for _, b in run], leaving, nose, control)
            for (owner, _), way in zip(run, found, strict=True):
                ways[owner] += way
            tip = next(way[-1] for way in reversed(found) if way)
        at = here
        index = last
    return ways


def _rapid_ways(job: JobFile, start: Point, leg: Leg, end: Point) -> list[tuple[Point, bool]]:
    """Where one straight leg goes: (end, whether any way within the rectangle)."""
    dz, dr = end[0] - start[0], end[1] - start[1]
    far = FAR in (*start, *end)
    way = job.machine.get("rapid_path", "unknown")
    slanted = leg.rapid and not leg.straight and dz != 0 and dr != 0
    if not leg.rapid and far:
        raise Undecided("feed from or to home")
    if slanted and (far or way == "unknown"):
        return [(end, True)]
    if slanted and way == "bent":
        rates = job.machine["rapid_rates"]
        time = min(abs(dz) / rates["z"], abs(dr) / rates["x"])
        z = start[0] + (rates["z"] * time if dz > 0 else -rates["z"] * time)
        r = start[1] + (rates["x"] * time if dr > 0 else -rates["x"] * time)
        return [((z, r), False), (end, False)]
    return [(end, False)]


def moves_of(job: JobFile, steps: list[Step], noses: Mapping[int, Nose]
             ) -> tuple[list[Move], list[int]]:  # fmt: skip
    """The moves of a run, and for each step how many moves come before it; one more at the end.

    Raises `Undecided`.
    """
    moves: list[Move] = []
    before: list[int] = []
    at: Point = (FAR, FAR)
    index = 0
    while index < len(steps):
        # A stretch with one tool, and no place named anew but at its start.
        first = index
        if steps[index].leg.placed:
            before.append(len(moves))
            at = steps[index].leg.end
            index += 1
            continue
        station = steps[first].station
        while index < len(steps) and steps[index].station == station:
            if steps[index].leg.placed:
                break
            index += 1
        stretch = steps[first:index]
        ways = chord_ways(at, [s.leg for s in stretch], noses.get(station), job.control)
        for step, way in zip(stretch, ways, strict=True):
            before.append(len(moves))
            for end in way:
                for point, anywhere in _rapid_ways(job, at, step.leg, end):
                    if point == at:
                        continue
                    moves.append(
                        Move(step.leg.rapid, _moved(at, step), _moved(point, step), step.station,
                             step.spindle, step.line, anywhere, step.leg.thread, step.leg.tapping)
                    )  # fmt: skip
                    at = point
    before.append(len(moves))
    return moves, before


def _moved(place: Point, step: Step) -> Point:
    """Where the tool really is: moved with its offset."""
    z, r = step.shift
    return (
        place[0] if place[0] == FAR else place[0] + z,
        place[1] if place[1] == FAR else place[1] + r,
    )


def moved_tip(legs: list[Leg], ways: list[list[Point]]) -> list[Leg]:
    """Plain straight legs along the chords of legs whose corners and compensation are settled."""
    return [
        replace(leg, end=point, arc=None, side=0, corner=None)
        for leg, way in zip(legs, ways, strict=True)
        for point in way
    ]  # fmt: skip
