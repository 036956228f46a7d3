"""Entries out of every example job and back: nothing is lost, nothing is added."""

from __future__ import annotations

import shutil
import types
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Union, get_args, get_origin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel
from tests.page.entry.entry_shop import JOBS, documents_of

from standclear.job.models import Job
from standclear.job.read import read_job
from standclear.job.wording import alternatives
from standclear.job.writing import same_values
from standclear.page.entry.documents import Documents, form_of_documents, with_form
from standclear.page.entry.entries import entries_of, form_of, whole_form
from standclear.page.entry.field import Field, Group, Kind, joined
from standclear.page.entry.numbers import number_text

IDS = [f"{path.parent.name}/{path.stem}" for path in JOBS]


@pytest.mark.parametrize("path", JOBS, ids=IDS)
def test_an_example_read_and_written_keeps_every_byte(path: Path) -> None:
    documents = documents_of(path)
    form = form_of_documents(documents)
    made, problems = form_of(entries_of(form), form)
    written, more = with_form(documents, made)
    assert not problems and not more
    assert written.texts == documents.texts


@pytest.mark.parametrize("path", JOBS, ids=IDS)
def test_an_example_typed_from_nothing_is_the_same_job(path: Path, tmp_path: Path) -> None:
    """Only what stands in the fields goes into a new file, and that file reads as the same job."""
    before = read_job(path)
    entries = entries_of(form_of_documents(documents_of(path)))
    made, problems = form_of(entries, {})
    written, more = with_form(Documents("job.toml", {"job.toml": ""}), made)
    assert not problems and not more
    for name in before.programs:
        shutil.copy(path.parent / name, tmp_path / name)
    if before.job.units == "mm" and "inch" in path.parent.name:
        pytest.skip("its tools stand in a file in inches, which a single file cannot")
    (tmp_path / "job.toml").write_text(written.texts["job.toml"], "utf-8")
    assert plain(read_job(tmp_path).job) == plain(before.job)


def plain(job: Job) -> dict[str, Any]:
    """The values of a job. A closed profile may begin at any corner: it is turned to the lowest."""
    values = job.model_dump()
    for holder in (values, *values["setup"]):
        if holder["jaws"]:
            ring = holder["jaws"]["profile"]
            first = ring.index(min(ring))
            holder["jaws"]["profile"] = ring[first:] + ring[:first]
    return values


def leaves(model: type[BaseModel], name: str) -> Iterator[str]:
    """Names of all keys of a table, rows as `[]`."""
    for key, field in model.model_fields.items():
        yield from leaves_of(field.annotation, joined(name, key))


def leaves_of(hint: Any, name: str) -> Iterator[str]:
    for each in alternatives(hint):
        origin = get_origin(each)
        if isinstance(each, type) and issubclass(each, BaseModel):
            yield from leaves(each, name)
            return
        if origin is list:
            inner = next(alternatives(get_args(each)[0]))
            table = isinstance(inner, type) and issubclass(inner, BaseModel)
            if table or get_origin(inner) is tuple:
                yield from leaves_of(inner, f"{name}[]")
            else:
                yield name
            return
        if origin is tuple:
            yield from (f"{name}[{i}]" for i in range(len(get_args(each))))
            return
        assert origin not in (Union, types.UnionType)
        yield name
        return


def fields_of(group: Group, name: str) -> Iterator[tuple[str, Field]]:
    for field in group.fields:
        yield joined(name, field.key), field
    for inner in group.groups:
        many = "[]" if inner.many and inner.fields[0].key else ""
        yield from fields_of(inner, joined(name, inner.key) + many)


def test_every_key_of_a_job_is_on_the_form() -> None:
    on_form = {name for name, field in fields_of(whole_form(), "")}
    wanted = set(leaves(Job, "")) - {"variables"}
    assert wanted - on_form == set()


def test_every_field_is_a_key_of_a_job_or_says_that_it_is_not() -> None:
    own_groups = ("part.rows", "jaws.rows", "setup[].jaws.rows", "variables")
    known = set(leaves(Job, ""))
    extra = [
        name
        for name, field in fields_of(whole_form(), "")
        if name not in known and not field.own and not name.startswith(own_groups)
    ]
    assert extra == []


def test_every_choice_is_one_of_the_job_file_and_none_is_left_out() -> None:
    schema: dict[str, tuple[str, ...]] = {}

    def gather(model: type[BaseModel], name: str) -> None:
        for key, field in model.model_fields.items():
            for each in alternatives(field.annotation):
                inner = joined(name, key)
                if get_origin(each) is list:
                    inner, each = f"{inner}[]", next(alternatives(get_args(each)[0]))
                if isinstance(each, type) and issubclass(each, BaseModel):
                    gather(each, inner)
                elif get_args(each) and all(isinstance(v, str) for v in get_args(each)):
                    schema[inner] = get_args(each)

    gather(Job, "")
    fields = dict(fields_of(whole_form(), ""))
    for name, values in schema.items():
        assert {choice.value for choice in fields[name].choices} == set(values), name


def test_fields_without_a_default_say_what_counts_where_they_are_left_empty() -> None:
    """A field is needed, belongs to a row or group that is, or says what its being empty means."""
    for name, field in fields_of(whole_form(), ""):
        optional = not field.needed and field.shown is None and not name.endswith("]")
        if optional and "[]." not in name and name.count(".") < 2:
            assert field.empty or name in ("blank.bore", "guesses"), name


def defaults(model: type[BaseModel], name: str) -> Iterator[tuple[str, Any]]:
    """Every key of a table that has a value of its own where it is left out."""
    for key, field in model.model_fields.items():
        inner = joined(name, key)
        tables = list(alternatives(field.annotation))
        lists = [next(alternatives(get_args(t)[0])) for t in tables if get_origin(t) is list]
        for each in (*tables, *lists):
            if isinstance(each, type) and issubclass(each, BaseModel):
                many = "[]" if each in lists else ""
                yield from defaults(each, inner + many)
        if isinstance(field.default, tuple):
            yield from ((f"{inner}[{i}]", value) for i, value in enumerate(field.default))
        elif isinstance(field.default, str | int | float) and field.default != "":
            yield inner, field.default


def test_what_counts_where_a_field_is_empty_is_what_the_job_takes() -> None:
    fields = dict(fields_of(whole_form(), ""))
    found = dict(defaults(Job, ""))
    assert found["tools[].drill.point_angle"] == 118.0
    for name, value in found.items():
        empty = fields[name].empty
        if isinstance(value, bool):
            assert ("yes" if value else "no") in empty.split(",")[0], name
        elif isinstance(value, str):
            choices = fields[name].choices
            words = next((each.words for each in choices if each.value == value), value)
            unknown = value == "unknown" and empty.startswith("not known")
            assert words.startswith(empty) or empty in words or unknown, name
        else:
            assert number_text(value) in empty or (value == 0 and empty.startswith(ZERO)), name


ZERO = ("0", "any neck")


def test_margins_that_count_where_none_is_given_are_those_of_the_proof() -> None:
    from standclear.proof.judge_setup import JAW_MARGIN_MM, MARGIN_INCH_MM, MARGIN_MM
    from standclear.tools.drill import HOLDER_DIAMETER_MM

    fields = dict(fields_of(whole_form(), ""))
    inch = f"{MARGIN_INCH_MM / 25.4:.3f} in"
    for key in ("x", "z"):
        assert fields[f"setup[].margin.{key}"].empty == f"{MARGIN_MM:g} mm, {inch}"
    assert fields["setup[].margin.jaws"].empty == f"{JAW_MARGIN_MM:g} mm"
    assert f"{HOLDER_DIAMETER_MM:g} mm" in fields["tools[].drill.holder_diameter"].empty


CORNERS = st.one_of(
    st.just(""),
    st.decimals("0.1", "0.9", places=1).map(str),
    st.decimals("0.1", "0.9", places=1).map(lambda v: f"R{v}"),
    st.just("0.5x30"),
)


@st.composite
def part_rows(draw: st.DrawFn) -> list[dict[str, str]]:
    """Steps whose shoulders are high enough for their corners."""
    count = draw(st.integers(1, 6))
    used = draw(st.lists(st.integers(3, 30), min_size=count, max_size=count, unique=True))
    return [
        {
            "diameter": number_text(4.0 * each),
            "length": number_text(draw(st.integers(20, 400)) / 10),
            "front": draw(CORNERS),
            "back": draw(CORNERS),
        }
        for each in used
    ]


@settings(max_examples=100)
@given(part_rows())
def test_steps_typed_are_the_steps_read_again(rows: list[dict[str, str]]) -> None:
    entries = {"units": "mm", "part.given": "rows"}
    for index, row in enumerate(rows):
        entries[f"part.rows[{index}].@"] = str(index)
        entries |= {f"part.rows[{index}].{key}": text for key, text in row.items() if text}
    form, problems = form_of(entries, {})
    written, more = with_form(Documents("job.toml", {"job.toml": ""}), form)
    assert not problems and not more
    again = entries_of(form_of_documents(written))
    assert again == entries


def texts_for(field: Field) -> st.SearchStrategy[str]:
    """Texts as the field shows its values, so that they come back as they are."""
    numbers = st.integers(-99999, 99999).map(lambda v: number_text(v / 1000))
    wholes = st.integers(0, 9999).map(str)
    match field.kind:
        case Kind.CHOICE:
            return st.sampled_from([choice.value for choice in field.choices])
        case Kind.YES_NO:
            return st.sampled_from(["yes", "no"])
        case Kind.WHOLE:
            return wholes
        case Kind.LENGTHS:
            return st.lists(numbers, min_size=1, max_size=3).map(" ".join)
        case Kind.WHOLES:
            return st.lists(wholes, min_size=1, max_size=3).map(" ".join)
        case Kind.TEXT:
            plain = st.characters(codec="utf-8", exclude_categories=["C", "Z"])
            return st.text(plain, min_size=1, max_size=12)
    return numbers


@st.composite
def any_entries(draw: st.DrawFn) -> dict[str, str]:
    """Some of all plain fields of the form, the tables of one and two rows too."""
    entries: dict[str, str] = {}

    def fill(group: Group, name: str) -> None:
        for field in group.fields:
            pair = field.key.startswith("[")
            if pair or draw(st.integers(0, 3)) == 0:
                entries[joined(name, field.key)] = draw(texts_for(field))
        for inner in group.groups:
            where = joined(name, inner.key)
            if inner.key in SKIPPED or where in SKIPPED or inner.shown:
                continue
            if not inner.many:
                if draw(st.booleans()):
                    fill(inner, where)
                continue
            for index in range(draw(st.integers(0, 2))):
                entries[f"{where}[{index}].@"] = str(index)
                if inner.fields[0].key:
                    fill(inner, f"{where}[{index}]")
                else:
                    entries[f"{where}[{index}]"] = draw(texts_for(inner.fields[0]))

    fill(whole_form(), "")
    return {k: v for k, v in entries.items() if not k.endswith((".given", ".kind", ".at"))}


SKIPPED = ("part", "jaws", "start", "end", "variables")
"""What the form has in words of its own; tested by itself."""


@settings(max_examples=80)
@given(any_entries())
def test_any_entries_come_back_as_they_were_typed(entries: dict[str, str]) -> None:
    form, problems = form_of(entries, {})
    written, more = with_form(Documents("job.toml", {"job.toml": ""}), form)
    assert not problems and not more
    again = entries_of(form_of_documents(written))
    assert {k: v for k, v in again.items() if not k.endswith((".given", ".kind", ".at"))} == entries


@settings(max_examples=30)
@given(st.sampled_from(JOBS), st.data())
def test_one_entry_changed_in_an_example_changes_that_and_nothing_else(
    path: Path, data: st.DataObject
) -> None:
    documents = documents_of(path)
    form = form_of_documents(documents)
    entries = entries_of(form)
    numbers = ["blank.size", "blank.length", "part.sizes[0].length", "setup[0].zero.error"]
    name = data.draw(st.sampled_from([name for name in numbers if name in entries]))
    entries[name] = "12.375"
    made, _ = form_of(entries, form)
    written, problems = with_form(documents, made)
    assert not problems
    again = entries_of(form_of_documents(written))
    assert again == entries
    for file, text in documents.texts.items():
        before, after = text.splitlines(), written.texts[file].splitlines()
        assert len(before) == len(after)
        assert sum(a != b for a, b in zip(before, after, strict=True)) <= 1


def test_what_the_form_does_not_know_stays_in_the_file() -> None:
    text = 'units = "mm"\nwhat = 3\n[blank]\nsise = 40.0 # slip\nlength = 50.0\n'
    documents = Documents("job.toml", {"job.toml": text})
    form = form_of_documents(documents)
    made, _ = form_of({**entries_of(form), "blank.size": "40"}, form)
    written, _ = with_form(documents, made)
    assert written.texts["job.toml"] == text.replace(
        "length = 50.0\n", "length = 50.0\nsize = 40.0\n"
    )


def test_a_value_that_no_field_holds_is_shown_and_is_a_problem() -> None:
    documents = Documents("job.toml", {"job.toml": '[blank]\nsize = "wide"\nbow = true\n'})
    form = form_of_documents(documents)
    entries = entries_of(form)
    assert entries["blank.size"] == '"wide"'
    _, problems = form_of(entries, form)
    assert [p.name for p in problems] == ["blank.size", "blank.bow"]
    assert problems[0].accepted == "give a number such as 52.5"
    assert same_values(form, form_of_documents(documents))
