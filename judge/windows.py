"""Holds stock windows of random jobs against replays: `python -m judge.windows --n N`."""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from dataclasses import asdict, dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

from judge.batch import Died, Progress, outcomes
from judge.log import Head, Log, Refused, open_log
from judge.rays import KINDS, PIXEL_MM, RAYS, Outcome, Ray, held_against
from judge.source import WINDOWS, checkout, made_with, tree_hash

ABOUT = """Draws the stock windows of random jobs and looks along rays of each where the judge, by
replays alone, has a blank stop being good."""
CLOSING = """Counts of rays: agree (to a pixel and a half); agree by finer pixels (what is struck or
stays raw is thinner than a pixel, and only finer ones tell); narrower on purpose (the
edge is one that the judge does not look for: metal comes loose, nothing is known to cut there, or
the surface is one of which some is cut by no set-up, and the judge then looks at none of it);
narrower; wider (the judge has a blank of the window
strike or stay raw: a defect); undecided. Exit status 0 when nothing is wider, else 1."""


@dataclass
class Tally:
    """Counts over a run."""

    jobs: Counter[str] = field(default_factory=Counter)
    rays: Counter[str] = field(default_factory=Counter)
    sides: dict[str, Counter[str]] = field(default_factory=dict)
    left_out: Counter[str] = field(default_factory=Counter)
    furthest: float = 0.0
    """Between two edges that agree."""
    seconds: list[float] = field(default_factory=lambda: [0.0, 0.0])

    def add(self, outcome: Outcome) -> None:
        """Counts one job."""
        self.seconds[0] += outcome.window_seconds
        self.seconds[1] += outcome.judge_seconds
        if outcome.note:
            self.jobs["left out"] += 1
            return
        kinds = {ray.kind for ray in outcome.rays}
        worst = next((k for k in KINDS[4:0:-1] if k in kinds), "")
        self.jobs[worst or "agree"] += 1
        self.left_out.update(outcome.left_out)
        for ray in outcome.rays:
            self.rays[ray.kind] += 1
            self.sides.setdefault(ray.side or "none there", Counter())[ray.kind] += 1
            if ray.kind == "agree":
                self.furthest = max(self.furthest, ray.apart)

    @property
    def count(self) -> int:
        """Jobs so far."""
        return sum(self.jobs.values())

    def table(self) -> str:
        """The summary, one line a row."""
        lines = [f"{self.count} jobs"]
        lines += [f"  {kind:<40}{self.jobs[kind]:>8}" for kind in (*KINDS[:5], "left out")]
        lines.append(f"{sum(self.rays.values())} rays")
        lines += [f"  {kind:<40}{self.rays[kind]:>8}" for kind in KINDS]
        for side, told in sorted(self.sides.items()):
            cells = ", ".join(f"{kind} {told[kind]}" for kind in KINDS if told[kind])
            where = side if side in ("none there", "not looked further") else f"where it {side}"
            lines.append(f"  edge {where}: {cells}")
        lines.append(f"  {'furthest apart of those that agree, mm':<40}{self.furthest:>8.3f}")
        lines += [f"  jobs in which {note}: {n}" for note, n in sorted(self.left_out.items())]
        count = max(1, self.count)
        for name, spent in zip(("windows", "judge"), self.seconds, strict=True):
            lines.append(f"  {'seconds a job, ' + name:<40}{spent / count:>8.2f}")
        return "\n".join(lines)

    @property
    def passed(self) -> bool:
        """Whether some windows were compared and none is wider than the judge's."""
        return self.rays["wider"] == 0 and self.rays["agree"] > 0


def _arguments(words: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="judge.windows", description=ABOUT, epilog=CLOSING)
    parser.add_argument("--n", type=int, default=500, help="number of jobs (500)")
    parser.add_argument("--seed", type=int, default=1,
                        help="seed of the first job, the next ones count on (1)")  # fmt: skip
    parser.add_argument("--pixel", type=float, default=PIXEL_MM,
                        help=f"size of a pixel in mm ({PIXEL_MM:g})")  # fmt: skip
    parser.add_argument("--rays", type=int, default=RAYS, help=f"rays of a window ({RAYS})")
    parser.add_argument("--workers", type=int, default=1, help="processes at work at once (1)")
    parser.add_argument("--minutes", type=float, default=None,
                        help="begin no job after so many minutes; the same command goes on from "
                        "there")  # fmt: skip
    parser.add_argument("--log", type=Path, default=Path("judge-out/windows.jsonl"),
                        help="file of outcomes, one JSON line a job: written as the run goes on; "
                        "jobs that it holds already are counted, not run again. Rows made with "
                        "another source, or asked for in another way, are refused "
                        "(judge-out/windows.jsonl)")  # fmt: skip
    parser.add_argument("--again", action="store_true",
                        help="run the seeds of such rows again; the rows stay in the log, and are "
                        "not counted")  # fmt: skip
    return parser.parse_args(words)


def outcome_of(row: dict[str, Any]) -> Outcome:
    """An outcome from its row of a log."""
    rays = tuple(Ray(**{**ray, "blank": tuple(ray["blank"])}) for ray in row["rays"])
    return Outcome(**{**row, "rays": rays, "left_out": tuple(row["left_out"])})


def main(words: list[str] | None = None) -> int:
    """Runs the comparison; 0 when no window is wider than the judge's, else 1."""
    asked = _arguments(words)
    # What is loaded and compiled here is what every process works with.
    held_against(3, 0.4, 1)
    kind = {"windows": True, "pixel": asked.pixel, "rays": asked.rays}
    head = Head(tree_hash(WINDOWS), *checkout(), asked=kind)
    try:
        log = open_log(asked.log, head, lambda: tree_hash(WINDOWS), asked.again)
        tally = _run(asked, log)
    except (Refused, Died) as reason:
        print(f"judge.windows: {reason}", file=sys.stderr)
        return 2
    print(made_with(asked.seed, asked.n, asked.pixel, head.commit, head.clean, head.source))
    print(tally.table())
    if tally.count < asked.n:
        print(f"stopped after {asked.minutes:g} minutes: {tally.count} of {asked.n}; the same "
              "command goes on")  # fmt: skip
        return 0 if tally.rays["wider"] == 0 else 1
    return 0 if tally.passed else 1


def _run(asked: argparse.Namespace, log: Log) -> Tally:
    """Counts what the log holds, and runs the rest."""
    tally = Tally()
    left = []
    for seed in range(asked.seed, asked.seed + asked.n):
        if seed in log.rows:
            tally.add(outcome_of(log.rows[seed]))
        else:
            left.append(seed)
    log.tell(sys.stderr)
    progress = Progress(asked.n, tally.count)
    task = partial(held_against, pixel=asked.pixel, rays=asked.rays)
    try:
        for outcome in outcomes(task, left, asked.workers, asked.minutes):
            tally.add(outcome)
            log.append(asdict(outcome))
            for ray in outcome.rays:
                if ray.kind in ("wider", "narrower"):
                    across, size = ray.blank
                    print(f"{outcome.seed}: {ray.window} {ray.kind} by {ray.apart:.2f} at "
                          f"{across:.2f}, size {size:.2f} ({ray.side})", flush=True)  # fmt: skip
            progress.step(f"wider {tally.rays['wider']}, narrower {tally.rays['narrower']}")
    finally:
        progress.end()
        log.write()
    return tally


if __name__ == "__main__":
    sys.exit(main())
