"""The form over the page's own addresses: drafts, rows, guesses, files dropped, saving."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import ezdxf
from starlette.testclient import TestClient
from tests.page.entry.entry_shop import EXAMPLES

from standclear.job.read import read_job

PIN = "/job/demo-pin/form"
UNTOUCHED = (EXAMPLES / "demo-pin/job.toml").read_bytes()


def form_of(client: TestClient, address: str = PIN) -> dict[str, Any]:
    answer = client.get(f"{address}.json")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def entries_in(data: dict[str, Any]) -> dict[str, str]:
    """The entries as the fields of the page hold them."""
    found: dict[str, str] = {}

    def go(node: dict[str, Any]) -> None:
        if node.get("ghost"):
            return
        if "marker" in node:
            found[node["marker"]] = node["began"]
        for field in node.get("fields", []):
            if field["value"]:
                found[field["name"]] = field["value"]
        for inner in [*node.get("groups", []), *node.get("rows", [])]:
            go(inner)
        if node.get("more"):
            go(node["more"])

    for section in data["sections"]:
        go(section)
    for guess in data["guesses"]:
        found[f"guesses[{guess['index']}]"] = guess["key"]
        found[f"guesses[{guess['index']}].@"] = str(guess["index"])
    return found


def sent(client: TestClient, what: str, data: dict[str, Any], **more: Any) -> Any:
    body = {"entries": entries_in(data), "seen": data["seen"], "draft": data["draft"], **more}
    return client.post(f"{PIN}/{what}", json=body)


def test_the_form_shows_the_job_and_finds_nothing_wrong(client: TestClient) -> None:
    data = form_of(client)
    assert data["problems"] == []
    assert data["draft"] == 0
    page = client.get(f"{PIN}/")
    assert page.status_code == 200
    assert 'value="48"' in page.text and "Diameter of the bar" in page.text
    assert "style=" not in page.text


def test_typing_keeps_a_draft_and_leaves_the_files_alone(client: TestClient, shop: Path) -> None:
    before = {p: p.read_bytes() for p in (shop / "demo-pin").iterdir() if p.is_file()}
    data = form_of(client)
    entries = {**entries_in(data), "blank.size": "5x"}
    answer = client.post(
        f"{PIN}/entries", json={"entries": entries, "seen": data["seen"], "draft": 0}
    ).json()
    assert answer["draft"] == 1
    (problem,) = answer["problems"]
    assert problem["name"] == "blank.size"
    assert problem["words"] == '"5x": give a number such as 52.5'
    again = form_of(client)
    assert entries_in(again)["blank.size"] == "5x"
    assert {p: p.read_bytes() for p in before} == before
    # Put back as it was, nothing is left to be kept.
    undone = client.post(
        f"{PIN}/entries", json={"entries": entries_in(data), "seen": data["seen"], "draft": 1}
    ).json()
    assert undone["draft"] == 0
    assert not list((shop / "demo-pin" / ".form").iterdir())


def test_saving_writes_the_job_and_keeps_what_was_there(client: TestClient, shop: Path) -> None:
    path = shop / "demo-pin" / "job.toml"
    before = path.read_bytes()
    data = form_of(client)
    entries = {**entries_in(data), "blank.size": "52"}
    answer = client.post(f"{PIN}/save", json={"entries": entries, "seen": data["seen"], "draft": 0})
    assert answer.status_code == 200, answer.text
    assert path.read_text("utf-8") == before.decode().replace("\nsize = 48.0\n", "\nsize = 52.0\n")
    assert [p.read_bytes() for p in (path.parent / "earlier").iterdir()] == [before]
    assert read_job(path).job.blank.size == 52.0


def test_tools_in_a_file_of_their_own_are_saved_there(client: TestClient, shop: Path) -> None:
    data = form_of(client)
    entries = {**entries_in(data), "tools[0].greatest_depth": "2.5"}
    client.post(f"{PIN}/save", json={"entries": entries, "seen": data["seen"], "draft": 0})
    text = (shop / "demo-pin" / "tools.toml").read_text("utf-8")
    assert "greatest_depth = 2.5" in text and "# Measured from the controlled point" in text
    assert (shop / "demo-pin/job.toml").read_bytes() == (
        EXAMPLES / "demo-pin/job.toml"
    ).read_bytes()


def test_what_cannot_be_read_is_not_saved(client: TestClient, shop: Path) -> None:
    data = form_of(client)
    entries = {**entries_in(data), "blank.size": "wide"}
    answer = client.post(f"{PIN}/save", json={"entries": entries, "seen": data["seen"], "draft": 0})
    assert answer.status_code == 422
    assert '"wide": give a number' in answer.json()["error"]
    assert (shop / "demo-pin/job.toml").read_bytes() == (
        EXAMPLES / "demo-pin/job.toml"
    ).read_bytes()


def test_a_file_changed_elsewhere_is_told_and_nothing_is_lost(
    client: TestClient, shop: Path
) -> None:
    data = form_of(client)
    path = shop / "demo-pin" / "job.toml"
    other = path.read_text("utf-8").replace("length = 83.0", "length = 84.0")
    path.write_text(other, "utf-8")
    entries = {**entries_in(data), "blank.size": "52"}
    body = {"entries": entries, "seen": data["seen"], "draft": 0}
    answer = client.post(f"{PIN}/entries", json=body).json()
    assert answer["changed"] == ["job.toml"]
    refused = client.post(f"{PIN}/save", json={**body, "draft": answer["draft"]})
    assert refused.status_code == 409
    assert path.read_text("utf-8") == other
    assert any("refused" in p.name for p in (path.parent / "earlier").iterdir())
    # Put over it all the same, knowing what is there now.
    kept = client.post(
        f"{PIN}/save", json={**body, "seen": answer["now"], "draft": answer["draft"]}
    )
    assert kept.status_code == 200
    assert "size = 52.0" in path.read_text("utf-8")


def test_a_second_tab_is_told(client: TestClient) -> None:
    data = form_of(client)
    one = {**entries_in(data), "blank.size": "50"}
    two = {**entries_in(data), "blank.size": "51"}
    first = client.post(f"{PIN}/entries", json={"entries": one, "seen": data["seen"], "draft": 0})
    assert first.status_code == 200
    second = client.post(f"{PIN}/entries", json={"entries": two, "seen": data["seen"], "draft": 0})
    assert second.status_code == 409
    assert "another tab" in second.json()["error"]
    assert entries_in(form_of(client))["blank.size"] == "50"


def test_rows_are_put_in_taken_out_and_renumbered(client: TestClient) -> None:
    data = form_of(client)
    added = sent(client, "act", data, act="add", name="tools").json()
    assert added["focus"] == "tools[2].kind"
    again = form_of(client)
    assert entries_in(again)["tools[2].station"] == "3"
    removed = client.post(
        f"{PIN}/act",
        json={
            "entries": entries_in(again),
            "seen": again["seen"],
            "draft": again["draft"],
            "act": "remove",
            "name": "tools[0]",
        },
    )
    assert removed.status_code == 200
    left = entries_in(form_of(client))
    assert [left[f"tools[{i}].station"] for i in range(2)] == ["2", "3"]
    assert "tools[2].@" not in left
    assert left["tools[0].@"] == "1"


def test_acts_on_no_place_of_the_form_are_refused(client: TestClient) -> None:
    data = form_of(client)
    for act, name in (("add", "blank"), ("add", "nothing"), ("remove", "blank.size"), ("x", "y")):
        assert sent(client, "act", data, act=act, name=name).status_code == 400
    assert client.post(f"{PIN}/entries", json={"entries": [1]}).status_code == 400
    assert client.post("/job/none/form/entries", json={"entries": {}}).status_code == 404


def test_a_new_job_has_a_folder_of_its_own(client: TestClient, shop: Path) -> None:
    answer = client.post("/new", json={"name": "Bush 40 / 25 x 32"})
    assert answer.status_code == 201
    ident = answer.json()["ident"]
    assert (shop / ident / "job.toml").read_text("utf-8").count("Bush 40 / 25 x 32") == 1
    twin = client.post("/new", json={"name": "Bush 40 / 25 x 32"}).json()["ident"]
    assert twin != ident
    assert client.post("/new", json={"name": "  "}).status_code == 422
    assert client.post("/new", json={"name": "../../etc"}).status_code == 201
    assert not (shop.parent / "etc").exists()
    data = form_of(client, f"/job/{ident}/form")
    assert data["wrong"] == 0
    assert {"units", "blank.size", "part.given"} <= {p["name"] for p in data["problems"]}


def test_guesses_are_confirmed_one_by_one_or_by_being_changed(
    client: TestClient, shop: Path
) -> None:
    program = (EXAMPLES / "demo-pin/pin.nc").read_bytes()
    ident = client.post("/program?name=bolt.nc", content=program).json()["ident"]
    address = f"/job/{ident}/form"
    data = form_of(client, address)
    assert data["open_guesses"] == 16
    body = {"entries": entries_in(data), "seen": data["seen"], "draft": 0}
    client.post(f"{address}/act", json={**body, "act": "confirm", "name": "guesses[0]"})
    data = form_of(client, address)
    assert "blank.size" not in [guess["key"] for guess in data["guesses"]]
    entries = {**entries_in(data), "setup[1].zero.way": "finished-on-stop"}
    body = {"entries": entries, "seen": data["seen"], "draft": data["draft"]}
    answer = client.post(f"{address}/entries", json=body).json()
    assert answer["open_guesses"] == 14
    client.post(f"{address}/save", json={**body, "draft": answer["draft"]})
    job = read_job(next(shop.rglob("bolt*.job.toml"))).job
    assert "setup[1].zero.way" not in job.guesses and "blank.size" not in job.guesses
    assert "blank.length" in job.guesses


def test_a_program_dropped_fills_what_is_empty_and_marks_it(client: TestClient, shop: Path) -> None:
    ident = client.post("/new", json={"name": "Pin"}).json()["ident"]
    address = f"/job/{ident}/form"
    entries = {"setup[0].@": "+", "setup[0].name": "front", "setup[1].@": "+"}
    entries |= {"setup[1].name": "back", "setup[0].zero.way": "touch", "units": "mm"}
    data = form_of(client, address)
    body = {"entries": entries, "seen": data["seen"], "draft": 0}
    draft = client.post(f"{address}/entries", json=body).json()["draft"]
    program = (EXAMPLES / "demo-pin/pin.nc").read_bytes()
    answer = client.post(f"{address}/drop?name=pin.nc&draft={draft}", content=program)
    assert answer.status_code == 200, answer.text
    assert (shop / ident / "pin.nc").read_bytes() == program
    now = form_of(client, address)
    found = entries_in(now)
    assert found["setup[0].program"] == found["setup[1].program"] == "pin.nc"
    assert found["setup[0].name"] == "front"
    assert found["setup[1].start.stop"] == "1"
    assert found["setup[1].offset"] == "G55"
    assert [found[f"tools[{i}].station"] for i in (0, 1)] == ["1", "2"]
    assert found["machine.control.cycle_words"] == "cycles-g90"
    # Sizes, shapes and zeros are for whoever knows them.
    untold = ("setup[0].zero.face_allowance", "setup[1].zero.way", "tools[0].insert", "blank.size")
    assert not found.keys() & set(untold)
    assert "setup[1].start" in [guess["key"] for guess in now["guesses"]]
    # The same name with other text is refused, and the file stays.
    other = client.post(f"{address}/drop?name=pin.nc&draft={now['draft']}", content=b"G00 X1.\n")
    assert other.status_code == 409
    assert (shop / ident / "pin.nc").read_bytes() == program
    for name in ("../x.nc", "job.toml", ".x", ""):
        bad = client.post(f"{address}/drop?name={name}&draft={now['draft']}", content=b"G00 X1.\n")
        assert bad.status_code == 422, name


def test_a_drawing_dropped_becomes_steps(client: TestClient) -> None:
    document = ezdxf.new()
    document.header["$INSUNITS"] = 4
    points = [(0.0, 13.0), (-1.0, 14.0), (-22.0, 14.0), (-22.0, 19.0), (-60.0, 19.0)]
    document.modelspace().add_lwpolyline(points)
    stream = io.StringIO()
    document.write(stream)
    answer = client.post(f"{PIN}/drop?name=pin.DXF&draft=0", content=stream.getvalue().encode())
    assert answer.status_code == 200, answer.text
    found = entries_in(form_of(client))
    assert found["part.given"] == "rows"
    assert found["part.rows[0].front"] == "1"
    assert (found["part.rows[1].diameter"], found["part.rows[1].length"]) == ("38", "38")
    bad = client.post(f"{PIN}/drop?name=pin.dxf&draft=9", content=b"no drawing")
    assert bad.status_code == 422 and "DXF" in bad.json()["error"]


def test_words_of_a_job_are_never_markup(client: TestClient, shop: Path) -> None:
    path = shop / "demo-pin" / "job.toml"
    text = path.read_text("utf-8").replace("Stepped pin 45 x 79", "</script><b>pin</b>'\\\"")
    path.write_text(text, "utf-8")
    page = client.get(f"{PIN}/").text
    assert "<b>pin</b>" not in page
    data = re.search(r'<script type="application/json" id="told-first">(.*?)</script>', page, re.S)
    assert data is not None and json.loads(data[1])["problems"] == []


def test_a_job_file_that_is_no_toml_is_told_with_its_line(client: TestClient, shop: Path) -> None:
    (shop / "demo-pin" / "job.toml").write_text("title = 'x'\nblank\n", "utf-8")
    answer = client.get(f"{PIN}.json")
    assert answer.status_code == 422
    assert "line 2" in answer.json()["error"]


def test_lathe_tools_and_jaws_are_taken_from_another_job(client: TestClient) -> None:
    ident = client.post("/new", json={"name": "Next pin"}).json()["ident"]
    address = f"/job/{ident}/form"

    def take(name: str, lender: str, extra: dict[str, str]) -> Any:
        data = form_of(client, address)
        body = {"entries": {**entries_in(data), **extra}, "seen": data["seen"]}
        body |= {"draft": data["draft"], "act": "take", "name": name, "from": lender}
        return client.post(f"{address}/act", json=body)

    assert take("tools", "demo-pin", {}).status_code == 422  # in which unit is this job?
    assert take("blank", "demo-pin", {"units": "mm"}).status_code == 400
    assert take("tools", "nothing", {"units": "mm"}).status_code == 404
    refused = take("tools", "inch-flange", {"units": "mm"})
    assert refused.status_code == 422 and "another unit" in refused.json()["error"]
    own = {"units": "mm", "machine.home": "unknown", "machine.control.arc_centre": "absolute"}
    assert take("machine", "demo-pin", own).status_code == 200
    assert take("jaws", "demo-pin", {}).status_code == 200
    tools = {"tools[0].@": "+", "tools[0].station": "2", "tools[0].name": "mine"}
    assert take("tools", "demo-pin", tools).status_code == 200
    found = entries_in(form_of(client, address))
    theirs = entries_in(form_of(client))
    assert found["machine.home"] == "unknown"
    assert found["machine.control.arc_centre"] == "absolute"
    assert found["machine.control.cycle_words"] == theirs["machine.control.cycle_words"]
    assert found["jaws.rows[1].height"] == theirs["setup[0].jaws.rows[1].height"]
    assert found["tools[0].name"] == "mine"
    assert found["tools[0].outline.cutting"] == theirs["tools[1].outline.cutting"]
    assert "tools[1].@" not in found


def test_a_key_that_no_field_has_is_told_and_can_be_taken_out(
    client: TestClient, shop: Path
) -> None:
    path = shop / "demo-pin" / "job.toml"
    text = path.read_text("utf-8").replace("material =", "sise = 40.0\nmaterial =")
    path.write_text(text, "utf-8")
    tools = path.with_name("tools.toml")
    tools.write_text(tools.read_text("utf-8").replace("station = 2", "station = 2\nwaer = 1.0"))
    for name in ("blank.sise", "tools[1].waer"):
        data = form_of(client)
        told = [each for each in data["problems"] if each["forget"] == name]
        assert len(told) == 1 and "is not a known key: did you mean" in told[0]["words"]
        body = {"entries": {**entries_in(data), **dict.fromkeys(data["forgotten"], "yes")}}
        body |= {"seen": data["seen"], "draft": data["draft"], "act": "forget", "name": name}
        assert client.post(f"{PIN}/act", json=body).status_code == 200
    data = form_of(client)
    assert data["problems"] == []
    body = {"entries": {**entries_in(data), **dict.fromkeys(data["forgotten"], "yes")}}
    body |= {"seen": data["seen"], "draft": data["draft"]}
    assert client.post(f"{PIN}/save", json=body).status_code == 200
    assert path.read_bytes() == UNTOUCHED
    assert tools.read_bytes() == (EXAMPLES / "demo-pin/tools.toml").read_bytes()


def test_the_steps_of_a_part_settle_its_guessed_length(client: TestClient, shop: Path) -> None:
    """Guessed is what the deepest cuts of both ends add up to; the drawing's steps say better."""
    program = (EXAMPLES / "demo-pin/pin.nc").read_bytes()
    ident = client.post("/program?name=bolt.nc", content=program).json()["ident"]
    address = f"/job/{ident}/form"
    data = form_of(client, address)
    guessed = {guess["key"] for guess in data["guesses"]}
    assert "part.length" in guessed
    rows = {"part.given": "rows", "part.rows[0].@": "+", "part.rows[0].diameter": "45"}
    entries = {**entries_in(data), **rows, "part.rows[0].length": "79"}
    body = {"entries": entries, "seen": data["seen"], "draft": 0}
    answer = client.post(f"{address}/entries", json=body).json()
    assert answer["open_guesses"] == len(guessed) - 1
    data = form_of(client, address)
    assert "part.length" not in {guess["key"] for guess in data["guesses"]}
    client.post(f"{address}/save", json={**body, "draft": answer["draft"]})
    job = read_job(next(shop.rglob("bolt*.job.toml"))).job
    assert job.part.length == 79.0 and "part.length" not in job.guesses


def test_guesses_of_tools_say_what_they_measure(client: TestClient) -> None:
    program = b"G21 G40 G99 G54\nT0303\nG97 S900 M03\nG00 X0. Z5.\nG01 Z-20. F0.1\nG00 Z5.\nM30\n"
    ident = client.post("/program?name=hole.nc", content=program).json()["ident"]
    data = form_of(client, f"/job/{ident}/form")
    entries = entries_in(data)
    (drill,) = (g for g in data["guesses"] if g["value"].startswith("drill"))
    assert f"diameter {entries['tools[0].drill.diameter']}" in drill["value"]
