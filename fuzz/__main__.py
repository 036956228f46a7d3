"""`python -m fuzz program --seconds 600`: search with coverage as the guide, until time is up."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["standclear"]):
    from fuzz.targets import TARGETS

ROOT = Path(__file__).resolve().parent.parent
LONGEST_INPUT = 4096
LONGEST_RUN_S = 60
MOST_MEMORY_MB = 1500
_WORDS = re.compile(rb"[A-Za-z,%#/(\[][^\s()\[\]]{0,12}")


def main() -> None:
    """Feeds the examples and the corpus of programs to the search, and their words as its words."""
    parser = argparse.ArgumentParser(prog="python -m fuzz", description=__doc__)
    parser.add_argument("target", choices=sorted(TARGETS))
    parser.add_argument("--seconds", type=int, default=600, help="how long to search")
    parser.add_argument("--out", type=Path, default=Path("fuzz-out"), help="where inputs are kept")
    arguments = parser.parse_args()
    kept = arguments.out / arguments.target
    kept.mkdir(parents=True, exist_ok=True)
    seeds = _seeds(arguments.target)
    for number, seed in enumerate(seeds):
        (kept / f"seed-{number:04}").write_bytes(seed[:LONGEST_INPUT])
    words = arguments.out / f"{arguments.target}.words"
    words.write_text(_word_list(seeds))
    atheris.Setup(
        [
            sys.argv[0],
            f"-max_total_time={arguments.seconds}",
            f"-max_len={LONGEST_INPUT}",
            f"-timeout={LONGEST_RUN_S}",
            f"-rss_limit_mb={MOST_MEMORY_MB}",
            f"-dict={words}",
            f"-artifact_prefix={arguments.out}/found-",
            str(kept),
        ],
        TARGETS[arguments.target],
    )
    atheris.Fuzz()


def _seeds(target: str) -> list[bytes]:
    suffix = ".nc" if target == "program" else ".toml"
    folders = [ROOT / "examples", *([ROOT / "tests" / "programs"] if suffix == ".nc" else [])]
    files = sorted(file for folder in folders for file in folder.rglob(f"*{suffix}"))
    return [file.read_bytes() for file in files]


def _word_list(seeds: list[bytes]) -> str:
    """The different words of the seeds, one a line, in the search's own notation."""
    found = {word for seed in seeds for word in _WORDS.findall(seed)}
    lines = ("".join(f"\\x{byte:02x}" for byte in word) for word in sorted(found))
    return "".join(f'"{line}"\n' for line in lines)


main()
