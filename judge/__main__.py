"""`python -m judge --n N --seed SEED`: the judge against the proof over random jobs."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import asdict
from pathlib import Path

from judge.compare import Outcome, Tally, keep, passed, run
from judge.features import FEATURES

ABOUT = """Makes random two-sided jobs, judges each by brute force on a pixel section, proves it,
and counts where the two agree. The same seed makes the same job. A needless contact or false clear
is judged again with pixels finer by five before it counts; jobs on which the two still differ are
written to --out with both answers."""
CLOSING = """Counts: agree; needless contact (judge clear, proof contact); false clear (judge
contact, proof clear: a defect); doubtful (the judge cannot tell by its pixels); undecided (the
judge does not follow the job); unproven; error (the proof raised). Exit status 0 when the run
counts (shares and uses of each cycle as printed) and holds no false clear and no error, else 1."""
KEPT = ("false clear", "needless contact", "unproven", "error", "undecided")


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
    parser.add_argument("--only", type=_features, default=(), metavar="FEATURE[,FEATURE]",
                        help="jobs with these features and no others; the conditions of a run "
                        f"do not count then ({', '.join(FEATURES)})")  # fmt: skip
    parser.add_argument("--alone", action="store_true", help="do not call the proof")
    parser.add_argument("--out", type=Path, default=Path("judge-out"),
                        help="folder for jobs on which the two differ (judge-out)")  # fmt: skip
    parser.add_argument("--log", type=Path, default=None,
                        help="file of outcomes, one JSON line a job: written as the run goes "
                        "on; jobs that it holds already are counted, not run again")  # fmt: skip
    return parser.parse_args(words)


def _logged(log: Path | None) -> dict[int, Outcome]:
    if log is None or not log.exists():
        return {}
    found = {}
    for text in log.read_text(encoding="utf-8").splitlines():
        row = json.loads(text)
        row["cycles"] = tuple(row["cycles"])
        found[row["seed"]] = Outcome(**row)
    return found


def main(words: list[str] | None = None) -> int:
    """Runs the comparison; 0 when the run counts and nothing is wrong, else 1."""
    asked = _arguments(words)
    cheap = not asked.full
    seeds = range(asked.seed, asked.seed + asked.n)
    before = _logged(asked.log)
    tally = Tally()
    for seed in seeds:
        if seed in before:
            tally.add(before[seed])
    left = [seed for seed in seeds if seed not in before]
    log = None if asked.log is None else asked.log.open("a", encoding="utf-8")
    try:
        for outcome in run(left, asked.pixel, cheap, asked.alone, asked.workers, asked.only):
            tally.add(outcome)
            if log is not None:
                log.write(json.dumps(asdict(outcome)) + "\n")
                log.flush()
            if outcome.kind in KEPT:
                keep(asked.out, outcome, cheap, asked.only)
                print(f"\r{outcome.seed}: {outcome.kind}; judge {outcome.judged} "
                      f"{outcome.judge_note}; proof {outcome.proof_note}")  # fmt: skip
            if sys.stderr.isatty():
                print(f"\r{tally.count} of {asked.n}", end="", file=sys.stderr, flush=True)
    finally:
        if log is not None:
            log.close()
    print(tally.table())
    if asked.alone:
        return 0
    if asked.only:
        return 1 if tally.kinds["false clear"] + tally.kinds["error"] else 0
    return 0 if passed(tally) else 1


if __name__ == "__main__":
    sys.exit(main())
