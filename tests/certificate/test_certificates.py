"""From a job to its certificate: whole jobs, random jobs, and jobs that have none."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from claim_points import strikes
from hand_certificate import all_knowing
from hypothesis import given, settings
from hypothesis import strategies as st
from proof_shop import files_of
from test_job_properties import held_of, paths
from typer.testing import CliRunner, Result

import standclear
from standclear import JobFiles, Verdict
from standclear.audit.audit import audit_text, check
from standclear.audit.read import RAPID, Certificate, Refused
from standclear.certificate.errors import NoCertificate
from standclear.certificate.make import make_certificate
from standclear.certificate.write import certificate_text
from standclear.cli import app

EXAMPLES = Path(__file__).parents[2] / "examples"
FEW = settings(max_examples=25, derandomize=True)

FACE = "G00 X44. Z4.\nG94 X-0.6 Z0. F0.2\n"
TURN = "G00 X36. Z3.\nG01 Z-20. F0.2\nX44.\nG00 Z3.\n"
HOME = "G28 U0 W0\n"
SECOND = (
    'zero = { way = "measured", error = 0.05 }\nseat = { on = "stop" }\n'
    "jaws = { profile = [[0, 0], [15, 0], [15, 20], [0, 20]] }\ngrip_diameter = 36.0"
)


def certified(files: JobFiles) -> Certificate:
    held = standclear.hold(files)
    return make_certificate(held, standclear.judge(held, files.job))


def passes(certificate: Certificate) -> bool:
    try:
        audit_text(certificate_text(certificate).encode("ascii"), Path())
    except Refused:
        return False
    return True


JOBS: dict[str, Any] = {
    "corners between rapids cut short": {
        "program": FACE + TURN + HOME,
        "machine": 'home = "beyond"\nrapid_path = "straight"\nrapid_corner = 0.5\n',
    },
    "one end faced and turned": {"program": FACE + TURN + HOME},
    "both ends": {
        "program": FACE + TURN + HOME,
        "second_program": FACE + TURN.replace("-20", "-10") + HOME,
        "second": SECOND,
    },
    "an arc round a corner": {
        "program": FACE + "G00 X30. Z2.\nG01 Z0. F0.2\nG03 X36. Z-3. R3.\nG01 Z-20.\nX44.\n" + HOME
    },
    "a hole drilled and bored": {
        "program": FACE + HOME + "T0303\nG00 X0. Z3.\nG01 Z-20. F0.1\nG00 Z3.\n" + HOME
        + "T0404\nG00 X16. Z2.\nG01 Z-15. F0.1\nX13.\nG00 Z2.\n" + HOME
    },
    "wear of every tool": {
        "program": FACE + TURN + HOME + "T0202\nG00 X44. Z-10.\nG01 X30. F0.1\n"
        "G00 X44.\n" + HOME,
        "more_of_tools": "wear = 0.02",
    },
    "both ends with worn tools": {
        "program": FACE + TURN + HOME,
        "second_program": FACE + TURN.replace("-20", "-10") + HOME,
        "second": SECOND,
        "more_of_tools": "wear = 0.02",
    },
    "a bar with bow and an uncertain saw": {
        "program": FACE + TURN + HOME,
        "blank": "size = 40.0\nlength = 60.0\nlength_tolerance = [-0.3, 0.3]\nrun_out = 0.2\n"
        "out_of_square = 0.2",
    },
}  # fmt: skip


@pytest.mark.parametrize("name", JOBS)
def test_a_clear_job_has_a_certificate_that_passes(name: str) -> None:
    made = certified(files_of(**JOBS[name]))
    assert passes(made)
    assert not [s for seed in range(3) for s in strikes(made, seed, 600)]


def test_every_reading_is_held_on_what_every_other_leaves() -> None:
    # The same program twice over stands for two readings of it: two stages at the first end, four
    # at the second.
    files = files_of(**JOBS["both ends"])
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    twice = replace(held, readings=tuple(readings * 2 for readings in held.readings))
    made = make_certificate(twice, proof)
    assert passes(made)
    came = [stage.source.stage for stage in made.stages if stage.source is not None]
    assert (len(made.stages), sorted(came)) == (6, [0, 0, 1, 1])
    second = replace(made.stages[1], blank=(-10_000, 0, 10_000, 10_000))
    other = replace(made, stages=(made.stages[0], second, *made.stages[2:]))
    with pytest.raises(Refused, match="a blank of its own"):
        check(other)


@pytest.mark.parametrize("name", ["jaws-too-near", "parted-collar", "threaded-stud"])
def test_examples_have_certificates_that_pass(name: str) -> None:
    made = certified(standclear.read_job(EXAMPLES / name))
    found = audit_text(certificate_text(made).encode("ascii"), EXAMPLES / name)
    assert set(found.same) == set(made.files) and not found.changed and not found.missing
    assert found.areas > 0
    assert strikes(made, 1, 100) == []


@FEW
@given(paths, st.integers(0, 1000))
def test_random_jobs_that_are_clear_have_one(path: Any, seed: int) -> None:
    files = held_of(path)
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    if proof.verdict is Verdict.CLEAR:
        made = make_certificate(held, proof)
        assert passes(made)
        assert strikes(made, seed, 200) == []
    else:
        with pytest.raises(NoCertificate, match=f"the verdict is {proof.verdict}"):
            make_certificate(held, proof)


@FEW
@given(st.data())
def test_a_motion_moved_into_metal_is_refused_whatever_the_witness(data: st.DataObject) -> None:
    """A rapid is led through a place in the bar; where sample points show a strike, no witness
    helps."""
    made = certified(files_of(**JOBS["both ends"]))
    number = data.draw(st.integers(0, len(made.stages) - 1))
    stage = made.stages[number]
    rapids = [k for k, row in enumerate(stage.motions) if row.kind == RAPID]
    k = data.draw(st.sampled_from(rapids))
    z, r = data.draw(st.integers(-50, 2)), data.draw(st.integers(0, 19))
    place = (z * 1_000_000, r * 1_000_000)
    motions = list(stage.motions)
    motions[k] = replace(motions[k], end=place)
    if k + 1 < len(motions):
        motions[k + 1] = replace(motions[k + 1], start=place)
    stages = list(made.stages)
    stages[number] = replace(stage, motions=tuple(motions))
    moved = replace(made, stages=tuple(stages))
    if any(strikes(moved, seed, 300) for seed in range(2)):
        for each in (moved, all_knowing(moved)):
            with pytest.raises(Refused):
                check(each)


class TestNoCertificate:
    def test_where_there_are_too_many_motions(self) -> None:
        files = files_of("G00 X60. Z5.\n" + HOME)
        held = standclear.hold(files)
        proof = standclear.judge(held, files.job)
        many = replace(held, readings=(held.readings[0] * 10_000,))
        with pytest.raises(NoCertificate, match="motions, every reading of its programs counted"):
            make_certificate(many, proof)


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


class TestCommands:
    @pytest.fixture
    def job(self, tmp_path: Path) -> Path:
        for each in (EXAMPLES / "jaws-too-near").iterdir():
            (tmp_path / each.name).write_bytes(each.read_bytes())
        return tmp_path

    def test_written_and_checked_then_changed(self, job: Path) -> None:
        file = job / "guide.certificate.json"
        done = run("prove", job, "--certificate", file)
        assert done.exit_code == 1  # clear, but a tool passes near the jaws
        assert "certificate written" in done.stderr
        found = run("audit", file)
        assert found.exit_code == 0 and found.stdout.startswith("holds: Guide pin 40 x 60\n")
        assert "guide.nc: as it was" in found.stdout and "Not certified" in found.stdout
        again = run("prove", job, "--certificate", file)
        assert again.exit_code == 2 and "exists already and is left alone" in again.stderr
        (job / "guide.nc").write_bytes((job / "guide.nc").read_bytes() + b"\n")
        changed = run("audit", file)
        assert changed.exit_code == 1 and "guide.nc: CHANGED" in changed.stdout
        elsewhere = run("audit", file, "--job", job / "elsewhere")
        assert elsewhere.exit_code == 0 and "guide.nc: not found here" in elsewhere.stdout

    def test_none_where_it_strikes(self, job: Path) -> None:
        file = job / "none.json"
        done = run("prove", job, "--bar", "46", "--certificate", file)
        assert done.exit_code == 1 and not file.exists()
        assert "no certificate: the verdict is contact" in done.stderr

    def test_what_is_none_is_refused(self, tmp_path: Path) -> None:
        for text in ("", "[]", "{}", '{"certificate": 1}', "[" * 100_000, "\x00", "1e999"):
            (tmp_path / "none.json").write_text(text)
            found = run("audit", tmp_path / "none.json")
            assert (found.exit_code, found.stdout[:9]) == (1, "refused: ")
        assert run("audit", tmp_path / "missing.json").exit_code == 2
        assert run("audit", tmp_path).exit_code == 2

    def test_two_jobs_take_none(self, job: Path) -> None:
        done = run("prove", job, job, "--certificate", job / "x.json")
        assert done.exit_code == 2


def test_the_checker_stands_alone() -> None:
    """Nothing but the standard library and itself is loaded."""
    import subprocess
    import sys

    code = (
        "import sys; before = set(sys.modules); import standclear.audit, standclear.audit.words; "
        "print([m for m in set(sys.modules) - before if m.split('.')[0] not in "
        "sys.stdlib_module_names and not m.startswith('standclear.audit')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout.replace("'", '"')) == ["standclear"]
