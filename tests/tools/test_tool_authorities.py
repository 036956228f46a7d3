"""Every table of outside values of tools states its origin and is used."""

from pathlib import Path

import pytest
from tool_authority import FILES, authority, keys


@pytest.mark.parametrize("name", FILES)
def test_every_table_is_read_by_a_test(name: str) -> None:
    assert authority(name)["origin"].strip()
    here = Path(__file__).parent
    readers = [
        text
        for text in (path.read_text(encoding="utf-8") for path in here.glob("test_*.py"))
        if f'authority("{name}")' in text
    ]
    unread = {key for key in keys(name) if not any(f'["{key}"]' in text for text in readers)}
    assert not unread
