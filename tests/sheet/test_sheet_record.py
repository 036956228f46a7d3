"""What a sheet carries along survives its form."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from standclear.sheet.record import Record, keywords_of, record_of

NAMES = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20)
HASHES = st.text("0123456789abcdef", min_size=64, max_size=64)


@given(
    job=NAMES,
    files=st.dictionaries(NAMES, HASHES, max_size=4),
    given_sizes=st.dictionaries(st.sampled_from(["bar", "length", "face"]), st.floats(0.1, 999.0)),
)
def test_a_record_comes_back(
    job: str, files: dict[str, str], given_sizes: dict[str, float]
) -> None:
    record = Record("clear", "2031-05-06T07:08+00:00", "0.1.0", "ab" * 32, job, given_sizes, files)
    words = keywords_of(record)
    assert all("," not in word and not any(c.isspace() for c in word) for word in words)
    # As the PDF joins them and a reader takes them apart.
    assert record_of([word.strip() for word in ", ".join(words).split(",")]) == record


def test_other_keywords_are_no_record() -> None:
    assert record_of(["turning", "verdict:clear"]) is None
    assert record_of(["standclear-sheet:1", "verdict:clear"]) is None
    assert record_of([]) is None
