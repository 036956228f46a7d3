from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from standclear.drawing.dimension import across, along, mark
from standclear.drawing.inks import Ink
from standclear.drawing.labels import Board, Room, inside, overlap, place, text_box
from standclear.drawing.shapes import Text

BOUNDS = (0.0, 0.0, 90.0, 50.0)
spots = st.tuples(st.floats(0, 90), st.floats(0, 50))


def texts(board: Board) -> list[Text]:
    return [s for _, s in board.lettering if isinstance(s, Text)]


@settings(max_examples=40)
@given(st.lists(st.tuples(spots, st.sampled_from(["X 5.2", "stick-out 57.5", "1"])), max_size=25))
def test_labels_never_share_paper(wanted: list[tuple[tuple[float, float], str]]) -> None:
    board, room = Board(), Room(BOUNDS, (LineString([(0, 25), (90, 25)]),), (box(0, 0, 40, 25),))
    for near, words in wanted:
        place(board, room, words, 2.5, near)
    boxes = [text_box(t) for t in texts(board)]
    assert not any(overlap(a, b) for a, b in combinations(boxes, 2))
    assert all(inside(b, BOUNDS) for b in boxes)


@settings(max_examples=40)
@given(st.lists(st.tuples(spots, spots, st.booleans()), min_size=1, max_size=8))
def test_dimensions_crowded_together_keep_their_figures_apart(
    wanted: list[tuple[tuple[float, float], tuple[float, float], bool]],
) -> None:
    board, room = Board(), Room(BOUNDS, (), ())
    for i, (a, b, upright) in enumerate(wanted):
        if upright:
            across(board, room, a, b, a[0] + 5, f"{i}.25")
        else:
            along(board, room, a, b, a[1] - 5, f"{i}.25")
        mark(board, room, i, b, Ink.LEADER)
    boxes = [text_box(t) for t in texts(board)]
    assert not any(overlap(a, b) for a, b in combinations(boxes, 2))


def test_a_full_view_refuses_instead_of_writing_over() -> None:
    board, room = Board(), Room((0, 0, 12, 6), (), ())
    assert place(board, room, "12.5", 2.5, (6, 3)) is not None
    assert place(board, room, "12.5", 2.5, (6, 3)) is None
    assert len(texts(board)) == 1


def test_clear_paper_close_by_is_taken_before_hatching() -> None:
    metal = box(0, 0, 90, 20)
    board, room = Board(), Room(BOUNDS, (metal.boundary,), (metal,))
    text = place(board, room, "12.5", 2.5, (45, 15))
    assert text is not None
    assert not box(*text_box(text)).intersects(metal)
