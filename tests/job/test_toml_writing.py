"""Writing into a TOML file: values as wanted, everything else as it was."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from standclear.job.writing import edited_toml, new_toml, same_values

EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = sorted(EXAMPLES.glob("*/*.toml"))

HAND_WRITTEN = """\
# The pin of the second shift.
units = "mm"   # never inch here

[part]         # before the blank, as we like it
length = 60

[blank]
size = 40.00   # h11
# length = 61
length = 62.00

[[tools]]
station = 1    # left of the turret
insert = "CNMG120408"
[[tools]]
# Borrowed from the other lathe.
station = 2
insert = "DNMG150604"
[[tools]]
station = 3    # for the groove
grooving = { width = 3.0, reach = 14.0 }
"""


def plain(text: str) -> dict[str, Any]:
    return tomllib.loads(text)


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_a_file_that_keeps_its_values_keeps_every_byte(path: Path) -> None:
    text = path.read_text("utf-8")
    assert edited_toml(text, plain(text)) == text


def test_one_number_changed_changes_one_line() -> None:
    wanted = plain(HAND_WRITTEN)
    wanted["blank"]["size"] = 42.5
    written = edited_toml(HAND_WRITTEN, wanted)
    assert written == HAND_WRITTEN.replace("size = 40.00   # h11", "size = 42.5   # h11")


def test_a_row_taken_out_leaves_the_comments_of_the_others() -> None:
    wanted = plain(HAND_WRITTEN)
    del wanted["tools"][0]
    written = edited_toml(HAND_WRITTEN, wanted)
    assert plain(written) == wanted
    assert "left of the turret" not in written
    for kept in ("# Borrowed from the other lathe.", "# for the groove", "# never inch here"):
        assert kept in written


def test_a_row_put_in_the_middle_stands_there() -> None:
    wanted = plain(HAND_WRITTEN)
    wanted["tools"].insert(1, {"station": 9, "drill": {"diameter": 8.0, "length": 60.0}})
    written = edited_toml(HAND_WRITTEN, wanted)
    assert plain(written) == wanted
    assert written.index("station = 9") < written.index("# Borrowed from the other lathe.")
    assert written.index("station = 9") > written.index("# left of the turret")


def test_a_key_at_the_top_does_not_fall_into_a_table() -> None:
    wanted = {**plain(HAND_WRITTEN), "title": "pin"}
    assert plain(edited_toml(HAND_WRITTEN, wanted)) == wanted


def test_a_new_file_reads_back() -> None:
    wanted = plain((EXAMPLES / "demo-pin/job.toml").read_text("utf-8"))
    text = new_toml(wanted, ["What stands at the machine."])
    assert plain(text) == wanted
    assert text.startswith("# What stands at the machine.\n")
    assert max(map(len, text.splitlines())) <= 100


def test_true_is_no_number() -> None:
    assert not same_values(True, 1)
    assert not same_values({"a": [1, 0]}, {"a": [1, False]})
    assert same_values({"a": [1, 2.0]}, {"a": [1.0, 2]})
    assert not same_values(1, "1")


NUMBERS = st.one_of(
    st.booleans(),
    st.integers(-1000, 1000),
    st.floats(-1000, 1000, allow_nan=False).map(lambda v: round(v, 4)),
)
KEYS = st.sampled_from(["tools", "setup", "blank", "size", "seat", "outline", "name x", "a.b"])
LEAVES = NUMBERS | st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=8)
VALUES = st.recursive(
    LEAVES,
    lambda inner: (
        st.dictionaries(KEYS, inner, max_size=4)
        | st.lists(st.dictionaries(KEYS, inner, max_size=3), max_size=4)
        | st.lists(LEAVES, max_size=4)
        | st.lists(st.lists(NUMBERS, min_size=2, max_size=2), max_size=4)
    ),
    max_leaves=12,
)
TABLES = st.dictionaries(KEYS, VALUES, max_size=5)


@settings(max_examples=300)
@given(TABLES, TABLES)
@example({"tools": {}, "blank": {"tools": [], "seat": {"tools": {"tools": {}}}}},
         {"tools": {}, "blank": {"seat": {}}})  # fmt: skip
def test_any_values_into_any_file(before: dict[str, Any], after: dict[str, Any]) -> None:
    text = new_toml(before)
    assert same_values(plain(text), before)
    assert same_values(plain(edited_toml(text, after)), after)


@settings(max_examples=150)
@given(st.sampled_from(FILES), st.data())
def test_any_one_change_of_an_example(path: Path, data: st.DataObject) -> None:
    text = path.read_text("utf-8")
    wanted = plain(text)
    table = data.draw(st.sampled_from([wanted, *(v for v in wanted.values() if type(v) is dict)]))
    key = data.draw(st.sampled_from([*table, "shape", "m_words", "wear"]))
    if data.draw(st.booleans()) and key in table:
        del table[key]
    else:
        table[key] = data.draw(VALUES)
    written = edited_toml(text, wanted)
    assert same_values(plain(written), wanted)
