"""Two ends with a program each: which set-up takes the second, and when one runs in both."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from starlette.testclient import TestClient
from tests.page.entry.entry_shop import EXAMPLES

from standclear.page.entry.sharing import whole_again

ONE_END = b"""%
O1 (FACE)
G21 G54
G28 U0 W0
T0101
G96 S150 M03
G00 X54. Z0.
G01 X-1.6 F0.2
G00 Z5.
G28 U0 W0
M30
%
"""
"""A program without a stop, as each end of a part may have."""
OTHER_END = ONE_END.replace(b"X54.", b"X52.")


def entries_in(client: TestClient, address: str) -> tuple[dict[str, str], dict[str, Any]]:
    """What stands in the set-ups, and the whole answer."""
    data = dict(client.get(f"{address}.json").json())
    found = {}
    for section in data["sections"]:
        for group in section["groups"]:
            for row in group["rows"] if group["name"] == "setup" else ():
                found |= {field["name"]: field["value"] for field in row["fields"]}
                marks = [inner for inner in row["groups"] if inner["name"].endswith(("rt", "nd"))]
                found |= {f["name"]: f["value"] for inner in marks for f in inner["fields"]}
    return found, data


def dropped(client: TestClient, address: str, name: str, program: bytes) -> dict[str, Any]:
    number = client.get(f"{address}.json").json()["draft"]
    answer = client.post(f"{address}/drop?name={name}&draft={number}", content=program)
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def begun(client: TestClient) -> str:
    return f"/job/{client.post('/new', json={'name': 'Two ends'}).json()['ident']}/form"


def test_a_second_program_goes_to_the_second_set_up_as_a_guess(client: TestClient) -> None:
    address = begun(client)
    first = dropped(client, address, "front.nc", ONE_END)
    # One program in both ends, nothing told of where each begins: said beside the second.
    (warning,) = first["warnings"]
    assert warning["name"] == "setup[1].program"
    assert warning["words"].startswith("set-up 1 runs all of it too: ")
    second = dropped(client, address, "back.nc", OTHER_END)
    found, data = entries_in(client, address)
    assert (found["setup[0].program"], found["setup[1].program"]) == ("front.nc", "back.nc")
    assert second["warnings"] == []
    assert "back.nc is in the folder and in set-up 2, which had front.nc" in second["told"]
    assert second["focus"] == "guesses"
    (guess,) = [each for each in data["guesses"] if each["key"] == "setup[1].program"]
    assert guess["value"] == "back.nc" and "front.nc" in guess["because"]
    # A third has no place: it is said, and nothing is changed.
    third = dropped(client, address, "third.nc", ONE_END.replace(b"X54.", b"X50."))
    assert "No set-up uses it: choose it" in third["told"]
    after, _ = entries_in(client, address)
    assert [after[f"setup[{i}].program"] for i in (0, 1)] == ["front.nc", "back.nc"]


def test_a_guess_of_the_draft_that_is_changed_is_the_setters_own(client: TestClient) -> None:
    address = begun(client)
    dropped(client, address, "front.nc", ONE_END)
    dropped(client, address, "back.nc", OTHER_END)
    _, data = entries_in(client, address)
    guesses = {f"guesses[{g['index']}]": g["key"] for g in data["guesses"]}
    guesses |= {f"guesses[{g['index']}].@": "+" for g in data["guesses"]}
    assert "setup[1].program" in guesses.values()
    entries = {"setup[0].@": "0", "setup[1].@": "1", **guesses}
    entries |= {"setup[0].name": "front", "setup[1].name": "back", "setup[0].program": "back.nc"}
    body = {"entries": {**entries, "setup[1].program": "front.nc"}, "seen": data["seen"]}
    answer = client.post(f"{address}/entries", json={**body, "draft": data["draft"]}).json()
    _, data = entries_in(client, address)
    assert "setup[1].program" not in [each["key"] for each in data["guesses"]]
    # The browser goes on sending it until the form is drawn again.
    answer = client.post(f"{address}/entries", json={**body, "draft": answer["draft"]}).json()
    _, data = entries_in(client, address)
    assert "setup[1].program" not in [each["key"] for each in data["guesses"]]


def test_a_program_with_a_stop_parts_its_two_ends(client: TestClient) -> None:
    address = begun(client)
    program = (EXAMPLES / "demo-pin/pin.nc").read_bytes()
    assert dropped(client, address, "pin.nc", program)["warnings"] == []
    # Both run a part of it: another program is not put in place of either.
    told = dropped(client, address, "other.nc", ONE_END)["told"]
    found, _ = entries_in(client, address)
    assert found["setup[0].program"] == found["setup[1].program"] == "pin.nc"
    assert "No set-up uses it" in told


def test_which_set_ups_run_all_that_an_earlier_one_runs() -> None:
    rows = {f"setup[{i}].@": "+" for i in (0, 2, 3)}
    same = {f"setup[{i}].program": "a.nc" for i in (0, 2, 3)}
    assert whole_again({**rows, **same}) == [(2, 0), (3, 0)]
    assert whole_again({**rows, **same, "setup[2].start.at": "stop"}) == [(3, 0)]
    assert whole_again({**rows, **same, "setup[0].end.at": "label"}) == [(3, 2)]
    assert whole_again({**rows, "setup[0].program": "", "setup[2].program": ""}) == []


def test_the_demo_has_nothing_to_warn_of(client: TestClient, shop: Path) -> None:
    assert client.get("/job/demo-pin/form.json").json()["warnings"] == []


def test_a_tool_that_a_comment_names_is_offered_as_a_guess(client: TestClient) -> None:
    address = begun(client)
    program = ONE_END.replace(b"T0101", b"(SNMG120412 PSSNR2525M12)\nT0303")
    dropped(client, address, "front.nc", program)
    data = client.get(f"{address}.json").json()
    (tools,) = [s["groups"][0] for s in data["sections"] if s["name"] == "tools"]
    found = {field["name"]: field["value"] for field in tools["rows"][0]["fields"]}
    assert found["tools[0].station"] == "3"
    assert found["tools[0].insert"] == "SNMG120412"
    assert found["tools[0].holder"] == "PSSNR2525M12"
    (guess,) = [each for each in data["guesses"] if each["key"] == "tools.T3"]
    assert guess["name"] == "tools[0]"
    assert "SNMG120412, PSSNR2525M12" in guess["value"]
    assert "its insert and holder are in its comment" in guess["because"]
