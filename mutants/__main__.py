"""`python -m mutants --n 300 --seed 1`: small random faults, and whether anybody sees them."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import asdict
from pathlib import Path

from judge.source import PROOF, checkout, tree_hash

from mutants.draw import CHECKER, PACKAGE, PARTS, Mutant, difference, drawn
from mutants.reach import Reach, read_reach
from mutants.run import Outcome, copy_of, fails, note_tests, seen_by
from mutants.score import score_text

ROOT = Path(__file__).parents[1]
ABOUT = """Draws small faults in program reading, geometry and proof, makes each in a copy of the
tree, and asks the tests and the judge. The same seed draws the same faults of the same code. Those
that nobody sees are printed with their lines: either they change nothing that anybody can see, or a
test is missing."""


def _arguments(words: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="mutants", description=ABOUT)
    parser.add_argument("--n", type=int, default=300, help="number of faults (300)")
    parser.add_argument("--seed", type=int, default=1, help="seed of the draw (1)")
    parser.add_argument("--checker", action="store_true",
                        help="faults in the checker of certificates instead")  # fmt: skip
    parser.add_argument("--workers", type=int, default=1, help="faults tried at once (1)")
    parser.add_argument("--minutes", type=float, default=30.0,
                        help="no fault is begun after so many minutes (30)")  # fmt: skip
    parser.add_argument("--log", type=Path, required=True,
                        help="file of outcomes, one JSON line a fault; what it holds is not tried "
                        "again, and lines of other code are refused")  # fmt: skip
    return parser.parse_args(words)


def main(words: list[str] | None = None) -> int:
    """Tries the faults; 0 when all are tried, 1 when some are left, 2 when nothing was tried."""
    asked = _arguments(words)
    parts = CHECKER if asked.checker else PARTS
    source = tree_hash((*PROOF, *(CHECKER if asked.checker else ())), ROOT / PACKAGE)
    try:
        known = logged(asked.log, source)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    mutants = drawn(ROOT, asked.seed, asked.n, parts)
    left = [mutant for mutant in mutants if mutant.name not in known]
    try:
        reach = _reach(asked.log.parent, asked.workers)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    with asked.log.open("a", encoding="utf-8") as log:
        for outcome in _tried(left, reach, asked.workers, asked.minutes):
            known[outcome.name] = outcome
            log.write(json.dumps({"source": source, **asdict(outcome)}) + "\n")
            log.flush()
            print(f"{len(known)} of {asked.n}: {outcome.name}: "
                  f"{outcome.seen_by or 'NOT SEEN'}", flush=True)  # fmt: skip
    found = [(mutant, known[mutant.name]) for mutant in mutants if mutant.name in known]
    commit, clean = checkout(ROOT)
    print(f"\nseed {asked.seed}; commit {commit[:12]}{'' if clean else ', changed'}; {source}")
    print(score_text([outcome for _, outcome in found]))
    for mutant, outcome in found:
        if not outcome.seen_by:
            text = (ROOT / PACKAGE / mutant.path).read_text()
            print(f"\n{mutant.path}:{mutant.line} {mutant.slip}\n{difference(text, mutant)}")
    return 0 if len(found) == asked.n else 1


def logged(log: Path, source: str) -> dict[str, Outcome]:
    """Outcomes of a log by name; none where there is no file.

    Raises ValueError where a line was made of other code than `source`.
    """
    if not log.exists():
        return {}
    found = {}
    for number, text in enumerate(log.read_text(encoding="utf-8").splitlines(), 1):
        row = json.loads(text)
        if row.pop("source") != source:
            raise ValueError(f"{log}, line {number}: of other code than is here; name another log")
        found[row["name"]] = Outcome(**row)
    return found


def _reach(folder: Path, workers: int) -> Reach:
    """Which tests run through which lines of the tree as it is; noted anew in `folder` where tests
    or package have changed.

    Raises ValueError where tests or judge fail without any fault: their word would mean nothing.
    """
    made_of = tree_hash((*PARTS, *CHECKER), ROOT / PACKAGE, ROOT / "tests")
    notes = [folder / f"reach-{made_of}-{k + 1}-of-{workers}.json" for k in range(workers)]
    if not all(note.exists() for note in notes):
        with tempfile.TemporaryDirectory(prefix="mutant-") as name:
            tree = Path(name)
            copy_of(ROOT, tree)
            fresh = [tree / note.name for note in notes]
            if broken := note_tests(tree, fresh) or ("judge" if fails("judge", tree) else ""):
                raise ValueError(f"fails without any fault, mend that first: {broken}")
            for noted, note in zip(fresh, notes, strict=True):
                shutil.move(noted, note)
    return read_reach(notes)


def _tried(mutants: list[Mutant], reach: Reach, workers: int, minutes: float) -> Iterator[Outcome]:
    """Outcomes as they come; each mutant runs in processes of its own."""
    last = time.monotonic() + 60 * minutes
    left = iter(mutants)
    with ThreadPoolExecutor(workers) as pool:
        running: set[Future[Outcome]] = set()
        while True:
            while len(running) < workers and time.monotonic() < last:
                mutant = next(left, None)
                if mutant is None:
                    break
                running.add(pool.submit(_outcome, mutant, reach))
            if not running:
                return
            done, running = wait(running, return_when=FIRST_COMPLETED)
            for each in done:
                yield each.result()


def _outcome(mutant: Mutant, reach: Reach) -> Outcome:
    begun = time.monotonic()
    who = seen_by(mutant, ROOT, reach)
    return Outcome(mutant.name, who, round(time.monotonic() - begun, 1))


if __name__ == "__main__":
    sys.exit(main())
