"""Drafted job files on disk: they read back, wait for confirmation, and write over nothing."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from draft_shop import BUSHING, PLAIN_UNITLESS, PLUG_INCH, SHAFT_G77, THREADED_STUD
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner, Result

from standclear.cli import app
from standclear.draft.draft import NothingToDraft, draft_job
from standclear.draft.files import Ending, Summary, job_path, programs_in, write_draft
from standclear.findings.finding import Verdict
from standclear.job.read import read_job
from standclear.proof.prove import prove

PROGRAMS = {
    "bushing.nc": BUSHING,
    "plug": PLUG_INCH,
    "SHAFT.TAP": SHAFT_G77,
    "plain.txt": PLAIN_UNITLESS,
    "stud.nc": THREADED_STUD,
}
EXAMPLE = Path(__file__).parents[2] / "examples" / "demo-pin"


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words], env={"COLUMNS": "80"})


def put(folder: Path, name: str, text: str) -> Path:
    (folder / name).write_bytes(text.encode("latin-1"))
    return folder / name


@pytest.mark.parametrize("name", PROGRAMS)
def test_a_drafted_job_reads_back_and_is_unproven_by_its_guesses(name: str, tmp_path: Path) -> None:
    program = put(tmp_path, name, PROGRAMS[name])
    outcome = write_draft(program)
    assert outcome.job == tmp_path / f"{name}.job.toml" and outcome.draft is not None
    files = read_job(outcome.job)
    assert tuple(files.job.guesses) == outcome.draft.guesses
    proof = prove(files)
    assert proof.verdict is Verdict.UNPROVEN
    guessed = [f for f in proof.findings if f.code == "guess-not-confirmed"]
    assert [f.message.split(" ")[0].strip(",") for f in guessed] == list(outcome.draft.guesses)
    assert program.read_bytes() == PROGRAMS[name].encode("latin-1")


@pytest.mark.parametrize("name", PROGRAMS)
def test_every_guess_names_a_key_of_the_file_and_every_guess_says_why(
    name: str, tmp_path: Path
) -> None:
    from standclear.job.guesses import _values_of

    outcome = write_draft(put(tmp_path, name, PROGRAMS[name]))
    assert outcome.job is not None and outcome.draft is not None
    job = read_job(outcome.job).job
    assert set(outcome.draft.guesses) <= {key for key, _ in _values_of(job)}
    assert outcome.draft.text.count("# guess: ") == len(outcome.draft.guesses)


def confirmed(job: Path, **values: str) -> None:
    """What a setter does: each key put right, the list of guesses emptied."""
    text = re.sub(r"(?s)guesses = \[.*?\n\]", "guesses = []", job.read_text())
    for key, value in values.items():
        text, count = re.subn(rf"(?m)^{key} = \S+", f"{key} = {value}", text)
        assert count, key
    job.write_text(text)


def test_a_draft_whose_guesses_are_confirmed_answers_as_the_job_made_by_hand(
    tmp_path: Path,
) -> None:
    """demo-pin with no jaws, straight rapids and no tolerances on either side."""
    for file in EXAMPLE.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    by_hand = tmp_path / "job.toml"
    text = by_hand.read_text()
    text = re.sub(
        r"(?m)^(size_tolerance|length_tolerance|run_out|out_of_square|jaws).*\n", "", text
    )
    by_hand.write_text(text.replace(", error = 0.05", "").replace("grip_diameter = 45.0\n", ""))
    outcome = write_draft(tmp_path / "pin.nc")
    assert outcome.job is not None
    assert prove(read_job(outcome.job)).verdict is Verdict.UNPROVEN
    confirmed(outcome.job, face_allowance="2.0")
    text = outcome.job.read_text()
    text = re.sub(r"\[\[tools\]\]\n(?:[^\n]+\n)+", "", text)
    text = re.sub(r"\[machine[^[]*", "", text)
    text = re.sub(r"(\[part\]\nlength = )\S+", r"\g<1>79.0", text)
    text = text.replace("\n\n", '\nmachine = "machine.toml"\ntools = "tools.toml"\n\n', 1)
    outcome.job.write_text(text)
    for bar in (48.0, 52.0):
        drafted, made = (prove(read_job(path, bar=bar)) for path in (outcome.job, by_hand))
        assert drafted.verdict == made.verdict
        assert [s.verdict for s in drafted.setups] == [s.verdict for s in made.setups]
        strikes = [
            {(f.code, f.place and f.place.line, f.measures) for f in p.findings if f.severity == 3}
            for p in (drafted, made)
        ]
        assert strikes[0] == strikes[1]
    assert drafted.verdict is Verdict.CONTACT


def test_nothing_is_ever_written_over(tmp_path: Path) -> None:
    program = put(tmp_path, "pin.nc", BUSHING)
    job_path(program).write_text("mine")
    outcome = write_draft(program)
    assert outcome.ending is Ending.THERE
    assert job_path(program).read_text() == "mine"
    told = run("new", "--from", program)
    assert told.exit_code == 2 and "left alone" in told.stderr and told.stdout == ""
    assert sorted(path.name for path in tmp_path.iterdir()) == ["pin.nc", "pin.nc.job.toml"]


TWO = """%
O2001 (FIRST END)
G21
G28 U0 W0
T0101
G97 S800 M03
G00 X52. Z2.5
G90 X46. Z-20. F0.2
M98 P2003
G28 U0 W0
M30
O2002 (OTHER END)
G21
G28 U0 W0
T0101
G97 S800 M03
G00 X52. Z2.5
G90 X46. Z-15. F0.2
M98 P2003
G28 U0 W0
M30
O2003
G00 X47. Z1.
G01 Z-1. F0.1
G00 X52.
M99
%
"""


def test_a_second_program_of_the_file_becomes_a_set_up_by_a_copy(tmp_path: Path) -> None:
    outcome = write_draft(put(tmp_path, "two.nc", TWO))
    copy = tmp_path / "two.O2002.nc"
    start = TWO.index("O2002")
    assert copy.read_text() == TWO[start : TWO.index("O2003")]
    assert outcome.job is not None and outcome.draft is not None
    job = read_job(outcome.job).job
    assert [setup.program for setup in job.setup] == ["two.nc", "two.O2002.nc"]
    assert job.subprograms == ["two.nc"]
    assert outcome.draft.unfollowed == ()
    # 20 + 15, the two ends.
    assert outcome.draft.sizes.part_length.value == 35.0
    assert programs_in([tmp_path]) == [tmp_path / "two.nc"]


def test_another_file_in_place_of_the_copy_is_left_and_no_job_is_written(tmp_path: Path) -> None:
    program = put(tmp_path, "two.nc", TWO)
    (tmp_path / "two.O2002.nc").write_text("mine")
    assert write_draft(program).ending is Ending.THERE
    assert (tmp_path / "two.O2002.nc").read_text() == "mine"
    assert not job_path(program).exists()


def folder_of_all_sorts(folder: Path) -> None:
    for name, text in PROGRAMS.items():
        put(folder, name, text)
    put(folder, "empty.nc", "")
    put(folder, "comments.nc", "%\n(NOTHING YET)\n%\n")
    put(folder, "no-cut.nc", "O5\nT0101\nG97 S500 M03\nG00 X50. Z50.\nM30\n")
    put(folder, "broken.nc", BUSHING[:300] + "\x91(\xff\x8d X..5 G#" + BUSHING[300:])
    (folder / "binary.nc").write_bytes(bytes(range(256)) * 4)
    (folder / "deeper" / ".hidden").mkdir(parents=True)
    put(folder / "deeper", "odd.nc", BUSHING.replace("N32 G01 X44.", "N32 G151 X44."))
    put(folder / "deeper" / ".hidden", "hidden.nc", BUSHING)
    put(folder, "notes.md", "no program")


def test_a_folder_at_a_time_one_bad_program_does_not_stop_the_rest(tmp_path: Path) -> None:
    folder_of_all_sorts(tmp_path)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    told = run("new", "--from", tmp_path)
    assert told.exit_code == 2 and told.stderr == ""
    wrote = {path.name for path in tmp_path.rglob("*.job.toml")}
    good = {f"{name}.job.toml" for name in PROGRAMS}
    assert wrote - {"broken.nc.job.toml"} == good | {"odd.nc.job.toml"}
    assert {path: path.read_bytes() for path in before} == before
    said = told.stdout
    assert f"11 programs, {len(wrote)} jobs written" in said
    assert f"{tmp_path / 'empty.nc'}: the program is empty" in said
    assert f"{tmp_path / 'comments.nc'}: the program is empty" in said
    assert f"{tmp_path / 'no-cut.nc'}: no cut could be followed: it feeds nowhere" in said
    assert "could not be read: 1" in said and "binary.nc: the file is binary" in said
    assert "G151 cannot-follow: 1, in 1 program" in said
    assert "hidden" not in said and "notes.md" not in said


def test_one_program_is_told_in_full_with_status_by_what_is_followed(tmp_path: Path) -> None:
    told = run("new", "--from", put(tmp_path, "bushing.nc", BUSHING))
    assert told.exit_code == 0 and told.stderr == ""
    for said in (
        "units: mm (G21 on line 4)",
        "(BUSHING, BAR 60 X 57)",
        "line 39: M00, stop 4",
        "line 41: G55",
        "set-ups: 2",
        "T3 offset 3: drill (DRILL 20)",
        "bar: 60 (the comment on line 2 says so, below X64 of the clearance point on line 10)",
        "job drafted; confirm its guesses",
    ):
        assert said in told.stdout, said
    odd = put(tmp_path, "odd.nc", BUSHING.replace("N32 G01 X44.", "N32 G151 X44."))
    told = run("new", "--from", odd)
    assert told.exit_code == 1
    assert "not followed: odd.nc line 35 G151: " in told.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["new", "a", "b"], "new takes one folder"),
        (["new", "--from", "nowhere.nc"], "there is no such file"),
        (["new", "--from"], "Missing argument"),
    ],
)
def test_wrong_usage(words: list[str], said: str, tmp_path: Path) -> None:
    told = run(*words)
    assert told.exit_code == 2 and said in told.stderr


def test_a_name_that_is_no_text_is_told(tmp_path: Path) -> None:
    program = Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff.nc"))
    program.write_text(BUSHING)
    outcome = write_draft(program)
    assert outcome.ending is Ending.UNREADABLE and "rename the file" in outcome.words
    assert "1 program, 0 jobs written" in run("new", "--from", tmp_path).stdout


def test_an_empty_folder_makes_no_job(tmp_path: Path) -> None:
    told = run("new", "--from", tmp_path)
    assert told.exit_code == 2
    assert told.stdout == "0 programs, 0 jobs written\n"


def test_a_fault_of_ours_in_one_program_is_told_and_counted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from standclear.draft import files

    def fail(data: bytes, name: str) -> None:
        raise ZeroDivisionError("oh")

    monkeypatch.setattr(files, "draft_job", fail)
    outcome = write_draft(put(tmp_path, "pin.nc", BUSHING))
    assert outcome.ending is Ending.FAULT and "ZeroDivisionError" in outcome.words
    summary = Summary()
    summary.add(outcome)
    assert summary.status == 2


def test_every_program_of_the_corpus_makes_a_sound_job_or_says_why_not() -> None:
    from standclear.draft.checked import job_of

    written = 0
    for program in sorted((Path(__file__).parents[1] / "programs").rglob("*.nc")):
        try:
            draft = draft_job(program.read_bytes(), program.name)
        except NothingToDraft as error:
            assert str(error)
        else:
            written += 1
            assert job_of(draft.text, program.name).guesses == list(draft.guesses)
    assert written > 100


WORDS = st.lists(
    st.sampled_from(BUSHING.split() + PLUG_INCH.split() + SHAFT_G77.split() + ["\n"] * 40),
    max_size=60,
)


@settings(max_examples=150)
@given(st.one_of(st.binary(max_size=400), WORDS.map(lambda each: " ".join(each).encode("latin-1"))))
def test_any_bytes_make_a_sound_job_or_say_why_not(data: bytes) -> None:
    from standclear.draft.checked import job_of

    try:
        draft = draft_job(data, "any.nc")
    except NothingToDraft as error:
        assert str(error)
    else:
        assert job_of(draft.text, "any.nc").guesses == list(draft.guesses)


@settings(max_examples=60)
@given(st.integers(0, len(BUSHING)), st.binary(max_size=12))
def test_a_program_spoilt_anywhere_makes_a_sound_job_or_says_why_not(at: int, junk: bytes) -> None:
    from standclear.draft.checked import job_of

    data = BUSHING.encode("latin-1")
    try:
        draft = draft_job(data[:at] + junk + data[at:], "any.nc")
    except NothingToDraft as error:
        assert str(error)
    else:
        assert job_of(draft.text, "any.nc").guesses == list(draft.guesses)
