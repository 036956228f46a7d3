"""Program text to blocks: nothing lost, every word in its place, broken words kept."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.blocks.program import Block
from standclear.blocks.read import bytes_of, read_program

LIKELY = st.text(alphabet="GXZ0123456789.-+ ()/%;#[]=NO,iF\r\n\t", max_size=80).map(
    lambda text: text.encode("latin-1")
)


def block(text: str) -> Block:
    """The only block of a one-line program."""
    (only,) = read_program(text.encode("latin-1"), "o.nc").blocks
    return only


@given(st.one_of(st.binary(max_size=200), LIKELY))
def test_joining_the_blocks_gives_back_every_byte(data: bytes) -> None:
    assert bytes_of(read_program(data, "any")) == data


@given(st.one_of(st.binary(max_size=200), LIKELY))
def test_every_word_stands_where_it_says(data: bytes) -> None:
    lines = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n")
    for each in read_program(data, "any").blocks:
        for word in each.words:
            there = lines[word.line - 1][word.column - 1 :]
            assert there.startswith(word.text.encode("latin-1"))


def test_numbers_as_written() -> None:
    words = block("g1 X-12.50 z+.5 W 3. F20").words
    assert [(w.letter, w.number, w.has_point) for w in words] == [
        ("G", Decimal(1), False),
        ("X", Decimal("-12.50"), True),
        ("Z", Decimal("0.5"), True),
        ("W", Decimal(3), True),
        ("F", Decimal(20), False),
    ]
    assert [w.column for w in words] == [1, 4, 12, 17, 22]


def test_blanks_inside_a_number_mean_nothing() -> None:
    (word,) = block("X 1 2 . 5").words
    assert word.number == Decimal("12.5")


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_line_ends(ending: str) -> None:
    program = read_program(f"G00 X1.{ending}{ending}Z2.".encode(), "o")
    assert [(b.line, len(b.words)) for b in program.blocks] == [(1, 2), (2, 0), (3, 1)]
    assert program.blocks[2].words[0].line == 3


def test_labels_compare_as_numbers() -> None:
    assert block("N0100 G00").label == block("n100G00").label == 100


@pytest.mark.parametrize(
    ("text", "level"), [("/G00", 1), ("/2 G00", 2), ("N5 /9G00", 9), ("/N5 G00", 1), ("G00", None)]
)
def test_block_delete(text: str, level: int | None) -> None:
    found = block(text)
    assert found.delete_level == level
    assert [w.letter for w in found.words if w.letter != "N"] == ["G"]


def test_comments_are_kept_and_are_not_words() -> None:
    found = block("(ROUGH X99.) G00 (TO) X1.")
    assert found.comments == ("ROUGH X99.", "TO")
    assert [w.text for w in found.words] == ["G00", "X1."]


def test_open_comment_is_broken_and_hides_the_rest() -> None:
    found = block("G00 (to the front X5.")
    assert [w.broken != "" for w in found.words] == [False, True]


@pytest.mark.parametrize("text", ["X", "X--5", "X1.2.3", "X.", "N1.5", "X12,5", "X[#1", "$", "é5"])
def test_broken_words_are_kept_and_the_rest_is_read(text: str) -> None:
    found = block(f"G01 {text}")
    good = block(f"G01 F.2 {text}")
    assert any(w.broken for w in found.words)
    assert [w.letter for w in good.words[:2]] == ["G", "F"]
    assert all(w.number is None for w in found.words if w.broken)


def test_variables_and_expressions_stay_text() -> None:
    words = block("G00 X#101 Z-[#1+[2*3]] U#[#2+1] R-#5").words
    assert [(w.value_text, w.number, w.broken) for w in words[1:]] == [
        ("#101", None, ""),
        ("-[#1+[2*3]]", None, ""),
        ("#[#2+1]", None, ""),
        ("-#5", None, ""),
    ]


@pytest.mark.parametrize(
    "text", ["#1=5.", "IF[#1GT3]GOTO20", "WHILE [#1 LT 3] DO1", "GOTO 5", "END1"]
)
def test_statements_are_kept_as_text(text: str) -> None:
    found = block(f"N5 {text} (count)")
    assert found.statement == text
    assert found.comments == ("count",)
    assert found.label == 5


def test_program_numbers_and_names() -> None:
    number, name, colon = block("O0012 (PIN)"), block("OPIN-1 (x)"), block(":12")
    assert number.words[0].number == colon.words[0].number == 12
    assert (name.words[0].letter, name.words[0].value_text) == ("O", "PIN-1")
    assert not any(w.broken for b in (number, name, colon) for w in b.words)


def test_tape_mark_takes_its_line() -> None:
    found = block("% X5.")
    assert [w.letter for w in found.words] == ["%"]


def test_text_after_a_semicolon_that_reads_as_a_block() -> None:
    first, second = read_program(b"G00 X1.; Z5. \r\n", "o").blocks
    assert [w.text for w in first.words] == ["G00", "X1."]
    assert second.after_semicolon
    assert [(w.text, w.column) for w in second.words] == [("Z5.", 10)]


def test_text_after_a_semicolon_that_can_only_be_a_comment() -> None:
    _, second = read_program(b"G00 X1. ; rough turn\n", "o").blocks
    assert second.after_semicolon
    assert second.words == ()
    assert second.comments == (" rough turn",)


def test_bare_semicolon_ends_the_block() -> None:
    assert [w.text for w in block("G00 X1.;").words] == ["G00", "X1."]


def test_corner_words_keep_their_comma() -> None:
    assert block("G01 X5. ,C2.").words[-1].letter == ",C"


def test_mark_of_utf8_is_passed_over() -> None:
    program = read_program(b"\xef\xbb\xbfG00 X1.", "o")
    assert [w.broken for w in program.blocks[0].words] == ["", ""]
