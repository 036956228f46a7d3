"""The answers of this panel, each worked out by the function that the command of its name calls."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from standclear.drawing.shapes import Drawing
from standclear.job.models import Job, Tool
from standclear.page.bench import OpenJob
from standclear.proof.held import Held
from standclear.proof.result import JobProof
from standclear.report.lines import Line

Lines = tuple[Line, ...]
RESTART = "restart"
"""The subject that another tool can be named for."""


@dataclass(frozen=True)
class Laid:
    """A job as it lies on the bench: with its handles where they are dragged to."""

    job: OpenJob
    held: Held
    moved: Job
    proof: JobProof
    """Of `moved`."""
    tools: tuple[Tool, ...] = ()
    """Tools that stand elsewhere in place of those of the job, for a restart."""


@dataclass(frozen=True)
class Subject:
    """One answer in words."""

    key: str
    label: str
    says: str
    """What it answers, a sentence."""
    lines: Callable[[Laid], Lines]
    picture: Callable[[Laid], Drawing] | None = None
    early: Callable[[Job], Lines] | None = None
    """The answer before there is a program, of a job that cannot be proved yet."""


def _plan(laid: Laid) -> Lines:
    from standclear.plan.setting.plan import plan_job
    from standclear.report.plan.setting import plan_lines

    return plan_lines(plan_job(laid.held, laid.moved, laid.held.files.job))


def _plan_early(job: Job) -> Lines:
    from standclear.plan.setting.before_program import plan_early
    from standclear.report.plan.setting import early_lines

    return early_lines(plan_early(job, job))


def _order(laid: Laid) -> Lines:
    return _order_early(laid.moved)


def _order_early(job: Job) -> Lines:
    from standclear.plan.setting.orders import jaws_fronts, orders_of
    from standclear.report.plan.orders import jaws_lines, order_lines

    return (
        *order_lines(orders_of(job), job.units),
        Line(""),
        *jaws_lines(jaws_fronts(job), job.units),
    )


def _check(laid: Laid) -> Lines:
    from standclear.plan.at_machine.gauge import machine_check
    from standclear.report.plan.at_machine import check_lines

    return check_lines(machine_check(laid.held, laid.moved, laid.proof), laid.proof)


def _restart(laid: Laid) -> Lines:
    from standclear.plan.later.restart import restarts
    from standclear.report.plan.restart import restart_lines

    return restart_lines(restarts(laid.held, laid.moved, laid.proof, laid.tools), laid.proof)


def _time(laid: Laid) -> Lines:
    from standclear.estimate.job_time import job_time
    from standclear.estimate.taken import all_taken
    from standclear.report.plan.timing import time_lines

    return time_lines(
        job_time(laid.moved, all_taken(laid.held, laid.moved, laid.proof)), laid.proof
    )


def _run(laid: Laid) -> Drawing:
    from standclear.drawing.kinds import Subject as Drawn
    from standclear.drawing.subject import drawings_of

    return drawings_of(Drawn.TIME, laid.held, laid.moved, laid.proof)[0]


def _load(laid: Laid) -> Lines:
    from standclear.estimate.load import job_load
    from standclear.estimate.taken import all_taken
    from standclear.plan.rack.bars import density_of
    from standclear.report.plan.load import load_lines

    taken = all_taken(laid.held, laid.moved, laid.proof)
    density = density_of(laid.moved.blank.material)
    return load_lines(job_load(laid.moved, laid.proof, taken), laid.proof.units, density)


def _cost(laid: Laid) -> Lines:
    """The job as filed beside what is dragged, where anything is."""
    from standclear.estimate.job_time import job_time
    from standclear.estimate.taken import all_taken
    from standclear.plan.cost.cost import job_cost
    from standclear.report.plan.cost import Costed, cost_lines

    def column(title: str, of: Laid) -> Costed:
        time = job_time(of.moved, all_taken(of.held, of.moved, of.proof))
        return Costed(title, of.proof, time, job_cost(of.moved, time))

    filed = laid.held.files.job
    if laid.moved == filed:
        return cost_lines([column(laid.proof.title or laid.job.ident, laid)])
    as_filed = replace(laid, moved=filed, proof=laid.job.ready[2])
    return cost_lines([column("as in the job", as_filed), column("on the bench", laid)])


SUBJECTS = (
    Subject("plan", "Plan", "What to key in, the split of the length, clearance points.", _plan,
            early=_plan_early),
    Subject("order", "Which end first", "What the jaws hold and reach in either order of the ends.",
            _order, early=_order_early),
    Subject("check", "Check", "Where to stand with the spindle stopped, and which gauge.", _check),
    Subject(RESTART, "Restart", "Where each tool can be called again after its edge broke.",
            _restart),
    Subject("time", "Time", "What a part takes, tool by tool.", _time, _run),
    Subject("load", "Load", "Force, power, grip and bending, as ranges.", _load, _run),
    Subject("cost", "Cost", "What a part costs, as filed and as dragged.", _cost),
)  # fmt: skip
