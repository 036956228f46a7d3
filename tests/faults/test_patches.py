"""The planted faults still fit the tree, so that `make faults` can plant them."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

PATCHES = sorted((Path(__file__).parent / "patches").glob("*.patch"))
ROOT = Path(__file__).parents[2]


def test_there_are_at_least_ten() -> None:
    assert len(PATCHES) >= 10


@pytest.mark.parametrize("patch", PATCHES, ids=lambda patch: patch.stem)
def test_it_fits_and_says_what_is_wrong_and_who_catches_it(patch: Path) -> None:
    wrong, caught_by, *_ = patch.read_text(encoding="utf-8").splitlines()
    assert wrong.endswith(".")
    assert caught_by.startswith("Caught by: ")
    catchers = caught_by.removeprefix("Caught by: ").split()
    assert catchers
    assert all(each == "judge" or (ROOT / each).exists() for each in catchers)
    subprocess.run(["git", "apply", "--check", str(patch)], cwd=ROOT, check=True)
