"""The arrow itself: what is held of a job, with its clear verdict, to a certificate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from standclear.audit.audit import check, metal_of
from standclear.audit.exact import Convex
from standclear.audit.read import Certificate, Refused, Row, Source, Stage, Tool
from standclear.audit.stage import parts_of
from standclear.audit.tool import Shape
from standclear.certificate.errors import NoCertificate
from standclear.certificate.parts import (
    convex_parts,
    nm_above,
    nm_below,
    polygon_of,
    rings_of,
)
from standclear.certificate.rows import certificate_rows
from standclear.certificate.tools import certificate_tools
from standclear.certificate.witness import Cuts, taken_by, with_witness
from standclear.findings.finding import Verdict
from standclear.job.placing import Placing, place_setups
from standclear.proof.carry import Way
from standclear.proof.held import Held, contact_limit
from standclear.proof.judge_setup import NOTHING_CARRIED, Carried, Outcome, judge_setup
from standclear.proof.prove import handed_on
from standclear.proof.result import JobProof
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common, union

MOST_MOTIONS = 20_000
"""In one job, those of every reading on every other counted."""
ROUND_MM = 20e-6
"""What is left is drawn larger by so much, that whole nanometres hold all of it."""


def make_certificate(held: Held, proof: JobProof) -> Certificate:
    """The certificate of a proof of the job as held that is `clear`; the checker has gone through
    it.

    Raises `NoCertificate` where the verdict is another or the job has something not covered.
    """
    job = held.files.job
    _check_covered(held, proof)
    limit = nm_below(contact_limit(job))
    tools: list[Tool] = []
    shapes: list[Shape] = []
    stages: list[Stage] = []
    before = NOTHING_CARRIED
    sources: list[Source | None] = [None]
    for index, placing in enumerate(place_setups(job)):
        program = held.programs[job.setup[index].program]
        last = index + 1 == len(job.setup)
        handing: list[Carried] = []
        left: list[Source | None] = []
        # Every reading of the program on what every reading of the one before leaves.
        for reading in held.readings[index]:
            outcome = judge_setup(job, index, placing, program, reading, before)
            own = certificate_tools(reading, contact_limit(job))
            rows = [
                replace(row, tool=row.tool + len(tools))
                for row in certificate_rows(reading.trace, program)
            ]
            tools += own
            shapes += [_shape(t, rows, k, limit) for k, t in enumerate(own, len(shapes))]
            maker = _SetupStages(outcome, shapes, rows, nm_above(reading.corner), limit, stages)
            for source in sources:
                came = source and _by_way(source, placing, outcome.carried.way)
                left.append(maker.add(came, last=last))
            handing.append(outcome.carried)
        before, sources = handed_on(handing), left
    certificate = Certificate(job.title, dict(proof.files), limit, tuple(tools), tuple(stages))
    try:
        check(certificate)
    except Refused as error:
        raise NoCertificate(str(error)) from error
    return certificate


def _check_covered(held: Held, proof: JobProof) -> None:
    if proof.verdict is not Verdict.CLEAR:
        raise NoCertificate(f"the verdict is {proof.verdict}; only a clear job has one")
    ways, motions = 1, 0
    for readings in held.readings:
        motions += ways * sum(len(r.trace.motions) for r in readings)
        ways *= len(readings)
    if motions > MOST_MOTIONS:
        raise NoCertificate(
            f"the job makes {motions} motions, every reading of its programs counted; more than "
            f"{MOST_MOTIONS} would take hours"
        )


def _by_way(source: Source, placing: Placing, way: Way) -> Source:
    """The source with the way by which the part comes into a set-up."""
    turned = placing.mirror is not None
    return replace(
        source,
        sign=-1 if turned else 1,
        least=nm_below(way.c.lo),
        most=nm_above(way.c.hi),
        face=nm_above(placing.face_strike_z + way.ahead.hi) if turned else None,
    )


@dataclass(frozen=True)
class _SetupStages:
    """One set-up: a stage up to each fall of metal, and one to the end."""

    outcome: Outcome
    shapes: Sequence[Shape]
    rows: Sequence[Row]
    corner: int
    limit: int
    stages: list[Stage]

    def add(self, source: Source | None, *, last: bool) -> Source | None:
        """Adds the set-up's stages; gives where the next set-up's metal comes from, its way still
        open."""
        fallen: list[tuple[int, BaseGeometry]] = []
        begin = 0
        for fall in [*_falls(self.outcome), None]:
            end = len(self.rows) if fall is None else fall.motion
            stage = self._stage(source, begin, end)
            metal = metal_of(stage, len(self.stages), tuple(self.stages))
            stage, cuts = with_witness(stage, self.shapes, metal, self.limit)
            if fall is not None:
                rest = cuts.surely(union([polygon_of(part) for part in metal]))
                stays, falls = _parted(rest, fall)
                stage = _leaving(stage, cuts, metal, stays, falls)
                fallen.append((len(self.stages), falls))
                source = Source(len(self.stages), False, 1, 0, 0, None)
            elif not last:
                rest = cuts.surely(union([polygon_of(part) for part in metal]))
                part = self.outcome.carried.metal
                assert part is not None
                of = max(fallen, key=lambda f: common(f[1], part.most).area, default=None)
                if of and common(of[1], part.most).area > common(rest, part.most).area:
                    source = Source(of[0], True, 1, 0, 0, None)
                else:
                    stage = _leaving(stage, cuts, metal, rest, shapely.Polygon())
                    source = Source(len(self.stages), False, 1, 0, 0, None)
            self.stages.append(stage)
            begin = end
        return source

    def _stage(self, source: Source | None, begin: int, end: int) -> Stage:
        if 0 < begin < len(self.rows):
            one, other = self.rows[begin - 1], self.rows[begin]
            if one.choice >= 0 and one.choice == other.choice:
                raise NoCertificate(
                    f"set-up {self.outcome.proof.name}: metal falls in the middle of a cycle that "
                    "may be read in several ways"
                )
        proof = self.outcome.proof
        z0, r0, z1, r1 = proof.metal_before.bounds
        blank = (nm_below(z0), max(nm_below(r0), 0), nm_above(z1), nm_above(r1))
        return Stage(
            proof.name,
            blank if source is None else None,
            source,
            tuple(
                (name, tuple(ring))
                for name, area in proof.obstacles.items()
                for ring in rings_of(area)
            ),
            tuple(self.rows[begin:end]),
            self.corner,
            {},
            (),
            (),
            (),
        )


def _shape(tool: Tool, rows: Sequence[Row], number: int, limit: int) -> Shape:
    """A tool as the checker sees it."""
    bent = max((row.sagitta for row in rows if row.tool == number), default=0)
    try:
        return Shape(tool, limit - bent)
    except Refused as error:
        raise NoCertificate(str(error)) from error


@dataclass(frozen=True)
class _Fall:
    """Metal that the job says comes down, `motion` the first after that."""

    motion: int
    box: BaseGeometry


def _falls(outcome: Outcome) -> list[_Fall]:
    falls = []
    for finding in outcome.findings:
        if finding.code != "loose-metal" or finding.unproven:
            continue
        size = {m.name: float(m.value) for m in finding.measures}
        if "limit" not in size:  # that of burr, which is no fall
            z0, z1 = size["z_from"], size["z_to"]
            r0, r1 = size["d_from"] / 2, size["d_to"] / 2
            falls.append(_Fall(finding.motion, rectangle(z0, z1, r0, r1)))
    return sorted(falls, key=lambda fall: fall.motion)


def _parted(rest: BaseGeometry, fall: _Fall) -> tuple[BaseGeometry, BaseGeometry]:
    """What stays and what falls; the piece nearest to the chuck stays."""
    pieces = sorted(shapely.get_parts(rest), key=lambda p: float(p.bounds[0]))
    down = [p for p in pieces[1:] if common(p, fall.box).area > 0]
    return union([p for p in pieces if not any(p is d for d in down)]), union(down)


def _leaving(
    stage: Stage,
    cuts: Cuts,
    metal: Sequence[Convex],
    stays: BaseGeometry,
    falls: BaseGeometry,
) -> Stage:
    """The stage with what it leaves."""
    rings = [
        tuple(tuple(part) for part in convex_parts(area.buffer(ROUND_MM, join_style="mitre")))
        for area in (stays, falls)
    ]
    both = parts_of([*rings[0], *rings[1]])
    return replace(stage, stays=rings[0], falls=rings[1], taken_by=taken_by(cuts, metal, both))
