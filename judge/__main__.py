"""`python -m judge --n N --seed SEED`: the judge against the proof over random jobs."""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from dataclasses import asdict
from functools import partial
from pathlib import Path

from judge.batch import Died, Progress, outcomes
from judge.compare import Kind, Outcome, compare, keep
from judge.features import FEATURES
from judge.log import Head, Log, Refused, open_log
from judge.shrink import DISAGREEMENTS, keep_shrunk, nature
from judge.source import PROOF, checkout, made_with, tree_hash
from judge.tally import Tally, passed

ABOUT = """Makes random two-sided jobs, judges each by brute force on a pixel section, proves it,
and counts where the two agree. The same seed makes the same job. A needless contact or false clear
is judged again with finer pixels, down to 0.005 mm, before it counts. Jobs on which the two still
differ are written to --out with both answers, and beside the first of each sort the smallest that
shows it."""
CLOSING = """Counts: agree; needless contact (judge clear, proof contact); false clear (judge
contact, proof clear: a defect); doubtful (the judge cannot tell by its pixels); undecided (the
judge does not follow the job); unproven; error (judge or proof raised). Exit status 0 when the run
counts (shares and uses of each cycle as printed) and holds no false clear and no error; of a run
that --minutes stopped, when it holds none so far; 2 where the log is refused or a process died;
else 1."""
KEPT = (*DISAGREEMENTS, "unproven", "undecided")


def _features(text: str) -> tuple[str, ...]:
    names = tuple(text.split(","))
    unknown = [name for name in names if name not in FEATURES]
    if unknown:
        raise argparse.ArgumentTypeError(f"no feature {unknown[0]!r}")
    return names


def _arguments(words: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="judge", description=ABOUT, epilog=CLOSING)
    parser.add_argument("--n", type=int, default=300, help="number of jobs (300)")
    parser.add_argument("--seed", type=int, default=0,
                        help="seed of the first job, the next ones count on (0)")  # fmt: skip
    parser.add_argument("--pixel", type=float, default=0.1, help="size of a pixel in mm (0.1)")
    parser.add_argument("--full", action="store_true",
                        help="jobs with finer levels and something of everything, meant for "
                        "--pixel 0.02")  # fmt: skip
    parser.add_argument("--workers", type=int, default=1, help="processes at work at once (1)")
    parser.add_argument("--minutes", type=float, default=None,
                        help="begin no job after so many minutes; with --log the same command goes "
                        "on from there")  # fmt: skip
    parser.add_argument("--only", type=_features, default=(), metavar="FEATURE[,FEATURE]",
                        help="jobs with these features and no others; the conditions of a run "
                        f"do not count then ({', '.join(FEATURES)})")  # fmt: skip
    parser.add_argument("--alone", action="store_true", help="do not call the proof")
    parser.add_argument("--out", type=Path, default=Path("judge-out"),
                        help="folder for jobs on which the two differ (judge-out)")  # fmt: skip
    parser.add_argument(
        "--shrink",
        type=int,
        default=3,
        help="of jobs that differ in the same way make so many small (3)",
    )
    parser.add_argument("--log", type=Path, default=None,
                        help="file of outcomes, one JSON line a job: written as the run goes "
                        "on; jobs that it holds already are counted, not run again. Rows made with "
                        "another source, or asked for in another way, are refused")  # fmt: skip
    parser.add_argument("--again", action="store_true",
                        help="run the seeds of such rows again; the rows stay in the log, and are "
                        "not counted")  # fmt: skip
    return parser.parse_args(words)


def outcome_of(row: dict[str, object]) -> Outcome:
    """An outcome from its row of a log."""
    values: dict[str, object] = {k: tuple(v) if isinstance(v, list) else v for k, v in row.items()}
    return Outcome(**values)  # type: ignore[arg-type]


def main(words: list[str] | None = None) -> int:
    """Runs the comparison; 0 when the run counts and nothing is wrong, else 1."""
    asked = _arguments(words)
    kind = Kind(asked.pixel, not asked.full, asked.alone, asked.only)
    # What is loaded and compiled here is what every process works with.
    compare(0, Kind(0.4, alone=asked.alone))
    head = Head(tree_hash(PROOF), *checkout(), asked=kind.row)
    try:
        log = None
        if asked.log is not None:
            log = open_log(asked.log, head, lambda: tree_hash(PROOF), asked.again)
        tally, finished = _run(asked, kind, log)
    except (Refused, Died) as reason:
        print(f"judge: {reason}", file=sys.stderr)
        return 2
    print(made_with(asked.seed, asked.n, asked.pixel, head.commit, head.clean, head.source))
    print(tally.table())
    if not finished:
        how = "the same command goes on" if log is not None else "name a --log to go on from"
        print(f"stopped after {asked.minutes:g} minutes: {tally.count} of {asked.n}; {how}")
    if asked.alone:
        return 0
    if asked.only or not finished:
        return 1 if tally.kinds["false clear"] + tally.kinds["error"] else 0
    return 0 if passed(tally) else 1


def _run(asked: argparse.Namespace, kind: Kind, log: Log | None) -> tuple[Tally, bool]:
    """Counts what the log holds and runs the rest; whether that was finished."""
    tally = Tally()
    left = []
    for seed in range(asked.seed, asked.seed + asked.n):
        if log is not None and seed in log.rows:
            tally.add(outcome_of(log.rows[seed]))
        else:
            left.append(seed)
    if log is not None:
        log.tell(sys.stderr)
    progress = Progress(asked.n, tally.count)
    shrunk: Counter[tuple[str | bool, ...]] = Counter()
    try:
        for outcome in outcomes(partial(compare, asked=kind), left, asked.workers, asked.minutes):
            tally.add(outcome)
            if log is not None:
                log.append(asdict(outcome))
            if outcome.kind in KEPT:
                _kept(asked, kind, outcome, shrunk)
            progress.step(f"false clear {tally.kinds['false clear']}, "
                          f"needless contact {tally.kinds['needless contact']}, "
                          f"error {tally.kinds['error']}")  # fmt: skip
    finally:
        progress.end()
        if log is not None:
            log.write()
    return tally, tally.count == asked.n


def _kept(
    asked: argparse.Namespace, kind: Kind, outcome: Outcome, shrunk: Counter[tuple[str | bool, ...]]
) -> None:
    """Writes out a job on which the two differ, and the smallest form of the first of each sort."""
    folder = keep(asked.out, outcome, kind)
    print(f"{outcome.seed}: {outcome.kind}; judge {outcome.judged} {outcome.judge_note}; "
          f"proof {outcome.proof_note}", flush=True)  # fmt: skip
    if outcome.kind in DISAGREEMENTS:
        shrunk[nature(outcome)] += 1
        if shrunk[nature(outcome)] <= asked.shrink:
            print(f"  {keep_shrunk(folder, kind.files(outcome.seed), kind.pixel)}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
