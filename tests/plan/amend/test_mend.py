"""Words to change: every value is a sum done by hand beside it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from plan_shop import WIDE_TOOL, files_of, proved, spliced, told

from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.read import JobFiles, read_job
from standclear.plan.amend import search
from standclear.plan.amend.changes import NewWord
from standclear.plan.amend.codes import MENDABLE
from standclear.plan.amend.mend import mend, words_to_change
from standclear.plan.amend.trial import Key, Trial
from standclear.proof.result import JobProof

EXAMPLES = Path(__file__).parents[3] / "examples"

MENDED: list[tuple[str, dict[str, float], list[tuple[int, str, str]]]] = [
    # Bar 52 with run-out 0.2: 52.2 + 2.5 = 54.7, written without decimals: X55. At both ends.
    ("demo-pin", {"bar": 52, "length": 86.5}, [(10, "X51.", "X55."), (40, "X51.", "X55.")]),
    # 50 + 0.2 + 2.5 = 52.7: X53.
    ("demo-pin", {"bar": 50}, [(10, "X51.", "X53."), (40, "X51.", "X53.")]),
    # Bar 44 with run-out 0.2: 44.2 + 2.5 = 46.7: X47. at both ends.
    ("thicker-bar", {}, [(10, "X43.", "X47."), (38, "X43.", "X47.")]),
    # The face stands at 75 + 0.2 - 69.5 = 5.7; 5.7 + 2.5 = 8.2.
    ("longer-blank", {}, [(10, "Z4.5", "Z8.2")]),
    # Inch: the longest blank leaves 0.177 in front of the zero; 0.177 + 0.100 = 0.277.
    ("shift-left-behind", {}, [(10, "Z.125", "Z.277")]),
    # Bar 60 with run-out 0.2: 60.2 + 2.5 = 62.7: X63. Out there the way along Z is free.
    ("bent-rapid", {}, [(36, "X44.", "X63.")]),
]


@cache
def example(name: str, **stand_in: float) -> tuple[JobFiles, JobProof]:
    """An example with its words to change."""
    files = read_job(EXAMPLES / name, **stand_in)
    held, proof = proved(files)
    return files, mend(held, files.job, proof)


def changed(files: JobFiles, proof: JobProof) -> JobFiles:
    """The job with the changes spliced into its programs by hand."""
    programs = {
        name: spliced(data, tuple(c for c in proof.changes if c.program == name))
        for name, data in files.programs.items()
    }
    return replace(files, programs=programs)


def to_blame(proof: JobProof) -> list[Finding]:
    return [f for f in proof.findings if f.code in MENDABLE and f.severity > Severity.NOTE]


@pytest.mark.parametrize(("name", "stand_in", "wanted"), MENDED)
def test_examples_are_mended(
    name: str, stand_in: dict[str, float], wanted: list[tuple[int, str, str]]
) -> None:
    _, proof = example(name, **stand_in)
    assert told(proof.changes) == wanted
    assert proof.changed is not None
    assert proof.changed.verdict is Verdict.CLEAR
    assert proof.not_mended == ()
    # The answer itself is still that of the program as it stands.
    assert to_blame(proof)


@pytest.mark.parametrize(("name", "stand_in", "wanted"), MENDED)
def test_a_fresh_proof_of_the_changed_program_is_clear_and_asks_for_no_more(
    name: str, stand_in: dict[str, float], wanted: list[tuple[int, str, str]]
) -> None:
    files, proof = example(name, **stand_in)
    again = changed(files, proof)
    held, fresh = proved(again)
    assert fresh.verdict is Verdict.CLEAR
    assert to_blame(fresh) == []
    assert words_to_change(held, again.job, fresh) == ()


def test_reasons_carry_the_gap_that_comes_about() -> None:
    _, proof = example("demo-pin", bar=52, length=86.5)
    # 55 - 52.2 = 2.8 on diameter, half of it between tool and metal.
    for change in proof.changes:
        assert change.reason.startswith("the cycle then starts {gap} over the metal")
        gap, radial = (m.value for m in change.measures)
        assert gap == pytest.approx(2.8, abs=1e-6)
        assert radial == pytest.approx(1.4, abs=1e-6)


def test_what_clearance_points_cannot_mend_stays_with_the_answer() -> None:
    _, proof = example("demo-pin", bar=52, length=86.5)
    assert proof.changed is not None
    # The first facing cut at the back takes 5.95 - 1 = 4.95; the tool may take 3.
    assert [(f.code, f.setup) for f in proof.changed.findings] == [("cut-too-deep", "back end")]


@pytest.mark.parametrize(
    "name", ["jaws-too-near", "demo-pin", "second-end-band", "second-end-offset"]
)
def test_nothing_is_offered_where_no_clearance_point_is_to_blame(name: str) -> None:
    # second-end-offset strikes because another zero is in force: that is what to mend.
    files = read_job(EXAMPLES / name)
    held, proof = proved(files)
    assert mend(held, files.job, proof) is proof
    assert proof.changes == ()


def mended(folder: Path, body: str, **job: str) -> JobProof:
    files = files_of(folder, body, **job)
    held, proof = proved(files)
    return mend(held, files.job, proof)


def test_a_point_at_the_margin_is_left_alone(tmp_path: Path) -> None:
    # 40 + 2.5 = 42.5: just enough.
    proof = mended(tmp_path, "G00 X42.5 Z0.\nG01 X20. F0.2\nG00 X42.5\n")
    assert proof.changes == proof.not_mended == ()


def test_a_point_a_tenth_too_near_is_moved_by_a_tenth(tmp_path: Path) -> None:
    proof = mended(tmp_path, "G00 X42.4 Z0.\nG01 X20. F0.2\nG00 X42.5\n")
    assert told(proof.changes) == [(5, "X42.4", "X42.5")]


def test_the_feed_along_z_keeps_its_diameter(tmp_path: Path) -> None:
    # Z1 in front of the face at Z1: 1 + 2.5 = 3.5, written without decimals: Z4. To move X would
    # turn another diameter.
    proof = mended(tmp_path, "G00 X36. Z2.\nG01 Z-10. F0.2\nG00 X43.\n")
    assert told(proof.changes) == [(5, "Z2.", "Z4.")]
    assert proof.changes[0].column == len("G00 X36. ") + 1


def test_a_rapid_into_a_groove_is_not_made_a_cut(tmp_path: Path) -> None:
    # The feed to X20 could start at X43 and would open the groove itself: metal that the program
    # never meant this feed to take.
    body = "G00 X50. Z5.\nG00 Z-10.\nG00 X30.\nG01 X28. F0.1\nG00 X50.\n"
    proof = mended(tmp_path, body)
    assert proof.verdict is Verdict.CONTACT
    assert proof.changes == ()
    assert any("line 7" in each for each in proof.not_mended)


def test_a_place_given_by_steps_has_no_word_to_move(tmp_path: Path) -> None:
    proof = mended(tmp_path, "G00 X50. Z5.\nG00 U-9.\nG00 Z0.\nG01 X20. F0.2\nG00 X50.\n")
    # X41 comes of 50 - 9; X50 would have to become X51.5, which is a word of a rapid, but not the
    # word that gives the place.
    assert told(proof.changes) == []
    assert proof.not_mended


def test_a_groove_in_good_metal_is_not_opened_either(tmp_path: Path) -> None:
    body = "G00 X50. Z5.\nG00 Z-10.\nG00 X30.\nG01 X28. F0.1\nG00 X50.\n"
    proof = mended(tmp_path, body, part="outline = [[0.0, 40.0], [-58.0, 40.0]]")
    assert proof.changes == ()


def test_a_way_out_that_no_end_point_frees(tmp_path: Path) -> None:
    # Slanting out of the groove the rapid meets its wall, wherever it ends.
    body = "G00 X50. Z-10.\nG01 X30. F0.1\nG00 X41. Z2.\nG00 X50. Z9.\n"
    proof = mended(tmp_path, body, tool=WIDE_TOOL)
    assert proof.verdict is Verdict.CONTACT
    (sentence,) = proof.not_mended
    assert sentence.startswith("set-up one, line 7: no change of the words")
    # What can be mended is: the next rapid leaves from 41, and 40 + 2.5 is owed.
    assert told(proof.changes) == [(7, "X41.", "X43.")]
    assert proof.changed is not None
    assert proof.changed.verdict is Verdict.CONTACT
    assert [f.code for f in to_blame(replace(proof, findings=proof.changed.findings))] == [
        "rapid-into-metal"
    ]


def test_the_tool_stands_clear_with_all_of_it(tmp_path: Path) -> None:
    # Its left corner stands 3 nearer: 1 + 2.5 + 3 = 6.5, written without decimals: Z7.
    body = "G00 X36. Z3.\nG01 Z-10. F0.2\nG00 X50.\n"
    proof = mended(tmp_path, body, tool=WIDE_TOOL)
    assert told(proof.changes) == [(5, "Z3.", "Z7.")]
    # 7 - 3 - 1 in front of the face.
    assert [m.value for m in proof.changes[0].measures] == [pytest.approx(3.0, abs=1e-6)]


def test_the_margin_counts_from_the_face_as_it_is_then(tmp_path: Path) -> None:
    # Faced to Z0 first: 0 + 2.5.
    body = "G00 X50. Z5.\nG00 Z0.\nG01 X-1. F0.2\nG00 Z5.\nG00 X36. Z2.0\nG01 Z-10.\nG00 X50.\n"
    proof = mended(tmp_path, body)
    assert told(proof.changes) == [(9, "Z2.0", "Z2.5")]


def test_nothing_is_offered_that_uncovers_another_strike(tmp_path: Path) -> None:
    # Line 6 strikes at X38 and X43 would free it; line 10 goes through the same metal, by steps
    # that no word places, and its feed must stay where it is.
    body = (
        "G00 X38. Z5.\nG00 Z-20.\nG00 X50.\nG00 Z5.\nG00 U-12.\nG00 Z-19.\nG01 U-2. F0.1\n"
        "G00 X50.\n"
    )
    proof = mended(tmp_path, body, tool=WIDE_TOOL)
    struck = {f.place.line for f in proof.findings if f.code == "rapid-into-metal" and f.place}
    assert struck == {6}
    assert proof.changes == ()


def test_needless_changes_are_taken_back(tmp_path: Path) -> None:
    files = files_of(tmp_path, "G00 X42. Z0.\nG01 X20. F0.2\nG00 X43. Z5.\nG00 X44. Z6.\n")
    held, proof = proved(files)
    hunt = search.Search(Trial({}, held, proof), files.job)
    blocks = {b.line: b.index for b in held.programs["p.nc"].blocks}

    def new(line: int, word: int, text: str) -> tuple[Key, tuple[str, NewWord]]:
        key = ("p.nc", blocks[line], word)
        return key, ("one", NewWord(blocks[line], word, text, float(text[1:]), "", ()))

    more = hunt.try_words(dict([new(5, 1, "X43."), new(7, 1, "X60."), new(8, 2, "Z9.")]))
    assert more is not None
    assert [w.text for _, w in search.without_needless(hunt, more).words.values()] == ["X43."]


def test_an_allowed_margin_is_no_reason_to_change(tmp_path: Path) -> None:
    body = "G00 X42. Z0.\nG01 X20. F0.2\nG00 X43.\n"
    files = files_of(tmp_path, body)
    text = (tmp_path / "job.toml").read_text(encoding="utf-8")
    allow = "".join(
        f'[[allow]]\ncode = "{code}"\nreason = "seen at the machine"\n'
        for code in ("start-too-near", "approach-too-near")
    )
    held, proof = proved(files)
    assert told(words_to_change(held, files.job, proof)) == [(5, "X42.", "X43.")]
    (tmp_path / "job.toml").write_text(text + allow, encoding="utf-8")
    files = read_job(tmp_path)
    held, proof = proved(files)
    assert words_to_change(held, files.job, proof) == ()


def test_one_word_that_serves_two_cuts_is_changed_once(tmp_path: Path) -> None:
    body = "G00 X41. Z0.\nG01 X20. F0.2\nG00 Z6.\nG00 X41.\nG00 Z0.\nG01 X20.\nG00 X50.\n"
    proof = mended(tmp_path, body)
    # The second way down is faced already: Z6 in front of the face at Z0, then 41 beside 40 again.
    assert told(proof.changes) == [(5, "X41.", "X43."), (8, "X41.", "X43.")]


def test_the_search_ends_when_enough_was_tried(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(search, "MOST_MOTIONS", 0)
    proof = mended(tmp_path, "G00 X42. Z0.\nG01 X20. F0.2\nG00 X43.\n")
    assert proof.changes == ()
    assert ["none was tried here" in each for each in proof.not_mended] == [True]


def test_programs_and_jobs_on_disk_are_untouched(tmp_path: Path) -> None:
    files_of(tmp_path, "G00 X42. Z0.\nG01 X20. F0.2\nG00 X43.\n")
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
    files = read_job(tmp_path)
    held, proof = proved(files)
    programs = dict(files.programs)
    assert words_to_change(held, files.job, proof)
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == before
    assert files.programs == programs
