"""The drawings of a proved job, by what they are of."""

from __future__ import annotations

from standclear.drawing.kinds import Subject
from standclear.drawing.section.alone import section_at_true_size
from standclear.drawing.section.sheet import sheet
from standclear.drawing.section.strips import strips
from standclear.drawing.shapes import Drawing
from standclear.findings.finding import Verdict
from standclear.job.models import Job, Machine
from standclear.plan.rack.rack_file import Rack
from standclear.proof.held import Held
from standclear.proof.result import JobProof


def drawings_of(
    subject: Subject,
    held: Held,
    job: Job,
    proof: JobProof,
    *,
    setup: str | None = None,
    rack: Rack | None = None,
    true_size: bool = False,
) -> tuple[Drawing, ...]:
    """The drawings of a subject, a sheet or a page each. `proof` was judged from `held` and `job`.

    `setup` keeps to one set-up. `rack` puts its bars into the stock map and its saw cut into the
    length. `true_size` gives sections by themselves at 1:1 in place of the sheet.

    Raises KeyError where the job has no such set-up.
    """
    names = [s.name for s in proof.setups]
    if setup is not None and setup not in names:
        raise KeyError(setup)
    shown = names if setup is None else [setup]
    if subject is Subject.MOTIONS:
        return tuple(strips(held, proof, name) for name in shown)
    if subject is Subject.LENGTH:
        return (_length(held, job, proof, rack),)
    if subject is Subject.STOCK:
        return (_stock(held, job, proof, rack, setup),)
    if subject is Subject.TIME:
        return (_time(held, job, proof, shown),)
    if true_size:
        return tuple(section_at_true_size(proof, name) for name in shown)
    return (sheet(proof, setup),)


def _length(held: Held, job: Job, proof: JobProof, rack: Rack | None) -> Drawing:
    from standclear.drawing.maps.length_budget import length_budget
    from standclear.plan.grip.grip import grip_of
    from standclear.plan.setting.rooms import program_limits
    from standclear.plan.setting.split import split_of

    clear = proof.verdict is Verdict.CLEAR
    # What a program that is not clear allows its faces and jaws says nothing: mend it first.
    split = split_of(job, program_limits(held, job, proof) if clear else ())
    kerf = None if rack is None else rack.kerf
    return length_budget(job, split, grip_of(held, job, proof), kerf=kerf)


def _stock(held: Held, job: Job, proof: JobProof, rack: Rack | None, setup: str | None) -> Drawing:
    from standclear.drawing.maps.stock_map import stock_maps
    from standclear.plan.rack.check import check_rack
    from standclear.plan.windows.stock import stock_windows

    windows = stock_windows(held, job, proof)
    rows = () if rack is None else check_rack(held, job, rack, windows[-1])
    if setup is not None:
        windows = tuple(w for w in windows if w.setup == setup)
        if not windows:
            raise KeyError(setup)
    return stock_maps(windows, job, proof, rows)


def _time(held: Held, job: Job, proof: JobProof, shown: list[str]) -> Drawing:
    from standclear.drawing.maps.run_strip import run_strip
    from standclear.estimate.along import runs_of
    from standclear.estimate.taken import all_taken

    assert isinstance(job.machine, Machine)
    runs = [r for r in runs_of(job, proof, all_taken(held, job, proof)) if r.name in shown]
    return run_strip(runs, proof.title, job.machine.spindle_power)
