"""Jobs of a size nobody expects: an answer that is right, or a clear word why there is none."""

from __future__ import annotations

import locale
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import standclear
from standclear.findings.finding import Verdict

PIN = Path(__file__).parents[2] / "examples" / "demo-pin"
CLAMPED_AGAIN = """
[[setup]]
name = "pass {n}"
program = "pass{n}.nc"
offset = "G55"
jaws = "soft-jaws.toml"
grip_diameter = 45.0
seat = {{ on = "stop" }}
turned = false
zero = {{ way = "stop", from_stop = 79.0 }}
"""
PASS = "G21 G40 G99\nG55\nT0202\nG97 S800 M03\nG00 X60. Z{z}\nX{x}\nX60.\nG28 U0. W0.\nM30\n"


@pytest.fixture
def pin(tmp_path: Path) -> Path:
    shutil.copytree(PIN, tmp_path / "pin")
    return tmp_path / "pin"


@pytest.mark.parametrize("strikes_in", [0, 64])
def test_a_job_of_64_set_ups(pin: Path, strikes_in: int) -> None:
    text = (pin / "job.toml").read_text(encoding="utf-8")
    for n in range(3, 65):
        text += CLAMPED_AGAIN.format(n=n)
        # In front of the face; one of them 5 mm behind it, on a diameter that is metal there.
        z = -5.0 if n == strikes_in else 5.0
        (pin / f"pass{n}.nc").write_text(PASS.format(x=20.0, z=z))
    (pin / "job.toml").write_text(text, encoding="utf-8")
    proof = standclear.prove(standclear.read_job(pin))
    assert len(proof.setups) == 64
    struck = {f.setup for f in proof.findings if f.code == "rapid-into-metal"}
    assert struck == ({"pass 64"} if strikes_in else set())
    assert proof.verdict is (Verdict.CONTACT if strikes_in else Verdict.CLEAR)


@pytest.mark.parametrize(("deep", "followed"), [(3, True), (100, False)])
def test_calls_a_hundred_deep(pin: Path, deep: int, followed: bool) -> None:
    """What is nested deeper than controls go is not followed, and says so."""
    calls = [f"O{k}\nG65 P{k + 1}\nM99\n" for k in range(9001, 9000 + deep)]
    calls.append(f"O{9000 + deep}\nG00 X60. Z5.\nM99\n")
    lines = (pin / "pin.nc").read_text().split("\n")
    at = next(k for k, line in enumerate(lines) if line.startswith("T0101")) + 1
    lines.insert(at, "G65 P9001")
    end = max(k for k, line in enumerate(lines) if line.startswith("M30"))
    lines[end + 1 : end + 1] = "".join(calls).rstrip("\n").split("\n")
    (pin / "pin.nc").write_text("\n".join(lines))
    proof = standclear.prove(standclear.read_job(pin))
    assert (proof.verdict is not Verdict.UNPROVEN) is followed, proof.findings[:3]
    if not followed:
        assert any(f.unproven and f.place is not None for f in proof.findings)


def test_a_locale_that_writes_commas_changes_no_number(pin: Path) -> None:
    names = subprocess.run(["locale", "-a"], capture_output=True, text=True, check=False).stdout
    wanted = next((n for n in names.split() if n.startswith(("de_DE", "fr_FR", "es_ES"))), None)
    words = [sys.executable, "-m", "standclear.cli", "prove", str(pin), "--json"]
    plain = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    asked = wanted or "de_DE.UTF-8"
    with_commas = {**os.environ, "LC_ALL": asked, "LANG": asked, "PYTHONUTF8": "1"}
    found = subprocess.run(words, capture_output=True, text=True, check=True, env=with_commas)
    assert found.stdout == plain


def test_numbers_are_never_written_by_the_locale(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a shop's computer prints commas, Python does so only for `n` and for `locale`."""

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("the locale was asked")

    for name in ("format_string", "str", "currency", "localize", "setlocale"):
        monkeypatch.setattr(locale, name, refuse)
    assert standclear.prove(standclear.read_job(PIN)).verdict is Verdict.CLEAR
