"""The answer as JSON: models, the answer built from a proof, and the published schema.

Every length stands in millimetres whatever the job's unit, `x` values on diameter; sentences
carry the job's unit, as a person reads them. Points are [z, r] in the frame of their set-up:
Z0 at its part zero, r from the axis.
"""

from __future__ import annotations

import json
from importlib import resources
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Finding, Place, Quantity
from standclear.proof.result import (
    Approach,
    Changed,
    JobProof,
    SetupProof,
    SizeFound,
    Strike,
    WordChange,
)
from standclear.report.changes import change_reason
from standclear.report.words import (
    CAUTIONS,
    SEVERITY_WORD,
    exit_status,
    finding_cure,
    finding_sentence,
    headline,
)

SCHEMA_FILE = "answer.schema.json"
PLACES = 6
"""Decimals of a coordinate, mm: fine enough that no piece of a strike vanishes by rounding."""

Point = tuple[float, float]
Verdicts = Literal["clear", "unproven", "contact"]


class Record(BaseModel):
    """Base of every object of the answer."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class PlaceAnswer(Record):
    """Where in a program; line and column count from 1."""

    program: str
    line: int
    column: int
    words: str = Field(description="The block as written.")


class MeasureAnswer(Record):
    """One measured value. `unit` is mm, degree, count or text; `on_diameter` says twice r."""

    name: str
    value: float | str
    unit: Literal["mm", "degree", "count", "text"]
    on_diameter: bool = False


class FindingAnswer(Record):
    """One fact about the job."""

    code: str
    severity: Literal["note", "mend", "stop"]
    setup: str
    sentence: str
    cure: str
    place: PlaceAnswer | None
    related: list[PlaceAnswer]
    measures: list[MeasureAnswer]
    unproven: bool = Field(description="What comes after this place could not be judged.")
    allowed_because: str
    open_values: list[str] = Field(description="Control values that make it so, row=value.")


class OutlineAnswer(Record):
    """A polygon: outer ring and holes, points [z, r] in mm, first point not repeated."""

    ring: list[Point]
    holes: list[list[Point]]


class StrikeAnswer(Record):
    """A motion that meets what it must not."""

    line: int | None
    words: str
    part: str
    against: str
    depth_x_radial: float
    depth_z: float
    overlap: list[OutlineAnswer]


class ApproachAnswer(Record):
    """A place to watch in single block."""

    place: PlaceAnswer
    tool: str
    x: float = Field(description="On diameter.")
    z: float
    gap: float
    gap_x_on_diameter: float | None
    gap_x_to_metal: float | None
    gap_z: float | None
    against: str
    first_of_tool: bool


class SizeAnswer(Record):
    """A size that comes out, beside the one wanted."""

    name: str
    kind: str
    z_from: float
    z_to: float
    found: float
    least: float | None = Field(description="The least it may come out at; null where not known.")
    most: float | None
    wanted: float | None
    tolerance: tuple[float, float] | None
    right: bool | None


class ChangeAnswer(Record):
    """A word of a program to change; every other byte stays. Line and column count from 1."""

    setup: str
    program: str
    line: int
    column: int
    old: str
    new: str
    reason: str


class ChangedAnswer(Record):
    """What the job answers with every one of `changes` made."""

    verdict: Verdicts
    findings: list[FindingAnswer] = Field(description="What is then left to mend.")


class SetupAnswer(Record):
    """The proof of one set-up."""

    name: str
    verdict: Verdicts
    program: str
    raw: list[OutlineAnswer]
    metal_after: list[OutlineAnswer]
    keep_out: list[OutlineAnswer]
    keep_out_known_within: tuple[float, float, float, float] = Field(
        description="z_min, r_min, z_max, r_max."
    )
    obstacles: dict[str, list[OutlineAnswer]]
    strikes: list[StrikeAnswer]
    watch: list[ApproachAnswer]


class Answer(Record):
    """What `prove` answers. Lengths in mm, `x` on diameter, points [z, r]."""

    format: Literal[1] = Field(
        default=1,
        description="Raised when a key changes its meaning or goes; new keys alone leave it.",
    )
    proved_at: str | None = Field(
        default=None, description="Local date and time, ISO 8601; only in a kept answer."
    )
    title: str
    verdict: Verdicts
    exit_status: Literal[0, 1]
    headline: str
    length_unit: Literal["mm"] = "mm"
    job_units: Literal["mm", "inch"] = Field(description="Unit of the sentences.")
    setups: list[SetupAnswer]
    findings: list[FindingAnswer]
    changes: list[ChangeAnswer] = Field(
        description="Words of clearance points to change, all of them together; proved anew."
    )
    changed: ChangedAnswer | None = Field(description="The answer with them; null without any.")
    not_mended: list[str] = Field(
        description="What no change of a clearance point's words was proved to mend."
    )
    sizes: list[SizeAnswer]
    outcome: list[OutlineAnswer] = Field(
        description="What comes out, in the part's own frame: z = 0 at its front face, as in "
        "`sizes`. Empty where it could not be worked out."
    )
    trusted: list[str]
    not_examined: list[str]
    cautions: list[str]
    files: dict[str, str] = Field(description="SHA-256 of every file read.")


_UNIT: dict[Quantity, Literal["mm", "degree", "count", "text"]] = {
    Quantity.ANGLE: "degree",
    Quantity.COUNT: "count",
    Quantity.TEXT: "text",
}


def answer(proof: JobProof, proved_at: str | None = None) -> Answer:
    """The answer for `proof`, ready for `to_json`; dated where `proved_at` is given."""
    return Answer(
        proved_at=proved_at,
        title=proof.title,
        verdict=proof.verdict.value,
        exit_status=1 if exit_status(proof) else 0,
        headline=headline(proof),
        job_units="inch" if proof.units == "inch" else "mm",
        setups=[_setup(s) for s in proof.setups],
        findings=[_finding(f, proof.units) for f in proof.findings],
        changes=[_change(c, proof.units) for c in proof.changes],
        changed=None if proof.changed is None else _changed(proof.changed, proof.units),
        not_mended=list(proof.not_mended),
        sizes=[_size(s) for s in proof.sizes],
        outcome=[] if proof.outcome is None else outlines(proof.outcome),
        trusted=list(proof.trusted),
        not_examined=list(proof.not_examined),
        cautions=list(CAUTIONS),
        files=dict(sorted(proof.files.items())),
    )


def to_json(ready: Answer) -> str:
    """The answer as JSON text, the same bytes for the same proof, newline at the end."""
    return json.dumps(ready.model_dump(mode="json"), indent=1, ensure_ascii=True) + "\n"


def schema() -> dict[str, Any]:
    """JSON Schema of an answer, made from the models."""
    return Answer.model_json_schema(mode="serialization")


def schema_text() -> str:
    """The schema as the shipped file holds it."""
    return json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"


def shipped_schema() -> str:
    """Text of the schema file that is installed with the package."""
    return (resources.files("standclear.report") / SCHEMA_FILE).read_text(encoding="utf-8")


def outlines(geometry: BaseGeometry) -> list[OutlineAnswer]:
    """Every polygon of `geometry`, rounded to `PLACES`; lines and points are left out."""
    parts = [geometry] if geometry.geom_type == "Polygon" else getattr(geometry, "geoms", [])
    found: list[OutlineAnswer] = []
    for part in parts:
        if part.geom_type == "Polygon" and not part.is_empty:
            found.append(
                OutlineAnswer(
                    ring=_ring(part.exterior.coords),
                    holes=[_ring(h.coords) for h in part.interiors],
                )
            )
        elif hasattr(part, "geoms"):
            found.extend(outlines(part))
    return found


def _ring(coords: Any) -> list[Point]:
    points = [(_rounded(z), _rounded(r)) for z, r in coords]
    kept = [p for i, p in enumerate(points[:-1]) if i == 0 or p != points[i - 1]]
    return kept


def _rounded(mm: float) -> float:
    return round(float(mm), PLACES) + 0.0


def _maybe(mm: float | None, scale: float = 1.0) -> float | None:
    return None if mm is None else _rounded(scale * mm)


def _place(place: Place) -> PlaceAnswer:
    return PlaceAnswer(
        program=place.program, line=place.line, column=place.column, words=place.words
    )


def _finding(finding: Finding, units: str) -> FindingAnswer:
    word = SEVERITY_WORD[finding.severity]
    return FindingAnswer.model_validate(
        {
            "code": finding.code,
            "severity": word,
            "setup": finding.setup,
            "sentence": finding_sentence(finding, units),
            "cure": finding_cure(finding, units),
            "place": None if finding.place is None else _place(finding.place),
            "related": [_place(p) for p in finding.related],
            "measures": [
                MeasureAnswer(
                    name=m.name,
                    value=m.value if isinstance(m.value, str) else _rounded(m.value),
                    unit="text" if isinstance(m.value, str) else _UNIT.get(m.quantity, "mm"),
                    on_diameter=m.quantity in (Quantity.DIAMETER, Quantity.POSITION_X),
                )
                for m in finding.measures
            ],
            "unproven": finding.unproven,
            "allowed_because": finding.allowed_because,
            "open_values": list(finding.tags),
        }
    )


def _change(change: WordChange, units: str) -> ChangeAnswer:
    return ChangeAnswer(
        setup=change.setup,
        program=change.program,
        line=change.line,
        column=change.column,
        old=change.old,
        new=change.new,
        reason=change_reason(change, units),
    )


def _changed(changed: Changed, units: str) -> ChangedAnswer:
    return ChangedAnswer(
        verdict=changed.verdict.value, findings=[_finding(f, units) for f in changed.findings]
    )


def _setup(setup: SetupProof) -> SetupAnswer:
    z_min, r_min, z_max, r_max = (_rounded(v) for v in setup.reach)
    return SetupAnswer(
        name=setup.name,
        verdict=setup.verdict.value,
        program=setup.program.name,
        raw=outlines(setup.raw),
        metal_after=outlines(setup.metal_after),
        keep_out=outlines(setup.keep_out),
        keep_out_known_within=(z_min, r_min, z_max, r_max),
        obstacles={name: outlines(g) for name, g in setup.obstacles.items()},
        strikes=[_strike(setup, s) for s in setup.strikes],
        watch=[_approach(a) for a in setup.approaches],
    )


def _strike(setup: SetupProof, strike: Strike) -> StrikeAnswer:
    index = int(setup.trace.motions.block[strike.motion]) if strike.motion >= 0 else -1
    block = setup.program.blocks[index] if 0 <= index < len(setup.program.blocks) else None
    return StrikeAnswer(
        line=block.line if block and not block.file else None,
        words=block.text if block else "",
        part=strike.part.value,
        against=strike.against,
        depth_x_radial=_rounded(strike.depth_x),
        depth_z=_rounded(strike.depth_z),
        overlap=outlines(strike.overlap),
    )


def _approach(near: Approach) -> ApproachAnswer:
    z, r = near.position
    return ApproachAnswer(
        place=_place(near.place),
        tool=near.tool,
        x=_rounded(2 * r),
        z=_rounded(z),
        gap=_rounded(near.gap),
        gap_x_on_diameter=_maybe(near.gap_radial, 2.0),
        gap_x_to_metal=_maybe(near.gap_radial),
        gap_z=_maybe(near.gap_z),
        against=near.against,
        first_of_tool=near.first_of_tool,
    )


def _size(size: SizeFound) -> SizeAnswer:
    return SizeAnswer(
        name=size.name,
        kind=size.kind,
        z_from=_rounded(size.z_from),
        z_to=_rounded(size.z_to),
        found=_rounded(size.found),
        least=_maybe(size.least),
        most=_maybe(size.most),
        wanted=_maybe(size.wanted),
        tolerance=size.tolerance,
        right=size.right,
    )
