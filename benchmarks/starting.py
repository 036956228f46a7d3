"""From the start of a process to the verdict on the demo job, beside Python doing nothing.

Modules are compiled before, as they are where the package is installed.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from benchmarks.table import markdown, spread

PIN = Path(__file__).parents[1] / "examples" / "demo-pin"
PROVE = ("-m", "standclear", "prove", str(PIN))
MOST_IMPORTS = 8
_IMPORTED = re.compile(r"import time:\s+\d+ \|\s+(\d+) \| ( *)(\S+)")
"""A line of `python -X importtime`: microseconds with all that it imports, and its depth."""


def starting_table(rounds: int) -> str:
    """Seconds of both, in turn, and their difference."""
    prove, nothing = [], []
    with tempfile.TemporaryDirectory() as compiled:
        _seconds(compiled, *PROVE)
        for _ in range(rounds):
            nothing.append(_seconds(compiled, "-c", "pass"))
            prove.append(_seconds(compiled, *PROVE))
    difference = [a - b for a, b in zip(prove, nothing, strict=True)]
    rows = [
        ("Python doing nothing", spread(nothing)),
        ("standclear prove, demo pin", spread(prove)),
        ("the difference", spread(difference)),
    ]
    return markdown(("process", "seconds"), rows)


def imports_table() -> str:
    """The imports that take longest while the demo job is proved, with all that they import."""
    with tempfile.TemporaryDirectory() as compiled:
        _seconds(compiled, *PROVE)
        words = [sys.executable, "-X", "importtime", *PROVE]
        told = subprocess.run(
            words, env=_keeping(compiled), capture_output=True, text=True, check=True
        ).stderr
    found: dict[str, int] = {}
    for micros, _, name in _IMPORTED.findall(told):
        package = name.split(".")[0]
        found[package] = max(found.get(package, 0), int(micros))
    longest = sorted(found.items(), key=lambda each: -each[1])[:MOST_IMPORTS]
    return markdown(("imported", "ms"), [(name, f"{us / 1000:,.0f}") for name, us in longest])


def _seconds(compiled: str, *words: str) -> float:
    begun = time.perf_counter()
    subprocess.run(
        [sys.executable, *words], env=_keeping(compiled), check=True, stdout=subprocess.DEVNULL
    )
    return time.perf_counter() - begun


def _keeping(compiled: str) -> dict[str, str]:
    """An environment in which what is compiled is kept in the folder `compiled`."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return environment | {"PYTHONPYCACHEPREFIX": compiled}
