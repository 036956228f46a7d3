"""What can mend a finding that no edit of words mends: jaws, another bar, another length.

Each answer that is a number is judged on the whole job before it is given, and says whether that
left its findings gone and brought none. Nothing is swept for it: the motions stay.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

from standclear.findings.finding import Finding, Measure, Quantity
from standclear.job.models import Jaws, Job, Setup
from standclear.job.setup_checks import jaws_of
from standclear.plan.amend.codes import MENDABLE, RUN_IN_SHORT, WRONG_OFFSET
from standclear.plan.amend.trial import weighty
from standclear.plan.setting.changed import longer
from standclear.proof.held import Held
from standclear.proof.judge_setup import JAW_MARGIN_MM
from standclear.proof.prove import judge
from standclear.proof.result import JobProof, SetupProof
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common, union

JAWS = frozenset({"jaws-near", "jaws-struck"})
THIN = frozenset({"diameter-left-raw"})
SHORT = frozenset({"face-left-raw"})
TOOL = frozenset({"holder-into-metal"})
WIDE = 1e6
TRIES = 4
"""Judged for one number: what is still short after one is added to it for the next."""
BARS = 16
"""Bars judged, each a tenth thicker than the one before."""
GRAIN_MM = 0.1
"""Numbers are given to the tenth, rounded to the safe side."""


@dataclass(frozen=True)
class Beyond:
    """One thing to change that is no word of a program."""

    setup: str
    bound: str
    """What stands in the way: `jaws`, `bar`, `length`, `band`, `tool`, `depth` or `offset`."""
    message: str
    """May hold `{name}` for any measure."""
    measures: tuple[Measure, ...] = ()
    proved: bool = False
    """The whole job, judged with it, has these findings no more and none of another kind."""
    findings: tuple[Finding, ...] = ()
    """What it is the answer to."""


def beyond_edits(
    held: Held, job: Job, proof: JobProof, left: Sequence[Finding]
) -> tuple[Beyond, ...]:
    """What can mend the findings that are left, each thing once for each set-up, with all the
    findings that it is the answer to."""
    wrong = {f.setup for f in left if f.code == WRONG_OFFSET}
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in left:
        if finding.setup in wrong and finding.code != WRONG_OFFSET:
            continue  # what another zero does says nothing of jaws or bar
        bound = _bound(finding)
        if bound:
            groups.setdefault((finding.setup, bound), []).append(finding)
    return tuple(
        each
        for (setup, bound), findings in groups.items()
        for each in _answers(held, job, proof, setup, bound, tuple(findings))
    )


def _bound(finding: Finding) -> str:
    if finding.code in JAWS:
        return "jaws"
    if finding.code in THIN:
        return "bar"
    if _is_short(finding):
        return "length"
    if finding.code in TOOL:
        return "tool"
    if finding.code == "band-left":
        return "band"
    if finding.code == "cut-too-deep":
        return "depth"
    if finding.code == WRONG_OFFSET:
        return "offset"
    return "thinner" if finding.code in MENDABLE - {RUN_IN_SHORT} else ""


def _answers(
    held: Held, job: Job, proof: JobProof, name: str, bound: str, findings: tuple[Finding, ...]
) -> Iterator[Beyond]:
    index = next((k for k, setup in enumerate(job.setup) if setup.name == name), None)
    if bound == "jaws" and index is not None:
        yield _jaws_back(held, job, index, findings)
    elif bound == "bar":
        yield _thicker(held, job, proof, name, findings)
    elif bound == "length":
        yield from _longer(held, job, name, findings)
    elif bound == "tool":
        message = "a tool whose holder stands back further, or less metal where it comes."
        yield Beyond(name, bound, message, findings=findings)
    elif bound == "depth":
        message = "take more passes, or a blank with less to come off."
        yield Beyond(name, bound, message, findings=findings)
    elif bound == "offset":
        message = "the work offset in force is another set-up's: call its own."
        yield Beyond(name, bound, message, findings=findings)
    elif bound == "band":
        width = Measure("width", max(_value(f, "width") for f in findings))
        message = (
            "let the last pass of one end run {width} further, where jaws and grip allow it, or "
            "turn the other end first."
        )
        yield Beyond(name, bound, message, (width,), findings=findings)
    elif bound == "thinner" and index == 0:
        yield from _thinner(held, proof.setups[0], job, findings)


def _value(finding: Finding, name: str) -> float:
    return next((m.value for m in finding.measures if m.name == name
                 and isinstance(m.value, float)), 0.0)  # fmt: skip


def _gone(held: Held, job: Job, findings: Sequence[Finding], others: Sequence[Finding]) -> bool:
    """True where `job` has none of the kinds of `findings` any more, and no other kind than
    `others`."""
    now = {(f.setup, f.code) for f in weighty(judge(held, job))}
    return not now & {(f.setup, f.code) for f in findings} and now <= {
        (f.setup, f.code) for f in others
    }


def _jaws_back(held: Held, job: Job, index: int, findings: tuple[Finding, ...]) -> Beyond:
    setup = job.setup[index]
    others = weighty(judge(held, job))
    need, short, moved = 0.0, _jaw_shortage(setup, findings), None
    for _ in range(TRIES):
        need = ceil((need + short) / GRAIN_MM - 1e-6) * GRAIN_MM
        moved = _with_jaws_back(job, index, need)
        if moved is None:
            break
        again = [f for f in weighty(judge(held, moved)) if f.setup == setup.name]
        short = _jaw_shortage(setup, [f for f in again if f.code in JAWS])
        if short <= 0:
            break
    message = (
        "let the part stand out {need} further, on jaws with a longer reach, or take jaws whose "
        "front stands back by as much."
    )
    proved = moved is not None and _gone(held, moved, findings, others)
    if not proved:
        message = message[:-1] + "; or turn the other end first."
    return Beyond(setup.name, "jaws", message, (Measure("need", need),), proved, findings)


def _jaw_shortage(setup: Setup, findings: Sequence[Finding]) -> float:
    """The most that findings of a set-up's jaws are short of, mm."""
    margin = JAW_MARGIN_MM if setup.margin.jaws is None else setup.margin.jaws
    return max(
        (
            _value(f, "margin") - _value(f, "gap")
            if f.code == "jaws-near"
            else _value(f, "z_to") - _value(f, "z_from") + margin
            for f in findings
        ),
        default=0.0,
    )


def _with_jaws_back(job: Job, index: int, need: float) -> Job | None:
    """The job with the front of a set-up's jaws `need` further back, the blank where it was."""
    setup = job.setup[index]
    jaws = jaws_of(job, setup)
    if not isinstance(jaws, Jaws):
        return None
    front = max(z for z, _ in jaws.profile)
    if setup.seat.on == "stick-out":
        further = (setup.seat.stick_out or 0.0) + need
        setup = setup.model_copy(
            update={"seat": setup.seat.model_copy(update={"stick_out": further})}
        )
    else:
        back = front - need
        if back <= min(z for z, _ in jaws.profile):
            return None
        profile = [(min(z, back), h) for z, h in jaws.profile]
        setup = setup.model_copy(update={"jaws": jaws.model_copy(update={"profile": profile})})
    return job.model_copy(
        update={"setup": [setup if k == index else s for k, s in enumerate(job.setup)]}
    )


def _is_short(finding: Finding) -> bool:
    """Whether a longer blank may mend it: a face stays raw, or a length comes out too small."""
    if finding.code != "size-wrong":
        return finding.code in SHORT
    lengths = {m.name: m.value for m in finding.measures if m.quantity is Quantity.LENGTH}
    found, wanted = lengths.get("found"), lengths.get("wanted")
    return isinstance(found, float) and isinstance(wanted, float) and found < wanted


def _shortage(findings: Iterable[Finding]) -> float:
    """The most that faces stay raw by or lengths are too small, mm."""
    return max((_value(f, "width") or _value(f, "off") for f in findings), default=0.0)


def _longer(held: Held, job: Job, name: str, findings: tuple[Finding, ...]) -> Iterator[Beyond]:
    """The blank that is needed; of a length that is too small only where that is proved to mend it:
    the program may be to blame."""
    others = weighty(judge(held, job))
    more, short, proved = 0.0, _shortage(findings), False
    for _ in range(TRIES):
        more = ceil((more + short) / GRAIN_MM - 1e-6) * GRAIN_MM
        now = longer(job, more)
        still = [f for f in weighty(judge(held, now)) if _is_short(f)]
        if not still:
            proved = _gone(held, now, findings, others)
            break
        short = _shortage(still)
    raw = any(f.code in SHORT for f in findings)
    if not raw and not proved:
        return
    what = "this blank does not clean up at its face" if raw else "the part comes out too short"
    message = (
        f"{what}: one that is {{width}} longer." if raw else f"{what}: a blank {{width}} longer."
    )
    if not proved:
        message = (
            f"{what}: one that is longer, by {{width}} at the least, or split the spare length "
            "otherwise."
        )
    yield Beyond(name, "length", message, (Measure("width", more),), proved, findings)


def _thicker(
    held: Held, job: Job, proof: JobProof, name: str, findings: tuple[Finding, ...]
) -> Beyond:
    """The bar that cleans up: thicker by what its skin lies under the cut."""
    others = weighty(judge(held, job))
    finding = max(findings, key=lambda f: _value(f, "d_to"))
    d_to = Measure("d_to", _value(finding, "d_to"), Quantity.DIAMETER)
    index = next((k for k, setup in enumerate(job.setup) if setup.name == name), None)
    if index is not None:
        z = (_value(finding, "z_from"), _value(finding, "z_to"))
        for reading in held.readings[index]:
            cut = common(union(reading.keep.cut.cut), rectangle(*z, 0.0, WIDE))
            if cut.is_empty:
                continue
            short = 2 * cut.bounds[1] - _value(finding, "d_from")
            more = max(ceil(short / GRAIN_MM) * GRAIN_MM, GRAIN_MM)
            for _ in range(BARS):
                size = round(job.blank.size + more, 4)
                now = _with_bar(job, size)
                if _gone(held, now, findings, others):
                    message = "this bar does not clean up at {d_to}: one of {bar} does, and clears."
                    bar = Measure("bar", size, Quantity.DIAMETER)
                    return Beyond(name, "bar", message, (d_to, bar), True, findings)
                more = round(more + GRAIN_MM, 4)
    message = "this bar does not clean up at {d_to}: another bar, thicker or truer."
    return Beyond(name, "bar", message, (d_to,), False, findings)


def _with_bar(job: Job, size: float) -> Job:
    """The job with another bar, gripped on it where the raw bar is gripped."""
    blank = job.blank.model_copy(update={"size": size})
    first = job.setup[0]
    if first.grip_diameter == job.blank.size:
        first = first.model_copy(update={"grip_diameter": size})
    return job.model_copy(update={"blank": blank, "setup": [first, *job.setup[1:]]})


def _thinner(
    held: Held, setup: SetupProof, job: Job, findings: tuple[Finding, ...]
) -> Iterator[Beyond]:
    """The largest bar that this set-up's keep-out lets in, where it lets one in at all."""
    if job.blank.shape not in ("round", "tube"):
        return
    z_min, _, z_max, _ = setup.raw.bounds
    inside = common(setup.keep_out, rectangle(z_min, z_max, 0.0, WIDE))
    if inside.is_empty or inside.bounds[1] <= job.part.length * 1e-6:
        return
    blank = job.blank
    over = (blank.run_out or 0.0) / 2 + (blank.bow or 0.0) + max(blank.size_tolerance[1], 0.0) / 2
    size = floor(2 * (inside.bounds[1] - over) / GRAIN_MM) * GRAIN_MM
    if not 0 < size < blank.size:
        return
    size = round(size, 4)
    strikes = tuple(f for f in findings if f.code == "rapid-into-metal") or findings
    proved = _gone(held, _with_bar(job, size), strikes, weighty(judge(held, job)))
    yield Beyond(
        setup.name,
        "bar",
        "a bar of {bar} or less keeps clear of these motions as they are.",
        (Measure("bar", size, Quantity.DIAMETER),),
        proved,
        findings,
    )
