"""`python -m planted --n N --seed SEED`: faults planted in proven jobs, and what amending makes of
them."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Generator
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import asdict
from pathlib import Path
from typing import Any

from planted.run import Outcome, outcomes_of
from planted.tally import Tally

ABOUT = """Takes random jobs and examples that are proved clear, plants known faults in each and
amends them. The same seed gives the same faults. A job whose words put it right is good when it is
mended with no more words than were broken; any other when its answer names the bound planted. A
promise not kept (a byte changed that no edit reports, a proof made anew that says otherwise) is a
defect."""
CLOSING = """Exit status 0 when at least 99 of 100 that can be mended are, as many name their
bound, and every promise is kept, else 1."""


def _arguments(words: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="planted", description=ABOUT, epilog=CLOSING)
    parser.add_argument("--n", type=int, default=30, help="number of planted jobs (30)")
    parser.add_argument("--seed", type=int, default=1, help="seed of the first base (1)")
    parser.add_argument("--workers", type=int, default=1, help="processes at work at once (1)")
    parser.add_argument("--log", type=Path, default=None,
                        help="file of outcomes, one JSON line a base: written as the run goes on; "
                        "bases that it holds already are counted, not run again")  # fmt: skip
    return parser.parse_args(words)


def _logged(log: Path | None) -> dict[int, list[Outcome]]:
    if log is None or not log.exists():
        return {}
    found = {}
    for text in log.read_text(encoding="utf-8").splitlines():
        row = json.loads(text)
        found[row["seed"]] = [_read(each) for each in row["outcomes"]]
    return found


def _read(row: dict[str, Any]) -> Outcome:
    values: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in row.items()}
    return Outcome(**values)


def _outcomes(asked: argparse.Namespace) -> Generator[tuple[int, list[Outcome], bool], None, None]:
    """(seed, its outcomes, whether the log held them), seed after seed."""
    before = _logged(asked.log)
    seed, ahead = asked.seed, max(1, asked.workers) * 2
    pool = ProcessPoolExecutor(max(1, asked.workers))
    try:
        waiting: dict[int, Future[list[Outcome]]] = {}
        while True:
            for each in range(seed, seed + ahead):
                if each not in before and each not in waiting:
                    waiting[each] = pool.submit(outcomes_of, each)
            if seed in before:
                yield seed, before[seed], True
            else:
                yield seed, waiting.pop(seed).result(), False
            seed += 1
    finally:
        pool.shutdown(cancel_futures=True)


def main(words: list[str] | None = None) -> int:
    """Runs the jobs; 0 when the goal is met, else 1."""
    asked = _arguments(words)
    tally = Tally()
    log = None if asked.log is None else asked.log.open("a", encoding="utf-8")
    runs = _outcomes(asked)
    try:
        for seed, found, known in runs:
            if log is not None and not known:
                row = {"seed": seed, "outcomes": [asdict(each) for each in found]}
                log.write(json.dumps(row) + "\n")
                log.flush()
            for each in found:
                if tally.count < asked.n:
                    tally.add(each)
                    if not each.good:
                        print(each.told(), flush=True)
            if tally.count >= asked.n:
                break
    finally:
        runs.close()
        if log is not None:
            log.close()
    print(tally.table())
    return 0 if tally.passed else 1


if __name__ == "__main__":
    sys.exit(main())
