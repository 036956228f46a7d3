"""Edits change the words named and not one byte more."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.blocks.read import bytes_of, read_program
from standclear.plan.amend.edit import edited


def test_two_words_of_one_line_and_the_text_around_them() -> None:
    data = b"%\r\nG00 X51.  Z5. (X51. stays)\r\nX 51.\t;Z5. G1\r\n\xe4(\xff)\r\nX9."
    program = read_program(data, "p")
    places = {
        (b.index, k): w.text
        for b in program.blocks
        for k, w in enumerate(b.words)
        if w.letter in "XZ" and not w.broken
    }
    assert sorted(places.values()) == ["X 51.", "X51.", "X9.", "Z5.", "Z5."]
    new = {key: text.replace("5", "1055") for key, text in places.items()}
    assert edited(program, new) == (
        b"%\r\nG00 X10551.  Z1055. (X51. stays)\r\nX 10551.\t;Z1055. G1\r\n\xe4(\xff)\r\nX9."
    )


@given(st.binary(max_size=80))
def test_without_edits_the_file_comes_back(data: bytes) -> None:
    program = read_program(data, "p")
    assert edited(program, {}) == data == bytes_of(program)


@given(st.text("GXZ0123.- ();\n\r%N/", max_size=60))
def test_words_put_in_for_themselves_give_the_file_back(text: str) -> None:
    program = read_program(b"\xef\xbb\xbf" + text.encode(), "p")
    same = {(b.index, k): w.text for b in program.blocks for k, w in enumerate(b.words)}
    assert edited(program, same) == bytes_of(program)


def test_a_word_that_does_not_stand_there_is_refused() -> None:
    program = read_program(b"G00 X51.", "p")
    block = program.blocks[0]
    moved = replace(block.words[1], column=4)
    wrong = replace(program, blocks=(replace(block, words=(block.words[0], moved)),))
    with pytest.raises(ValueError, match="does not stand at column 4"):
        edited(wrong, {(0, 1): "X55."})
