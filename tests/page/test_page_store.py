"""Files behind the page: nothing outside the folder, nothing lost, nothing half written."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.errors import FileError
from standclear.page.store import Stale, Store, revision_of
from standclear.page.text import merged, shown

OUTSIDE = ["../secret.txt", "../../x", "/etc/hostname", "a/../../../secret.txt", "link.txt", "x\0y"]


@pytest.fixture
def store(tmp_path: Path) -> Store:
    (tmp_path / "secret.txt").write_text("secret")
    folder = tmp_path / "jobs" / "pin"
    folder.mkdir(parents=True)
    (folder / "job.toml").write_text('title = "pin"\n')
    (folder / "pin.nc").write_bytes(b"G00 X50.\r\nM30\r\n")
    (folder / "link.txt").symlink_to(tmp_path / "secret.txt")
    (tmp_path / "jobs" / "away").symlink_to(tmp_path)
    return Store(tmp_path / "jobs")


@pytest.mark.parametrize("name", OUTSIDE)
def test_no_path_leads_out(store: Store, name: str) -> None:
    base = store.root if name.startswith("..") else store.root / "pin"
    with pytest.raises(FileError, match="outside the folder"):
        store.inside(base, name)


def test_reading_and_saving_through_a_link_is_refused(store: Store) -> None:
    link = store.root / "pin" / "link.txt"
    with pytest.raises(FileError):
        store.read(link)
    with pytest.raises(FileError):
        store.save(link, b"x", revision_of(b"secret"))
    assert (store.root.parent / "secret.txt").read_text() == "secret"


@pytest.mark.parametrize(
    "name", ["../x.nc", ".x", "a/b.nc", "", "x\n.nc", "-x", "x.nc.", "a" * 101]
)
def test_only_plain_names_are_added(store: Store, name: str) -> None:
    with pytest.raises(FileError):
        store.add(store.root / "pin", name, b"x")


def test_adding_writes_over_nothing(store: Store) -> None:
    with pytest.raises(FileError, match="exists already"):
        store.add(store.root / "pin", "pin.nc", b"x")
    assert (store.root / "pin" / "pin.nc").read_bytes() == b"G00 X50.\r\nM30\r\n"


def test_saving_keeps_what_was_there(store: Store) -> None:
    path = store.root / "pin" / "pin.nc"
    old = path.read_bytes()
    revision = store.save(path, b"new", revision_of(old))
    assert path.read_bytes() == b"new" and revision == revision_of(b"new")
    assert [kept.read_bytes() for kept in store.earlier(path)] == [old]
    store.save(path, b"newer", revision)
    assert {kept.read_bytes() for kept in store.earlier(path)} == {old, b"new"}


def test_a_stale_save_is_refused_and_both_texts_are_on_the_disk(store: Store) -> None:
    path = store.root / "pin" / "pin.nc"
    seen = revision_of(path.read_bytes())
    path.write_bytes(b"theirs")
    with pytest.raises(Stale) as refused:
        store.save(path, b"mine", seen)
    assert path.read_bytes() == b"theirs"
    assert refused.value.there == b"theirs" and refused.value.revision == revision_of(b"theirs")
    assert refused.value.kept_as.read_bytes() == b"mine"


def test_a_save_that_fails_leaves_the_old_file(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = store.root / "pin" / "pin.nc"
    old = path.read_bytes()

    def broken(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", broken)
    with pytest.raises(FileError, match="No space"):
        store.save(path, b"new", revision_of(old))
    assert path.read_bytes() == old
    assert not [each for each in path.parent.iterdir() if each.name.startswith(".")]


def test_jobs_are_found_by_folder_and_by_draft_and_not_among_kept_ones(store: Store) -> None:
    folder = store.root / "pin"
    (folder / "other.nc.job.toml").write_text("")
    for kept in ("earlier", "proofs", ".hidden"):
        (folder / kept).mkdir()
        (folder / kept / "job.toml").write_text("")
    assert {place.ident for place in store.jobs()} == {"pin", "pin~other.nc"}
    assert store.job("pin~other.nc") is not None
    assert store.job("../pin") is None


def test_two_jobs_never_share_a_name(store: Store) -> None:
    # A folder `a~b` and a folder `b` in `a` would both be called a~b.
    for name in ("a~b", "a/b"):
        (store.root / name).mkdir(parents=True)
        (store.root / name / "job.toml").write_text("")
    places = store.jobs()
    assert len({place.ident for place in places}) == len(places) == 3


LINES = st.lists(st.text(alphabet="GXZ0.5 ()\xe9", max_size=6), max_size=8)
ENDS = st.sampled_from(["\n", "\r\n", "\r"])


@given(
    st.lists(st.tuples(st.text(alphabet="GX1 (\xe9)", max_size=5), ENDS), max_size=8), st.booleans()
)
def test_a_text_that_is_not_edited_keeps_every_byte(
    lines: list[tuple[str, str]], utf8: bool
) -> None:
    data = "".join(line + end for line, end in lines).encode("utf-8" if utf8 else "latin-1")
    assert merged(data, shown(data)) == data


@given(LINES, LINES)
def test_the_text_that_was_typed_is_what_is_shown_afterwards(
    before: list[str], after: list[str]
) -> None:
    data = "".join(line + "\r\n" for line in before).encode()
    typed = "\n".join(after)
    assert shown(merged(data, typed)) == typed


def test_lines_that_stay_keep_their_ends_and_a_new_one_takes_its_neighbours() -> None:
    data = b"A\r\nB\nC\r\n"
    assert merged(data, "A\nnew\nB\nC\n") == b"A\r\nnew\r\nB\nC\r\n"
    assert merged(data, "A\nB\nC") == b"A\r\nB\nC"
    assert merged(b"\xe9(1)\n", "\xe9(2)\n") == b"\xe9(2)\n"
