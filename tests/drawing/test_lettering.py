from __future__ import annotations

import string

import pytest

from standclear.drawing.labels import text_box
from standclear.drawing.lettering import GLYPHS, shortened, strokes, width_of, wrapped
from standclear.drawing.shapes import Text

SIGNS = string.digits + string.ascii_letters + ".,:;-+=/\\()[]<>%#*'\"!?&_|°±×Ø–"


def test_every_letter_of_a_turning_program_has_a_glyph_of_its_own() -> None:
    drawn = {c: tuple(strokes(Text(c, (0, 0), 10))) for c in SIGNS}
    assert set(SIGNS) <= set(GLYPHS)
    assert len(set(drawn.values())) == len(SIGNS)


@pytest.mark.parametrize("upright", [True, False])
def test_strokes_stay_within_the_room_that_a_text_takes(upright: bool) -> None:
    for c in SIGNS:
        text = Text(f"{c}{c}", (5, 7), 3.5, upright=upright)
        x0, y0, x1, y1 = text_box(text)
        for stroke in strokes(text):
            assert all(x0 <= x <= x1 and y0 <= y <= y1 for x, y in stroke), c


def test_heights_follow_iso_3098_type_b() -> None:
    # ISO 3098-1, type B (from memory): h = 10/10, small letters 7/10, tails 3/10.
    def span(letter: str) -> tuple[float, float]:
        ys = [y for stroke in strokes(Text(letter, (0, 0), 10)) for _, y in stroke]
        return min(ys), max(ys)

    assert span("H") == (0, 10)
    assert span("8") == pytest.approx((0, 10))
    assert span("x") == (0, 7)
    assert span("p")[0] == -3


def test_accents_fall_back_to_their_letter_and_the_unknown_to_a_box() -> None:
    assert strokes(Text("é", (0, 0), 1)) == strokes(Text("e", (0, 0), 1))
    assert len(strokes(Text("☃", (0, 0), 1))) == 1


def test_shortened_and_wrapped_fit_their_room() -> None:
    words = "the rapid runs 1.42 mm into the metal of a bar that is too thick"
    assert shortened(words, 2.5, 1000) == words
    assert width_of(shortened(words, 2.5, 30), 2.5) <= 30
    rows = wrapped(words, 2.5, 40)
    assert " ".join(rows) == words
    assert all(width_of(row, 2.5) <= 40 for row in rows)
