"""`standclear page` as it is started."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path
from urllib.request import ProxyHandler, build_opener

import pytest
from typer.testing import CliRunner

from standclear.cli import app
from standclear.errors import FileError
from standclear.page.opening import opened


def get(folder: Path, path: str) -> tuple[int, str]:
    done = CliRunner().invoke(app, ["page", str(folder), "--get", path])
    return done.exit_code, done.stdout


def test_one_page_is_printed_without_a_server(shop: Path) -> None:
    status, text = get(shop, "/")
    assert status == 0 and "Stepped pin 45 x 79" in text
    status, text = get(shop, "/job/demo-pin/job.json?bar=52")
    assert status == 0 and '"verdict":"contact"' in text
    status, text = get(shop, "/job/nothing/")
    assert status == 1 and "There is no job nothing" in text


def test_it_opens_a_folder_a_job_and_a_draft(shop: Path) -> None:
    (shop / "demo-pin" / "pin.nc.job.toml").write_text("")
    assert opened(shop) == (shop, "/")
    assert opened(shop / "demo-pin") == (shop / "demo-pin", "/job/demo-pin/")
    assert opened(shop / "demo-pin" / "job.toml")[1] == "/job/demo-pin/"
    assert opened(shop / "demo-pin" / "pin.nc.job.toml")[1] == "/job/pin.nc/"
    for wrong in (shop / "nothing", shop / "demo-pin" / "pin.nc"):
        with pytest.raises(FileError):
            opened(wrong)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["nothing"], "there is no such folder or job file"),
        ([".", "--at", "8.8.8.8"], "no address of a shop's network"),
        ([".", "--at", "here"], "is no IP address"),
    ],
)
def test_what_cannot_be_served_is_said(
    options: list[str], words: str, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(shop)
    done = CliRunner().invoke(app, ["page", *options, "--no-browse"])
    assert done.exit_code == 2 and words in done.output


def test_it_says_where_it_is_and_ends_quietly_when_stopped_by_hand(shop: Path) -> None:
    command = [sys.executable, "-m", "standclear", "page", str(shop), "--port", "0", "--no-browse"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None and process.stderr is not None
        url = process.stdout.readline().removeprefix("page: ").strip()
        # Straight to this machine, whatever way the environment names to others.
        with build_opener(ProxyHandler({})).open(f"{url}jobs.json", timeout=60) as answer:
            assert b"demo-pin" in answer.read()
        process.send_signal(signal.SIGINT)
        assert process.wait(60) == 0
        assert process.stderr.read() == ""
