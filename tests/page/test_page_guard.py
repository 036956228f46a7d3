"""Who may ask the page and what may be sent to it."""

from __future__ import annotations

import re
import socket
from pathlib import Path

import pytest
from page_shop import HOST
from starlette.testclient import TestClient

from standclear.errors import FileError
from standclear.page.app import page_app
from standclear.page.guard import LONGEST_BODY, TRIES, Gate, Guard
from standclear.page.serve import address, start


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1:9999", "127.0.0.1", "", "localhost"])
def test_a_foreign_host_is_refused(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("origin", ["http://evil.example", "null", f"https://{HOST}"])
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_foreign_origin_is_refused(client: TestClient, origin: str, method: str) -> None:
    answer = client.request(method, "/job/demo-pin/look", headers={"origin": origin}, json={})
    assert answer.status_code == 403


def test_its_own_origin_is_let_in(client: TestClient) -> None:
    answer = client.post("/job/demo-pin/look", headers={"origin": f"http://{HOST}"}, json={})
    assert answer.status_code == 200


def test_another_site_may_lead_here_and_may_not_ask(client: TestClient) -> None:
    foreign = {"sec-fetch-site": "cross-site"}
    assert (
        client.get("/jobs.json", headers={**foreign, "sec-fetch-mode": "cors"}).status_code == 403
    )
    assert client.get("/", headers={**foreign, "sec-fetch-mode": "navigate"}).status_code == 200
    sent = client.post("/program", headers={**foreign, "sec-fetch-mode": "navigate"}, content=b"x")
    assert sent.status_code == 403


def test_no_view_lets_in_script_or_style_of_others(client: TestClient) -> None:
    for path in ("/", "/job/demo-pin/", "/job/nothing/", "/static/page.css", "/jobs.json"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy and "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cache-control"] == "no-store"


def test_pages_hold_nothing_inline_and_nothing_from_elsewhere(client: TestClient) -> None:
    for path in ("/", "/job/demo-pin/"):
        text = client.get(path, headers={"accept": "text/html"}).text
        for tag in text.split("<")[1:]:
            assert not tag.startswith("style")
            assert " style=" not in tag.split(">")[0]
            assert not re.search(r"\son\w+=", tag.split(">")[0])
            if tag.startswith("script"):
                assert 'src="/static/' in tag and tag.endswith(">")
        assert "http://" not in text.replace("http://www.w3.org/2000/svg", "")
        assert "https://" not in text


def test_what_is_too_long_is_refused_by_what_it_says_and_by_what_comes(shop: Path) -> None:
    app = page_app(shop, frozenset({HOST}))
    assert isinstance(app, Guard)
    small = Guard(app.app, app.hosts, None, longest=1000)
    with TestClient(small, base_url=f"http://{HOST}") as client:
        assert client.post("/program?name=a.nc", content=b"x" * 1001).status_code == 413

        def parts() -> object:
            for _ in range(11):
                yield b"y" * 100

        sent = client.post("/program?name=a.nc", content=parts())  # type: ignore[arg-type]
        assert sent.status_code == 413
    assert not list(shop.glob("a*"))
    assert LONGEST_BODY == 20_000_000


@pytest.fixture
def network(shop: Path) -> TestClient:
    gate = Gate("123456")
    app = page_app(shop, frozenset({HOST}), gate)
    return TestClient(app, base_url=f"http://{HOST}", follow_redirects=False)


def test_the_network_types_the_code_first(network: TestClient) -> None:
    asked = network.get("/", headers={"accept": "text/html"})
    assert (asked.status_code, asked.headers["location"]) == (303, "/code")
    assert network.get("/jobs.json").status_code == 403
    assert network.post("/code", data={"code": "654321"}).status_code == 403
    assert network.get("/jobs.json").status_code == 403
    let_in = network.post("/code", data={"code": "123456"})
    assert let_in.status_code == 303
    cookie = let_in.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie
    assert network.get("/jobs.json").status_code == 200


def test_the_network_looks_and_drags_and_writes_nothing(network: TestClient, shop: Path) -> None:
    before = {path: path.read_bytes() for path in shop.rglob("*") if path.is_file()}
    network.post("/code", data={"code": "123456"})
    assert network.get("/job/demo-pin/").status_code == 200
    assert network.post("/job/demo-pin/look", json={"values": {"bar": 52}}).status_code == 200
    writing = [
        network.put("/job/demo-pin/file/pin.nc", json={"text": "M30", "seen": "0"}),
        network.post("/program?name=new.nc", content=b"G28 U0\nM30\n"),
        network.post("/job/demo-pin/keep", json={}),
        network.post("/job/demo-pin/take", json={}),
        network.delete("/job/demo-pin/"),
    ]
    assert [answer.status_code for answer in writing] == [403] * 5
    assert {path: path.read_bytes() for path in shop.rglob("*") if path.is_file()} == before
    page = network.get("/job/demo-pin/", headers={"accept": "text/html"}).text
    assert "Write these into the job" not in page and "data-looking" in page


def test_many_wrong_codes_make_everybody_wait() -> None:
    gate = Gate("123456")
    for _ in range(TRIES):
        assert gate.typed("000000") is None
    assert gate.typed("123456") is None
    gate.closed_until = 0.0
    assert gate.typed(" 123456 ") is not None


def test_a_token_of_nobody_is_not_let_in() -> None:
    gate = Gate("123456")
    token = gate.typed("123456")
    assert gate.knows(f"standclear_code={token}")
    assert not gate.knows("standclear_code=")
    assert not gate.knows(f"other={token}")
    assert not gate.knows("")


@pytest.mark.parametrize("words", ["0.0.0.0", "8.8.8.8", "::", "shop-pc", "", "224.0.0.1"])
def test_only_an_address_of_the_shops_network_is_taken(words: str) -> None:
    with pytest.raises(FileError, match="give this machine's own address"):
        address(words)


def test_it_is_put_on_this_machine_alone() -> None:
    started = start(None, 0)
    try:
        assert started.socket.getsockname()[0] == "127.0.0.1"
        assert started.hosts == {f"127.0.0.1:{started.port}", f"localhost:{started.port}"}
        assert started.gate is None
        # asyncio sends at once only on sockets that are named as TCP.
        assert started.socket.proto == socket.IPPROTO_TCP
        with pytest.raises(FileError, match="choose another address or --port"):
            start(None, started.port)
    finally:
        started.socket.close()


def test_at_an_address_it_answers_to_that_alone_and_wants_a_code() -> None:
    started = start("127.0.0.1", 0)
    try:
        assert started.hosts == {f"127.0.0.1:{started.port}"}
        assert started.gate is not None and len(started.gate.code) == 6
    finally:
        started.socket.close()
