"""No drawing of any job makes its reader stumble: the examples, and jobs that nobody drew up."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judge.generate import make_job
from reading import EXAMPLES, proved_example, stumbles

import standclear
from standclear.drawing.dimension import across, along, leader, mark
from standclear.drawing.inks import Ink
from standclear.drawing.kinds import Subject
from standclear.drawing.labels import Board, Room
from standclear.drawing.section.alone import section_at_true_size, section_drawing
from standclear.drawing.shapes import Drawing, Line, Text
from standclear.drawing.subject import drawings_of

spots = st.tuples(st.floats(2, 88), st.floats(2, 48))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_drawing_of_every_example_reads_without_a_stumble(name: str) -> None:
    held, proof = proved_example(name)
    for subject in (Subject.SECTION, Subject.MOTIONS, Subject.LENGTH, Subject.TIME):
        for drawing in drawings_of(subject, held, held.files.job, proof):
            assert stumbles(drawing) == [], subject
    for setup in proof.setups:
        for drawing in (
            section_drawing(proof, setup.name, with_ways=True),
            section_drawing(proof, setup.name, width=120.0, height=70.0),
            section_at_true_size(proof, setup.name),
        ):
            assert stumbles(drawing) == []


@pytest.mark.parametrize("name", ["inch-flange", "hexagon-fitting", "sleeve"])
def test_the_stock_map_of_an_example_reads_without_a_stumble(name: str) -> None:
    held, proof = proved_example(name)
    for drawing in drawings_of(Subject.STOCK, held, held.files.job, proof):
        assert stumbles(drawing) == []


@settings(max_examples=8)
@given(seed=st.integers(1, 100_000))
def test_drawings_of_random_jobs_read_without_a_stumble(
    tmp_path_factory: pytest.TempPathFactory, seed: int
) -> None:
    folder = tmp_path_factory.mktemp("job")
    write(folder, make_job(seed))
    files = standclear.read_job(folder)
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    for subject in (Subject.SECTION, Subject.MOTIONS, Subject.LENGTH, Subject.TIME):
        for drawing in drawings_of(subject, held, files.job, proof):
            assert stumbles(drawing) == [], (seed, subject)


def write(folder: Path, files: dict[str, str]) -> None:
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")


@settings(max_examples=40)
@given(
    st.lists(
        st.tuples(spots, spots, st.sampled_from(["across", "along", "leader", "mark"])),
        min_size=1,
        max_size=10,
    )
)
def test_dimensions_leaders_and_marks_crowded_together_keep_clear_of_each_others_words(
    wanted: list[tuple[tuple[float, float], tuple[float, float], str]],
) -> None:
    board, room = Board(), Room((0.0, 0.0, 90.0, 50.0), (), ())
    for i, (a, b, kind) in enumerate(wanted):
        if kind == "across":
            across(board, room, a, b, a[0] + 5, f"{i}.25")
        elif kind == "along":
            along(board, room, a, b, a[1] - 5, f"{i}.25")
        elif kind == "leader":
            leader(board, room, a, f"jaws, line {i}", [(a[0] + 4, a[1] + 4)])
        else:
            mark(board, room, i, b, Ink.LEADER)
    assert stumbles(Drawing(90.0, 50.0, "", "", board.finished())) == []


def test_a_stumble_is_seen() -> None:
    # The check itself: a text on another, and a leader through one.
    words = Text("12.5", (10, 10), 2.5)
    leader_through = Line(((5, 11), (30, 11)), Ink.LEADER)
    below = Line(((5, 9), (30, 9)), Ink.LEADER)

    def seen(*shapes: Text | Line) -> int:
        return len(stumbles(Drawing(50, 50, "", "", shapes)))

    assert seen(words) == seen(words, below) == 0
    assert seen(words, Text("13", (12, 11), 2.5)) == 1
    assert seen(words, leader_through) == 1
    assert seen(Text("12.5", (47, 10), 2.5)) == 1
