"""Every finding code has a page, and every page is whole."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from standclear.errors import StandclearError
from standclear.findings import pages
from standclear.findings.pages import codes, page, read_page

CURES = {"add", "move", "use", "check", "avoid", "fix", "set", "give", "state", "should", "must"}
"""Words with which a code would name a cure; a code names the flaw."""

SOUND = """# blank-odd

One line.

## What it checks

a

## Why it matters at the machine

b

## A program that draws it

c

## A better one

d

## Limits

e
"""


@pytest.mark.parametrize("code", codes())
def test_page_is_whole(code: str) -> None:
    found = page(code)
    assert found.code == code
    assert "\n" not in found.summary
    assert found.summary.endswith(".")
    assert "```" in found.bad and "```" in found.better
    assert found.bad != found.better
    assert found.checks and found.matters and found.limits


@pytest.mark.parametrize("code", codes())
def test_code_names_the_flaw(code: str) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)+", code)
    assert not CURES & set(code.split("-"))


@pytest.mark.parametrize("code", codes())
def test_figures_have_a_source(code: str) -> None:
    """Where a page leans on a norm or a custom, it says where the figure comes from."""
    found = page(code)
    leans = re.search(r"\b(ISO|2\.5 mm|25\.4|0\.005 mm|6366)", found.checks + found.matters)
    assert not leans or found.sources


def test_unknown_code_names_the_nearest() -> None:
    with pytest.raises(StandclearError, match="the nearest is 'rapid-into-metal'"):
        page("rapid-in-metal")
    with pytest.raises(KeyError):
        page("rapid-in-metal")


def test_every_file_is_listed() -> None:
    names = [entry.name for entry in files(pages).iterdir() if entry.name.endswith(".md")]
    assert len(names) == len(codes()) > 0


def test_sound_page_reads() -> None:
    assert read_page(SOUND).limits == "e"
    assert read_page(SOUND + "\n## Sources\n\nf\n").sources == "f"


@pytest.mark.parametrize(
    "fault",
    [
        SOUND.replace("## Limits", "## Notes"),
        SOUND.replace("\n## Limits\n\ne\n", ""),
        SOUND.replace("\ne\n", "\n"),
        SOUND.replace("One line.\n", ""),
    ],
)
def test_faulty_page_is_refused(fault: str) -> None:
    with pytest.raises(StandclearError, match="blank-odd"):
        read_page(fault)
