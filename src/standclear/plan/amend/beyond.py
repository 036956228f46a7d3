"""What can mend a finding that no edit of words mends: jaws, another bar, another end first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor

from standclear.findings.finding import Finding, Measure, Quantity
from standclear.job.models import Job
from standclear.plan.amend.trial import MENDABLE, WRONG_OFFSET
from standclear.proof.judge_setup import JAW_MARGIN_MM
from standclear.proof.result import JobProof, SetupProof
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common

JAWS = frozenset({"jaws-near", "jaws-struck"})
THIN = frozenset({"diameter-left-raw"})
SHORT = frozenset({"face-left-raw"})
TOOL = frozenset({"holder-into-metal"})
WIDE = 1e6


@dataclass(frozen=True)
class Beyond:
    """One thing to change that is no word of a program."""

    setup: str
    bound: str
    """What stands in the way: `jaws`, `bar`, `length`, `band`, `tool`, `depth` or `offset`."""
    message: str
    """May hold `{name}` for any measure."""
    measures: tuple[Measure, ...] = ()


def beyond_edits(job: Job, proof: JobProof, left: Sequence[Finding]) -> tuple[Beyond, ...]:
    """What can mend the findings that are left, each thing once for each set-up."""
    found: dict[tuple[str, str], Beyond] = {}
    setups = {setup.name: (k, setup) for k, setup in enumerate(proof.setups)}
    wrong = {f.setup for f in left if f.code == WRONG_OFFSET}
    for finding in sorted(left, key=_shortage, reverse=True):
        if finding.setup in wrong and finding.code != WRONG_OFFSET:
            continue  # what another zero does says nothing of jaws or bar
        for each in _of(finding, job, setups):
            found.setdefault((each.setup, each.bound), each)
    return tuple(found.values())


def _shortage(finding: Finding) -> float:
    """How much a finding is short of, so that the worst of a kind speaks for it."""
    value = {m.name: m.value for m in finding.measures if isinstance(m.value, float)}
    if finding.code == "jaws-near":
        return value["margin"] - value["gap"]
    if finding.code == "jaws-struck":
        return 1000.0 + value["z_to"] - value["z_from"]
    return value.get("depth", value.get("width", 0.0))


def _of(finding: Finding, job: Job, setups: dict[str, tuple[int, SetupProof]]) -> Iterator[Beyond]:
    name = finding.setup
    value = {m.name: m.value for m in finding.measures if isinstance(m.value, float)}
    if finding.code in JAWS:
        margin = JAW_MARGIN_MM
        if name in setups and job.setup[setups[name][0]].margin.jaws is not None:
            margin = job.setup[setups[name][0]].margin.jaws or 0.0
        if finding.code == "jaws-near":
            need = value["margin"] - value["gap"]
        else:
            need = value["z_to"] - value["z_from"] + margin
        yield Beyond(
            name,
            "jaws",
            "let the part stand out {need} further, on jaws with a longer reach, or take jaws "
            "whose front stands back by as much; or turn the other end first.",
            (Measure("need", need),),
        )
    elif finding.code in THIN:
        yield Beyond(
            name,
            "bar",
            "this bar does not clean up at {d_to}: another bar, thicker or truer.",
            (Measure("d_to", value.get("d_to", 0.0), Quantity.DIAMETER),),
        )
    elif finding.code in SHORT:
        yield Beyond(
            name,
            "length",
            "this blank does not clean up at its face: one that is longer by {width} or more, or "
            "split the spare length otherwise.",
            (Measure("width", value.get("width", 0.0)),),
        )
    elif finding.code == "band-left":
        yield Beyond(
            name,
            "band",
            "let the last pass of one end run {width} further, where jaws and grip allow it, or "
            "turn the other end first.",
            (Measure("width", value.get("width", 0.0)),),
        )
    elif finding.code == WRONG_OFFSET:
        yield Beyond(name, "offset", "the work offset in force is another set-up's: call its own.")
    elif finding.code in TOOL:
        yield Beyond(name, "tool", "a tool whose holder stands back further, or a smaller bar.")
    elif finding.code == "cut-too-deep":
        yield Beyond(name, "depth", "take more passes, or a blank with less to come off.")
    elif finding.code in MENDABLE and name in setups and setups[name][0] == 0:
        yield from _thinner(name, setups[name][1], job)


def _thinner(name: str, setup: SetupProof, job: Job) -> Iterator[Beyond]:
    """The largest bar that this set-up's keep-out lets in, where it lets one in at all."""
    if job.blank.shape not in ("round", "tube"):
        return
    z_min, _, z_max, _ = setup.raw.bounds
    inside = common(setup.keep_out, rectangle(z_min, z_max, 0.0, WIDE))
    if inside.is_empty or inside.bounds[1] <= job.part.length * 1e-6:
        return
    blank = job.blank
    over = (blank.run_out or 0.0) / 2 + (blank.bow or 0.0) + max(blank.size_tolerance[1], 0.0) / 2
    size = floor(2 * (inside.bounds[1] - over) * 10) / 10
    if 0 < size < blank.size:
        yield Beyond(
            name,
            "bar",
            "without a change of the motion only a bar of {bar} or less keeps clear of it.",
            (Measure("bar", size, Quantity.DIAMETER),),
        )
