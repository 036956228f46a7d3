"""The set-up plan in words: what a setter would write on the back of the drawing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from standclear.findings.finding import Finding, Verdict
from standclear.job.models import Job
from standclear.plan.setting.before_program import EarlyPlan
from standclear.plan.setting.plan import SettingPlan
from standclear.report.lines import Line, cautions, titled
from standclear.report.plan.back_of_drawing import back_lines
from standclear.report.plan.clearance import least_lines, point_lines, rule_lines, too_near
from standclear.report.plan.grip import grip_lines
from standclear.report.plan.orders import jaws_lines, order_lines
from standclear.report.plan.plain_json import plain
from standclear.report.plan.split import length_lines, split_lines
from standclear.report.plan.zeros import zero_lines
from standclear.report.sizes import length

BLANK = Line("")


def plan_lines(plan: SettingPlan) -> tuple[Line, ...]:
    """The whole plan of a job that has its programs; sizes in its unit."""
    return tuple(_plan(plan))


def early_lines(plan: EarlyPlan) -> tuple[Line, ...]:
    """The whole plan of a job that has none."""
    return tuple(_early(plan))


def _plan(plan: SettingPlan) -> Iterator[Line]:
    units = plan.job.units
    yield Line(_title(plan.job))
    yield from _verdict_lines(plan)
    yield BLANK
    yield from back_lines(plan)
    yield BLANK
    yield from split_lines(
        plan.split,
        plan.parted,
        units,
        plan.verdict,
        plan.enough,
        (plan.least_front, plan.greatest_front),
    )
    yield from length_lines(plan, units)
    yield BLANK
    yield from grip_lines(plan.grips, units)
    yield BLANK
    yield from zero_lines(plan.zeros, plan.job.part.length, units)
    yield BLANK
    yield from point_lines(plan.points, units, too_near(plan.proof))
    for setup, count in zip(plan.job.setup, plan.readings, strict=True):
        if count > 1:
            yield Line(
                f"set-up {setup.name}: the control's behaviour leaves {count} readings of the "
                "program; the points are those of the one that answers worst.",
                "mend",
                2,
            )
    yield BLANK
    yield from rule_lines(plan.rules, plan.bent, units, "The usual rule on this blank")
    if plan.least.proof is not None:
        yield BLANK
        yield from least_lines(plan.least, units)
    yield from titled("Not examined", plan.proof.not_examined)
    yield from cautions()


def _early(plan: EarlyPlan) -> Iterator[Line]:
    units = plan.job.units
    yield Line(_title(plan.job))
    yield Line(
        "No program yet: no motion is proved. This is worked out from outline, blank and jaws.",
        "unproven",
    )
    if plan.assumed:
        yield Line(
            "The job names no set-ups: the first end touched, then the finished face on the stop, "
            "both in the same jaws."
        )
    yield BLANK
    yield from order_lines(plan.orders, units)
    yield BLANK
    yield from split_lines(plan.split, plan.parted, units)
    yield BLANK
    yield from zero_lines(plan.zeros, plan.job.part.length, units)
    yield BLANK
    yield from rule_lines(plan.rules, (), units, "Clearance points to program")
    yield BLANK
    yield from jaws_lines(plan.jaws, units)
    yield from cautions()


def _title(job: Job) -> str:
    blank = job.blank
    shape = "bar" if blank.shape == "round" else blank.shape
    made = f"{shape} {length(blank.size, job.units)}, blank {length(blank.length, job.units)} long"
    return f"{job.title}: {made}" if job.title else made


def _verdict_lines(plan: SettingPlan) -> Iterator[Line]:
    yield _answer("As it stands", plan.verdict, plan.findings)
    if plan.split.proposed:
        yield _answer("With the split set anew, proved again", plan.after, plan.after_findings)


def _answer(what: str, verdict: Verdict, findings: tuple[Finding, ...]) -> Line:
    if not findings:
        return Line(f"{what}: {verdict}.", str(verdict))
    codes = ", ".join(dict.fromkeys(f.code.replace("-", " ") for f in findings))
    role = "mend" if verdict is Verdict.CLEAR else str(verdict)
    said = f"{what}: {verdict}; to mend: {codes}. Where, and what to key in: `standclear prove`."
    return Line(said, role)


def plan_data(plan: SettingPlan | EarlyPlan) -> dict[str, Any]:
    """The plan as plain tables for JSON, lengths in millimetres, r radial; findings by their codes,
    the job and the proof left out."""
    found: dict[str, Any] = plain(_without_bulk(plan))
    return {"units": plan.job.units, "title": plan.job.title, "complete": plan.complete, **found}


def _without_bulk(value: Any) -> Any:
    if isinstance(value, Finding):
        return value.code
    if isinstance(value, tuple):
        return [_without_bulk(each) for each in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {
            f.name: _without_bulk(getattr(value, f.name))
            for f in fields(value)
            if f.name not in ("before", "job", "proof")
        }
    return value
