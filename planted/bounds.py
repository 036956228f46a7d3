"""Faults that no word of a program mends, each with the bound that stands in the way."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import shapely

from planted.bases import Base
from planted.faults import Planted
from standclear.job.models import Jaws, Job
from standclear.job.setup_checks import jaws_of


def jaws_too_long(base: Base, rng: Random) -> Planted | None:
    """Jaws that reach further out than any split of the spare length can make good."""
    if base.allowed & {"jaws-near", "face-left-raw", "size-wrong"}:
        return None
    index = rng.randrange(len(base.job.setup))
    setup, proof = base.job.setup[index], base.proof.setups[index]
    jaws = jaws_of(base.job, setup)
    cut = proof.metal_before.difference(proof.metal_after)
    if not isinstance(jaws, Jaws) or "jaws" not in proof.obstacles or cut.is_empty:
        return None
    room = cut.bounds[0] - proof.obstacles["jaws"].bounds[2]
    more = round(max(room, 0.0) + max(proof.raw.bounds[2], 0.0) + rng.uniform(0.6, 4.0), 2)
    if setup.seat.on == "stick-out":
        seat = setup.seat.model_copy(update={"stick_out": (setup.seat.stick_out or 0.0) - more})
        job = _with_setup(base.job, index, {"seat": seat})
    else:
        front = max(z for z, _ in jaws.profile)
        profile = [(z + more if z == front else z, h) for z, h in jaws.profile]
        longer = jaws.model_copy(update={"profile": profile})
        job = _with_setup(base.job, index, {"jaws": longer})
    done = f"set-up {setup.name}: jaws {more} further out"
    return Planted(replace(base.files, job=job), (done,), 0, "jaws")


def bar_too_thin(base: Base, rng: Random) -> Planted | None:
    """A bar thinner than the largest diameter that the first end turns."""
    if base.allowed & {"diameter-left-raw"} or base.job.blank.shape != "round":
        return None
    proof = base.proof.setups[0]
    cut = proof.metal_before.difference(proof.metal_after)
    if cut.is_empty:
        return None
    turned = shapely.box(cut.bounds[0] + 0.2, 0.0, proof.raw.bounds[2], 1e4)
    left = proof.metal_after.intersection(turned)
    if left.is_empty or left.bounds[3] >= proof.raw.bounds[3] - 0.01:
        return None
    size = round(2 * left.bounds[3] - rng.uniform(0.4, 3.0), 2)
    blank = base.job.blank.model_copy(update={"size": size})
    job = base.job.model_copy(update={"blank": blank})
    if job.setup[0].grip_diameter is not None:
        job = _with_setup(job, 0, {"grip_diameter": size})
    return Planted(replace(base.files, job=job), (f"bar {size}",), 0, "bar")


def blank_too_short(base: Base, rng: Random) -> Planted | None:
    """A blank shorter than the finished part."""
    if base.allowed & {"face-left-raw", "size-wrong"} or len(base.job.setup) < 2:
        return None
    length = round(base.job.part.length - rng.uniform(0.4, 3.0), 2)
    blank = base.job.blank.model_copy(update={"length": length})
    job = base.job.model_copy(update={"blank": blank})
    return Planted(replace(base.files, job=job), (f"blank {length} long",), 0, "length")


def reach_too_short(base: Base, rng: Random) -> Planted | None:
    """A grooving tool whose holder meets the metal before its edge is down."""
    assert isinstance(base.job.tools, list)
    at = [k for k, tool in enumerate(base.job.tools) if tool.grooving is not None]
    if not at:
        return None
    index = rng.choice(at)
    tools = list(base.job.tools)
    grooving = tools[index].grooving
    assert grooving is not None
    shorter = grooving.model_copy(update={"reach": grooving.edge_height or grooving.width})
    tools[index] = tools[index].model_copy(update={"grooving": shorter})
    done = f"T{tools[index].station} reaches {shorter.reach}"
    job = base.job.model_copy(update={"tools": tools})
    return Planted(replace(base.files, job=job), (done,), 0, "tool")


def depth_too_great(base: Base, rng: Random) -> Planted | None:
    """A tool that may take less than the program's passes."""
    if "cut-too-deep" in base.allowed:
        return None
    assert isinstance(base.job.tools, list)
    limit = round(rng.uniform(0.15, 0.4), 2)
    tools = [
        tool.model_copy(update={"greatest_depth": limit}) if tool.station == 1 else tool
        for tool in base.job.tools
    ]
    job = base.job.model_copy(update={"tools": tools})
    return Planted(replace(base.files, job=job), (f"T1 may take {limit}",), 0, "depth")


def _with_setup(job: Job, index: int, change: dict[str, object]) -> Job:
    setups = list(job.setup)
    setups[index] = setups[index].model_copy(update=change)
    return job.model_copy(update={"setup": setups})
