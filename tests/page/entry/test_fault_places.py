"""Each fault stands beside the field that it is about, in the words of the form."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.page.entry.entry_shop import EXAMPLES, JOBS, documents_of

from standclear.job.writing import edited_toml
from standclear.page.entry.checking import Checked, checked
from standclear.page.entry.documents import Documents, form_of_documents, with_form
from standclear.page.entry.entries import entries_of, form_of
from standclear.page.entry.fault_places import slots_of
from standclear.page.entry.guesses import guesses_of, without_guess

PIN = EXAMPLES / "demo-pin/job.toml"


def programs_of(path: Path) -> dict[str, bytes]:
    return {each.name: each.read_bytes() for each in path.parent.glob("*.nc")}


def looked_at(path: Path, changes: dict[str, str]) -> Checked:
    documents = documents_of(path)
    form = form_of_documents(documents)
    entries = {**entries_of(form), **changes}
    made, read = form_of({k: v for k, v in entries.items() if v}, form)
    written, more = with_form(documents, made)
    return checked(written, made, [*read, *more], programs_of(path))


@pytest.mark.parametrize("path", JOBS, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_nothing_is_wrong_with_the_examples(path: Path) -> None:
    assert looked_at(path, {}).problems == ()


@pytest.mark.parametrize(
    ("changes", "name", "found", "accepted"),
    [
        ({"blank.size": "48 mm"}, "blank.size", '"48 mm"', "give a number such as 52.5"),
        ({"blank.size": "-3"}, "blank.size", "-3", "give a number greater than 0"),
        ({"blank.length": ""}, "blank.length", "missing", "fill this in"),
        ({"blank.shape": "tube"}, "blank.bore", "missing", "a diameter greater than 0"),
        (
            {"blank.size_tolerance[0]": "0.1", "blank.size_tolerance[1]": "-0.1"},
            "blank.size_tolerance",
            "[0.1, -0.1]",
            "the lower one first",
        ),
        ({"part.given": ""}, "part.given", "missing", "choose one"),
        ({"part.rows[0].front": "23"}, "part.rows[0].front", '"23"', "the step is"),
        ({"part.rows[1].back": "R9"}, "part.rows[1].back", '"R9"', "the shoulder is"),
        ({"part.rows[2].length": "x"}, "part.rows[2].length", '"x"', "give a number"),
        ({"part.rows[2].length": ""}, "part.rows[2].length", "missing", "give a number"),
        ({"part.sizes[1].at_z": "5"}, "part.sizes[1].at_z", "5", "give a Z on the part"),
        ({"tools[0].insert": "CNXG120408"}, "tools[0].insert", '"X" at position 3', "A, C, E"),
        ({"tools[0].holder": "PCLNX2525M12"}, "tools[0].holder", '"X" at position 5', "R, L"),
        ({"tools[0].insert": "DNMG150604"}, "tools[0].holder", "do not agree", "check the two"),
        ({"tools[1].station": "1"}, "tools[1].station", "as tool 1 is", "once"),
        ({"tools[0].kind": ""}, "tools[0].kind", "missing", "choose one"),
        ({"tools[1].kind": "drill"}, "tools[1].drill.diameter", "missing", "fill this in"),
        ({"setup[0].zero.way": ""}, "setup[0].zero.way", "missing", "choose one"),
        (
            {"setup[0].zero.way": "measured"},
            "setup[0].zero.way",
            "'turned round, raw back touched, length measured and keyed in'",
            "'raw face touched with each blank'",
        ),
        (
            {"setup[0].zero.face_allowance": ""},
            "setup[0].zero.face_allowance",
            "missing",
            "how far the raw face stands out",
        ),
        ({"setup[1].start.stop": ""}, "setup[1].start.stop", "empty", "give one"),
        ({"setup[1].program": "pan.nc"}, "setup[1].program", "no such file", "beside the job"),
        ({"setup[1].offset": "G60"}, "setup[1].offset", '"G60"', "a work offset"),
        ({"setup[1].name": "front end"}, "setup[1].name", "as that of set-up 1", "its own"),
        ({"setup[0].jaws.rows[0].height": "-1"}, "setup[0].jaws.rows[0].height", "-1", "more"),
        (
            {
                "machine.rapid_path": "bent",
                "machine.rapid_rates.x": "",
                "machine.rapid_rates.z": "",
            },
            "machine.rapid_rates.x",
            "missing",
            "rates x and z",
        ),
        ({"machine.control.cycle_words": "cycles"}, "machine.control.cycle_words", "cycles", "g90"),
        ({"units": ""}, "units", "missing", "choose one"),
    ],
)
def test_one_slip_and_its_place(
    changes: dict[str, str], name: str, found: str, accepted: str
) -> None:
    problems = looked_at(PIN, changes).problems
    assert name in [each.name for each in problems], problems
    problem = next(each for each in problems if each.name == name)
    assert found in problem.found
    assert accepted in problem.accepted


def test_an_outline_that_crosses_itself_is_the_fault_of_its_points() -> None:
    entries = {"part.given": "points", "part.length": "79"}
    for index, (z, d) in enumerate(((0, 10), (-50, 10), (-20, 30), (-20, 5), (-79, 5))):
        entries |= {f"part.outline[{index}].@": "+", f"part.outline[{index}][0]": str(z)}
        entries[f"part.outline[{index}][1]"] = str(d)
    (problem,) = looked_at(PIN, entries).wrong
    assert problem.name == "part.outline"


def test_missing_and_wrong_are_told_apart() -> None:
    found = looked_at(PIN, {"blank.size": "", "blank.length": "x"})
    assert [p.name for p in found.missing] == ["blank.size"]
    assert [p.name for p in found.wrong] == ["blank.length"]


def test_a_program_that_is_not_given_yet_is_missing() -> None:
    found = looked_at(PIN, {"setup[1].program": ""})
    assert [p.name for p in found.missing] == ["setup[1].program"]
    assert found.wrong == ()


@pytest.mark.parametrize("name", ["/etc/hostname", f"{'../' * 20}etc/hostname", "a\0b"])
def test_a_file_outside_the_folder_is_not_read(name: str) -> None:
    assert Path("/etc/hostname").exists()
    (problem,) = looked_at(PIN, {"setup[1].program": name}).wrong
    assert problem.name == "setup[1].program"
    assert "outside the folder of jobs" in problem.found


VALUES: Any = st.one_of(
    st.none(), st.just("x"), st.just(-1.0), st.just(True), st.just([]), st.just({"a": 1})
)


@settings(max_examples=120)
@given(st.data())
def test_every_fault_of_a_spoilt_job_has_a_place(data: st.DataObject) -> None:
    documents = documents_of(PIN)
    file = data.draw(st.sampled_from(sorted(documents.texts)))
    raw = tomllib.loads(documents.texts[file])
    value: Any = raw
    while True:
        keys = list(value) if isinstance(value, dict) else list(range(len(value)))
        key = data.draw(st.sampled_from(keys))
        if isinstance(value[key], dict | list) and value[key] and data.draw(st.booleans()):
            value = value[key]
            continue
        new = data.draw(VALUES)
        if new is None:
            del value[key]
        else:
            value[key] = new
        break
    spoilt = Documents(
        documents.main, {**documents.texts, file: edited_toml(documents.texts[file], raw)}
    )
    form = form_of_documents(spoilt)
    made, read = form_of(entries_of(form), form)
    written, more = with_form(spoilt, made)
    found = checked(written, made, [*read, *more], programs_of(PIN))
    assert {p.name for p in found.problems} <= slots_of(made) | {p.name for p in read}


def drafted(tmp_path: Path) -> Documents:
    from standclear.draft.draft import draft_job

    draft = draft_job((EXAMPLES / "demo-pin/pin.nc").read_bytes(), "pin.nc")
    return Documents("pin.nc.job.toml", {"pin.nc.job.toml": draft.text})


def test_guesses_have_their_place_their_value_and_their_reason(tmp_path: Path) -> None:
    documents = drafted(tmp_path)
    form = form_of_documents(documents)
    guesses = guesses_of(documents, form, entries_of(form))
    assert [g.key for g in guesses] == tomllib.loads(documents.texts[documents.main])["guesses"]
    assert all(guess.because for guess in guesses)
    by_key = {guess.key: guess for guess in guesses}
    bar = by_key["blank.size"]
    assert (bar.name, bar.value, bar.label) == ("blank.size", "48 mm", "Diameter of the bar")
    assert bar.because.startswith("the comment on line 2 says so")
    assert by_key["tools.T2"].name == "tools[1]"
    assert by_key["tools.T2"].because.startswith("it cuts outside (G70)")
    assert by_key["tools.T2"].value.endswith("DNMG150604, PDJNR2525M15")
    setups = by_key["setup"]
    assert (setups.label, setups.value, setups.because) == ("How many set-ups?", "2", "2 clampings")
    end = by_key["setup[0].end"]
    assert (end.label, end.value) == (
        "Set-up 1: Where does it end in the program?",
        "at a stop (M00): 1",
    )
    way = by_key["setup[1].zero.way"]
    assert way.label == "Set-up 2: How is part zero set?"
    assert way.value == "turned round, raw back touched, length measured and keyed in"


def test_a_confirmed_guess_leaves_the_list_and_nothing_else(tmp_path: Path) -> None:
    documents = drafted(tmp_path)
    form = form_of_documents(documents)
    entries = without_guess(entries_of(form), 0)
    made, _ = form_of(entries, form)
    written, _ = with_form(documents, made)
    text = documents.texts[documents.main].replace('  "blank.size",\n', "")
    assert written.texts[documents.main] == text
    entries = entries_of(form_of_documents(written))
    for _ in range(15):
        entries = without_guess(
            entries, int(next(k for k in entries if k[:8] == "guesses[")[8:-1].split("]")[0])
        )
    made, _ = form_of(entries, form_of_documents(written))
    last, _ = with_form(written, made)
    assert "guesses" not in tomllib.loads(last.texts[documents.main])
