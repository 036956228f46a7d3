"""The panels of the bench: the same answers as the command line, for the blank as it is dragged."""

from __future__ import annotations

import json
import threading
import time
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

import standclear
from standclear.page.worked.subjects import SUBJECTS
from standclear.plan.amend.amend import Edit, Level
from standclear.plan.amend.pieces import with_pieces
from standclear.plan.setting.orders import orders_of
from standclear.report.plan.orders import order_lines

ROOT = Path(__file__).parents[2]
PIN = "/job/demo-pin"


def words(answer: dict[str, list[dict[str, str]]]) -> str:
    return "\n".join(line["text"] for line in answer["lines"])


@pytest.mark.parametrize("subject", [each.key for each in SUBJECTS])
def test_every_answer_comes_as_lines_and_as_a_page(client: TestClient, subject: str) -> None:
    told = client.get(f"{PIN}/worked/{subject}.json")
    assert told.status_code == 200
    assert words(told.json())
    whole = client.get(f"{PIN}/worked/{subject}", headers={"accept": "text/html"})
    assert whole.status_code == 200
    assert told.json()["lines"][0]["text"] in whole.text


def test_an_answer_follows_what_is_dragged(client: TestClient) -> None:
    """The first pass of the roughing cycle is in air on bar 48 and in metal on bar 50."""
    filed = words(client.get(f"{PIN}/worked/time.json").json())
    thicker = words(client.get(f"{PIN}/worked/time.json?bar=50").json())
    assert "G71 with T01, line 15: 17.6 s in air" in filed
    assert "G71 with T01, line 15: 17.6 s in air" not in thicker


@pytest.mark.parametrize(
    ("path", "status", "said"),
    [
        ("worked/nothing.json", 404, "There is no answer nothing"),
        ("worked/time.json?bar=x", 400, "not a number"),
        ("worked/time.json?bar=900", 422, "bar"),
        ("maps.json?color=3", 422, "color"),
    ],
)
def test_what_cannot_be_asked_is_said(
    client: TestClient, path: str, status: int, said: str
) -> None:
    told = client.get(f"{PIN}/{path}")
    assert told.status_code == status
    assert said in told.text


def test_maps_say_where_the_blank_stands_and_which_way_is_which(client: TestClient) -> None:
    """Bar 48, face 2.0 and length 83; the back has 83 - 2 - 79 = 2."""
    told = client.get(f"{PIN}/maps.json").json()
    assert [m["across"] for m in told["maps"]] == ["face", "", "length"]
    assert [m["at"] for m in told["maps"]] == [[2.0, 48.0], [2.0, 48.0], [83.0, 48.0]]
    assert all(m["svg"].startswith("<svg") for m in told["maps"])
    assert told["rack"] is False


def test_the_budget_moves_the_blank_in_the_maps(client: TestClient) -> None:
    """Length 86.5 with 2.0 in front leaves 5.5 at the back."""
    told = client.get(f"{PIN}/budget.json?length=86.5").json()
    assert [spot[0] for spot in told["at"]] == pytest.approx([2.0, 5.5, 86.5])
    assert [grip["key"] for grip in told["grips"]] == ["face", "length"]


def test_a_rack_beside_the_job_is_told_of_and_its_faults_too(
    client: TestClient, shop: Path
) -> None:
    (shop / "demo-pin" / "rack.toml").write_text("nonsense = 1\n")
    assert client.get(f"{PIN}/maps.json").json()["rack"] is True
    told = client.get(f"{PIN}/rack.json")
    assert told.status_code == 422
    assert "rack.toml" in told.text


def test_sizes_of_the_first_part_make_a_change(client: TestClient) -> None:
    """The back end 0.12 long: its zero goes 0.12 nearer the spindle."""
    table = "name,measured\nback shoulder,52.12\nwhole part,79.12\n"
    told = client.post(f"{PIN}/first-part", json={"table": table})
    assert told.status_code == 200
    assert told.json()["settled"] is True
    assert "G55, Z: -0.12 mm" in words(told.json())


@pytest.mark.parametrize(
    ("path", "table", "said"),
    [
        ("first-part", "name,measured\nnonsense,52\n", "line 2"),
        ("first-part", "name\nwhole part\n", "heading"),
        ("box", "name,diameter,length\n1,x,83\n", "line 2"),
        ("box", "", "empty"),
    ],
)
def test_a_fault_in_a_table_names_its_line(
    client: TestClient, path: str, table: str, said: str
) -> None:
    told = client.post(f"{PIN}/{path}", json={"table": table})
    assert told.status_code == 422
    assert said in told.text


def test_a_table_that_is_none_or_too_long_is_refused(client: TestClient) -> None:
    assert client.post(f"{PIN}/box", json={"table": 3}).status_code == 400
    assert client.post(f"{PIN}/box", json={"table": "x" * 300_000}).status_code == 413


def test_a_box_is_sorted(client: TestClient) -> None:
    told = client.post(f"{PIN}/box", json={"table": "name,diameter,length\n1,48.0,83.0\n"})
    assert told.json()["settled"] is True


def test_a_sheet_comes_as_pdf_of_the_blank_on_the_bench(client: TestClient) -> None:
    told = client.get(f"{PIN}/sheet.pdf?bar=52&paper=letter")
    assert told.status_code == 200
    assert told.headers["content-type"] == "application/pdf"
    pages = PdfReader(BytesIO(told.content)).pages
    assert all("NOT PROVEN" in page.extract_text() for page in pages)
    assert float(pages[0].mediabox.width) == pytest.approx(612.0, abs=0.5)


@pytest.mark.parametrize(
    ("query", "status"), [("shift.1=0.5", 422), ("paper=a5", 400), ("practice=yes", 400)]
)
def test_a_sheet_that_would_name_other_files_is_not_made(
    client: TestClient, query: str, status: int
) -> None:
    assert client.get(f"{PIN}/sheet.pdf?{query}").status_code == status


def edit(line: int, column: int, old: str, new: str) -> Edit:
    return Edit("front", "p.nc", line, column, old, new, "", "", Level.AIR, "")


def test_pieces_change_their_words_alone() -> None:
    text = b"%\r\nN10 G00 X51. Z5.\r\nG71\n(\xd8)\r\n"
    taken = with_pieces(text, [edit(2, 9, "X51.", "X55."), edit(3, 1, "", "G00 X60.\nZ2.")])
    assert taken == b"%\r\nN10 G00 X55. Z5.\r\nG00 X60.\r\nZ2.\r\nG71\n(\xd8)\r\n"


def test_two_words_of_one_block_and_a_block_in_front_of_it() -> None:
    text = b"G00 X51. Z5.\nG71\n"
    taken = with_pieces(
        text, [edit(1, 10, "Z5.", "Z12."), edit(1, 5, "X51.", "X5."), edit(2, 1, "", "G40")]
    )
    assert taken == b"G00 X5. Z12.\nG40\nG71\n"


def test_a_piece_of_another_text_is_refused() -> None:
    with pytest.raises(ValueError, match="does not stand"):
        with_pieces(b"G00 X52.\n", [edit(1, 5, "X51.", "X55.")])


def test_changes_are_found_proved_in_part_and_written_to_a_new_file(
    client: TestClient, shop: Path
) -> None:
    """Bar 52 asks for the clearance point of each end; with one of them alone the other strikes."""
    program = shop / "demo-pin" / "pin.nc"
    before = program.read_bytes()
    values = {"bar": 52.0}
    found = client.post(f"{PIN}/changes/look", json={"values": values}).json()
    assert found["before"] == "contact"
    assert [(e["line"], e["old"]) for e in found["edits"]] == [(10, "X51."), (40, "X51.")]
    # The pieces are not said twice, and no heading stands without its lines.
    assert "pin.nc line 10" not in words(found)
    heads = [n for n, line in enumerate(found["lines"]) if line["role"] == "heading"]
    assert heads and all(found["lines"][n + 1]["indent"] > 0 for n in heads)
    assert "Guard closed before the spindle turns." in words(found)
    part = client.post(f"{PIN}/changes/proved/look", json={"values": values, "pieces": [0]}).json()
    assert part["verdict"] == "contact"
    wrote = client.post(f"{PIN}/changes/write", json={"values": values, "pieces": [0, 1]}).json()
    assert wrote["verdict"] == "clear"
    assert wrote["written"] == ["pin.amended.nc"]
    assert wrote["use"] == {"pin.nc": "pin.amended.nc"}
    assert program.read_bytes() == before
    amended = (shop / "demo-pin" / "pin.amended.nc").read_bytes()
    changed = [
        (a, b) for a, b in zip(before.splitlines(), amended.splitlines(), strict=True) if a != b
    ]
    assert [b.count(b"X51.") for _, b in changed] == [0, 0]
    again = client.post(f"{PIN}/changes/write", json={"values": values, "pieces": [0, 1]}).json()
    assert again["written"] == ["pin.amended-2.nc"]


def test_nothing_taken_is_nothing_written(client: TestClient) -> None:
    told = client.post(f"{PIN}/changes/write", json={"values": {}, "pieces": []})
    assert told.status_code == 422
    assert json.loads(told.text)["error"].startswith("No piece is taken")


def test_rapids_that_are_not_counted_are_not_said_to_take_no_time(
    client: TestClient, shop: Path
) -> None:
    assert [row.count("not known") for row in _rows_of_tools(client)] == [0] * 4
    machine = shop / "demo-pin" / "machine.toml"
    text = machine.read_text()
    kept = [line for line in text.splitlines() if not line.startswith("rapid_")]
    # The way of rapids stays stated; only how fast they are goes.
    kept.insert(3, 'rapid_path = "straight"')
    machine.write_text("\n".join(kept) + "\n")
    assert [row.count("not known") for row in _rows_of_tools(client)] == [1] * 4


def _rows_of_tools(client: TestClient) -> list[str]:
    lines = client.get(f"{PIN}/worked/time.json").json()["lines"]
    return [line["text"] for line in lines if line["text"].startswith("T0")]


def test_the_words_of_time_and_load_stand_above_their_picture(client: TestClient) -> None:
    for subject in ("time", "load"):
        text = client.get(f"{PIN}/worked/{subject}", headers={"accept": "text/html"}).text
        assert text.index('class="worked-line') < text.index("<svg", text.index("<main"))


def test_the_job_is_put_onto_the_amended_program_and_what_it_was_is_kept(
    client: TestClient, shop: Path
) -> None:
    job = shop / "demo-pin" / "job.toml"
    before = job.read_text()
    values = {"bar": 52.0}
    wrote = client.post(f"{PIN}/changes/write", json={"values": values}).json()
    revision = client.get(f"{PIN}/state").json()["revision"]
    told = {"values": values, "use": wrote["use"], "revision": revision}
    stale = client.post(f"{PIN}/changes/use", json={**told, "revision": "older"})
    assert stale.status_code == 409 and job.read_text() == before
    strange = client.post(f"{PIN}/changes/use", json={**told, "use": {"pin.nc": "none.nc"}})
    assert strange.status_code == 422 and "none.nc" in strange.json()["error"]
    outside = client.post(f"{PIN}/changes/use", json={**told, "use": {"pin.nc": "../../x.nc"}})
    assert outside.status_code == 422 and job.read_text() == before
    used = client.post(f"{PIN}/changes/use", json=told).json()
    # The program's name alone is another one; the bar goes on being dragged.
    assert used == {"file": "job.toml", "values": values}
    assert job.read_text() == before.replace('"pin.nc"', '"pin.amended.nc"')
    kept = list((shop / "demo-pin" / "earlier").glob("job.toml.*"))
    assert [path.read_text() for path in kept] == [before]
    answer = client.post(f"{PIN}/look", json={"values": values}).json()
    assert answer["word"] == "clear"
    assert (shop / "demo-pin" / "pin.nc").read_text().count("X51.") > 0


def test_a_search_is_stopped_and_begun_anew(client: TestClient) -> None:
    values = {"bar": 52.0}
    ended: list[int] = []

    def look() -> None:
        ended.append(client.post(f"{PIN}/changes/look", json={"values": values}).status_code)

    waiting = threading.Thread(target=look)
    waiting.start()
    deadline = time.monotonic() + 60
    stopped = False
    while not stopped and time.monotonic() < deadline:
        stop = client.post(f"{PIN}/changes/stop/look", json={"values": values}).json()
        stopped = stop["stopped"]
    waiting.join(60)
    assert stopped and ended == [409]
    assert not client.post(f"{PIN}/changes/stop/look", json={"values": values}).json()["stopped"]
    # The bench is asked while a search runs, and is answered first.
    again = threading.Thread(target=look)
    again.start()
    assert client.post(f"{PIN}/look", json={"values": {"bar": 50}}).json()["full"] is True
    assert ended == [409]
    again.join(300)
    assert ended == [409, 200]


def test_either_order_of_the_ends_is_held_beside_the_other(client: TestClient) -> None:
    said = words(client.get(f"{PIN}/worked/order.json").json())
    job = standclear.read_job(ROOT / "examples" / "demo-pin").job
    wanted = [line.text for line in order_lines(orders_of(job), job.units)]
    assert wanted and all(line in said for line in wanted)


def test_a_plan_is_made_before_there_is_a_program(client: TestClient, shop: Path) -> None:
    path = shop / "demo-pin" / "job.toml"
    text = path.read_text()
    path.write_text("\n".join(row for row in text.splitlines() if not row.startswith("program")))
    assert client.get(f"{PIN}/job.json").json()["faults"]
    said = words(client.get(f"{PIN}/worked/plan.json").json())
    assert "No program yet: no motion is proved." in said
    assert "first" in words(client.get(f"{PIN}/worked/order.json").json())
    refused = client.get(f"{PIN}/worked/check.json")
    assert refused.status_code == 422 and refused.json()["faults"]
    path.write_text("\n".join(row for row in path.read_text().splitlines() if row[:5] != "zero "))
    told = client.get(f"{PIN}/worked/plan.json")
    assert told.status_code == 422
    assert told.json()["error"].startswith("Not yet. Set-up 1: Part zero: still to be filled in")


def test_a_restart_is_worked_out_for_the_tool_that_stands_there_now(client: TestClient) -> None:
    tools = client.get(f"{PIN}/stations.json").json()["tools"]
    first = next(tool for tool in tools if tool["insert"].startswith("CNMG"))
    other = f"{first['station']}=CNMG120412"
    own = client.get(f"{PIN}/worked/restart.json").json()
    swapped = client.get(f"{PIN}/worked/restart.json?tool={other}&bar=48.2").json()
    assert swapped["values"] == {"bar": 48.2}
    assert "1.2" in words(swapped) and words(swapped) != words(own)
    wrong = client.get(f"{PIN}/worked/restart.json?tool=99={first['insert']}")
    assert wrong.status_code == 422 and "99" in wrong.json()["error"]


def test_a_program_from_the_control_is_held_beside_the_jobs_own(
    client: TestClient, shop: Path
) -> None:
    own = (shop / "demo-pin" / "pin.nc").read_bytes()
    address = f"{PIN}/compare/look?of=pin.nc&name=back.nc"
    same = client.post(address, content=own).json()
    assert same["good"] and "no difference" in words(same)
    other = client.post(address, content=own.replace(b"G00 X51. Z5. M08", b"G00 X47. Z5. M08"))
    assert not other.json()["good"] and other.json()["verdict"] == "contact"
    assert "X47." in words(other.json())
    assert (shop / "demo-pin" / "pin.nc").read_bytes() == own
    assert client.post(address, content=b"").status_code == 400
    strange = client.post(f"{PIN}/compare/look?of=none.nc", content=own)
    assert strange.status_code == 404 and "pin.nc" in strange.json()["error"]
