"""What the form asks for: each thing once, in words of the trade, and nothing red before typing."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from standclear.job.models import Tool
from standclear.page.entry.pictures import tool_words
from standclear.page.entry.render import section_of
from standclear.page.entry.table import SECTIONS
from standclear.tools.build import tool_shape

SETUPS = {"setup[0].@": "0", "setup[0].name": "front", "setup[1].@": "1", "setup[1].name": "back"}


@pytest.fixture
def look(client: TestClient) -> Any:
    """Looks at entries of a new job."""
    address = f"/job/{client.post('/new', json={'name': 'Pin'}).json()['ident']}/form"
    data = client.get(f"{address}.json").json()

    def looked(entries: dict[str, str]) -> dict[str, dict[str, Any]]:
        number = client.get(f"{address}.json").json()["draft"]
        body = {"entries": {**SETUPS, **entries}, "seen": data["seen"], "draft": number}
        answer = client.post(f"{address}/entries", json=body)
        assert answer.status_code == 200, answer.text
        return {each["name"]: each for each in answer.json()["problems"]}

    return looked


def test_a_part_given_as_steps_asks_for_steps_and_no_more(look: Any) -> None:
    before = look({})
    after = look({"part.given": "rows"})
    assert "part.given" in before and "part.given" not in after
    assert set(after) - set(before) == {"part.rows"}
    assert len(after) == len(before)


def test_a_tool_is_not_wrong_before_anything_can_be_typed(look: Any) -> None:
    row = {"tools[0].@": "+", "tools[0].station": "1"}
    for kind, asked in (
        ("", {"kind"}),
        ("insert", {"insert", "holder"}),
        ("drill", {"drill.diameter", "drill.length"}),
    ):
        found = look({**row, "units": "mm", **({"tools[0].kind": kind} if kind else {})})
        here = {name: each for name, each in found.items() if name.startswith("tools")}
        assert set(here) == {f"tools[0].{key}" for key in asked}
        assert all(each["missing"] for each in here.values()), here
    # Half given, the other half alone is asked for.
    half = {"tools[0].kind": "insert", "tools[0].insert": "CNMG120408", "units": "mm"}
    found = look({**row, **half})
    assert [name for name in found if name.startswith("tools")] == ["tools[0].holder"]


def test_part_zero_is_spoken_of_in_the_words_of_the_form(look: Any) -> None:
    found = look({"setup[0].zero.way": "touch", "setup[0].seat.on": "stick-out"})
    words = found["setup[0].zero.face_allowance"]["words"]
    assert words == "give how far the raw face stands out in front of part zero"
    found = look({"setup[0].zero.way": "stop", "setup[0].seat.on": "stick-out"})
    words = found["setup[0].seat.on"]["words"]
    assert "'fixed from the stop that the blank sits on' counts from the seat" in words
    assert all('way "' not in each["words"] for each in found.values())


def test_every_fold_says_what_it_hides() -> None:
    told = []

    def go(node: dict[str, Any]) -> None:
        more = node.get("more")
        if more:
            told.append(more["words"])
        inner = [*node.get("groups", ()), *node.get("rows", ())]
        for each in [*inner, *(more["groups"] if more else ())]:
            go(each)

    rows = {"setup[0].@": "+", "tools[0].@": "+"}
    for section in SECTIONS:
        for group in section_of(section, rows, {})["groups"]:
            go(group)
    assert "turned round or not, on flats, machine value of Z, loose metal, air wanted" in told
    assert all(3 < len(words) < 115 for words in told), told


def test_what_is_taken_on_trust_says_what_is_to_be_done() -> None:
    turning = Tool(station=1, insert="CNMG120408", holder="PCLNR2525M12")
    drill = Tool.model_validate({"station": 2, "drill": {"diameter": 14.0, "length": 60.0}})
    words = [tool_words(tool, tool_shape(tool)) for tool in (turning, drill)]
    assert "holder drawn from its designation: compare width, length and head" in words[0]
    assert "holder of the drill taken as" in words[1] and words[1].endswith(
        "measure it on the tool"
    )
    assert all("verify" not in each for each in words)
