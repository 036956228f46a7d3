"""The whole check: a certificate's form, its claim, and the files that it names."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from standclear.audit.exact import Convex, hull, left_of, rectangle
from standclear.audit.read import Certificate, Refused, Stage, read_certificate
from standclear.audit.stage import StageCheck, parts_of
from standclear.audit.tool import Shape

CLAIM = (
    "No motion takes what must not cut of a tool into metal of the largest blank, nor any of a "
    "tool into jaws, chuck or stop, deeper than the contact limit."
)
NOT_CERTIFIED = (
    "that the motions are those of the program on your control",
    "the job's numbers: tool outlines and which edges cut, blank, jaws, zeros, wear, the crest of "
    "a thread, the way the part goes from one set-up into the next",
    "that metal stays put: nothing loose, nothing slipping in the jaws, the grip",
    "that what the job says falls is caught",
    "clean-up, sizes, good metal, margins, loads, offsets, and whatever the proof does not examine",
)


@dataclass(frozen=True)
class Audit:
    """A certificate that holds."""

    title: str
    setups: tuple[str, ...]
    motions: int
    areas: int
    """Areas that lie where metal was, each found cut before."""
    contact_limit_mm: float
    blank: tuple[float, float]
    """Of the largest blank, mm: twice the greatest radius at which metal may be, and how long."""
    same: tuple[str, ...]
    """Files found beside the certificate, as they were."""
    changed: tuple[str, ...]
    missing: tuple[str, ...]
    """Files not found beside it: nothing is said of them."""


def audit_file(path: Path, folder: Path | None = None) -> Audit:
    """Check the certificate at `path`, and the job's files in `folder` (else beside it).

    Raises `Refused` where it does not hold, OSError where it cannot be read.
    """
    return audit_text(path.read_bytes(), path.parent if folder is None else folder)


def audit_text(text: bytes, folder: Path) -> Audit:
    """As `audit_file`, for the bytes of a certificate."""
    certificate = read_certificate(text)
    areas = check(certificate)
    found = {name: _state(folder / name, value) for name, value in certificate.files.items()}
    by_state = {
        state: tuple(name for name, its in found.items() if its == state)
        for state in ("same", "changed", "missing")
    }
    return Audit(
        certificate.title,
        tuple(dict.fromkeys(stage.setup for stage in certificate.stages)),
        sum(len(stage.motions) for stage in certificate.stages),
        areas,
        certificate.contact_limit / 1e6,
        _blank(certificate.stages[0]),
        **by_state,
    )


def check(certificate: Certificate) -> int:
    """Go through the claim; raises `Refused` where it does not hold."""
    if not certificate.stages:
        raise Refused("the file holds no set-up")
    rows = [row for stage in certificate.stages for row in stage.motions]
    shapes = []
    for number, tool in enumerate(certificate.tools):
        # Arcs leave their chords by the sagitta: the body is held that much larger throughout.
        bent = max((row.sagitta for row in rows if row.tool == number), default=0)
        shapes.append(Shape(tool, certificate.contact_limit - bent))
    used = {stage.source.stage for stage in certificate.stages if stage.source is not None}
    areas = 0
    for number, stage in enumerate(certificate.stages):
        metal = metal_of(stage, number, certificate.stages)
        checked = StageCheck(stage, shapes, metal, certificate.contact_limit)
        areas += checked.check()
        if number in used:
            checked.check_left()
    return areas


def metal_of(stage: Stage, number: int, stages: tuple[Stage, ...]) -> list[Convex]:
    """The metal that a stage begins with."""
    if stage.blank is not None:
        blank = rectangle(stage.blank)
        first = stages[0] if number else stage
        if blank is None or stage.blank[1] < 0:
            raise Refused(f"set-up {stage.setup}: its blank is none")
        if (stage.setup, stage.blank) != (first.setup, first.blank):
            raise Refused(f"set-up {stage.setup}: a blank of its own in a later set-up")
        return [blank]
    source = stage.source
    assert source is not None
    if source.stage >= number:
        raise Refused(f"set-up {stage.setup}: its metal comes from a later set-up")
    before = stages[source.stage]
    metal: list[Convex] = []
    for part in parts_of(before.falls if source.falls else before.stays):
        points = [(z, r) for z, r, w in part.corners]  # of a hull of points: w is 1
        slid = hull(
            (source.sign * z + c, r) for z, r in points for c in (source.least, source.most)
        )
        face = [] if source.face is None else [(-1, 0, source.face)]
        left = left_of(slid, face)
        metal += [left] if left is not None else []
    return metal


def _blank(first: Stage) -> tuple[float, float]:
    assert first.blank is not None
    z0, _, z1, r1 = first.blank
    return 2 * r1 / 1e6, (z1 - z0) / 1e6


def _state(path: Path, value: str) -> str:
    try:
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
    except (OSError, ValueError):
        return "missing"
    return "same" if digest == value else "changed"
