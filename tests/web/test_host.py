"""The command itself: it prints an address that answers, stops when told, and says why it cannot start."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from skimwright import app


def host(folder: Path, *words: str) -> subprocess.Popen[str]:
    environment = {key: value for key, value in os.environ.items() if key != "SKIMWRIGHT_SEASON"}
    return subprocess.Popen(
        [sys.executable, "-m", "skimwright", "host", *words], cwd=folder, env=environment,
        stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip


def test_without_a_season_the_demonstration_is_shown_until_stopped(tmp_path: Path) -> None:
    process = host(tmp_path, "--port", "0")
    try:
        assert process.stderr is not None
        assert "demonstration season" in process.stderr.readline()
        address = re.search(r"http://[0-9.:]+", process.stderr.readline())
        assert address is not None
        with urllib.request.urlopen(address[0], timeout=20) as page:
            assert "Brackenfold" in page.read().decode("utf8")
        process.send_signal(signal.SIGINT)
        assert process.wait(20) in (0, 130)
    finally:
        process.kill()
        process.communicate()
    assert (tmp_path / "demo-season" / "season" / "boats.csv").is_file()


def test_a_port_that_is_taken_is_said_in_a_sentence(tmp_path: Path, capsys, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("SKIMWRIGHT_SEASON", raising=False)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        demo = str(Path(app.__file__).parent / "demo_season")
        assert app.run(["host", "--port", port, "--season", demo]) == 1
    said = capsys.readouterr().err
    assert "--port" in said
    assert "Traceback" not in said


def test_a_season_that_is_not_there_is_not_replaced_by_the_demonstration(tmp_path: Path, capsys) -> None:
    assert app.run(["host", "--season", str(tmp_path / "none.season")]) == 2
    assert "none.season" in capsys.readouterr().err


def test_it_stops_while_phones_are_connected_and_says_no_more_than_a_sentence(tmp_path: Path) -> None:
    process = host(tmp_path, "--port", "0")
    phones: list[socket.socket] = []
    try:
        assert process.stderr is not None
        process.stderr.readline()
        address = re.search(r"http://([0-9.]+):(\d+)", process.stderr.readline())
        assert address is not None
        for asks in [b"GET /live HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"] * 12 + [
            b"GET / HTTP/1.1\r\nHost: 127."
        ] * 3:
            phone = socket.create_connection((address[1], int(address[2])), timeout=20)
            phone.sendall(asks)
            phones.append(phone)
        for phone in phones[:12]:
            assert b"text/event-stream" in phone.recv(4096)
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=20)
        assert process.returncode in (0, 130)
        assert "Traceback" not in said
        assert len(said.splitlines()) <= 2
    finally:
        process.kill()
        for phone in phones:
            phone.close()


def test_more_phones_connect_than_a_computer_usually_lets_files_be_open(tmp_path: Path) -> None:
    resource = pytest.importorskip("resource")
    _, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if hard < 600:
        pytest.skip("this computer lets no program open many files")
    process = subprocess.Popen(
        ["sh", "-c", f'ulimit -S -n 128; exec "{sys.executable}" -m skimwright host --port 0'], cwd=tmp_path,
        stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        env={key: value for key, value in os.environ.items() if key != "SKIMWRIGHT_SEASON"},
    )  # fmt: skip
    phones: list[socket.socket] = []
    try:
        assert process.stderr is not None
        process.stderr.readline()
        address = re.search(r"http://([0-9.]+):(\d+)", process.stderr.readline())
        assert address is not None
        for _ in range(200):
            phones.append(socket.create_connection((address[1], int(address[2])), timeout=20))
        with urllib.request.urlopen(address[0], timeout=20) as page:
            assert page.status == 200
    finally:
        process.kill()
        process.communicate()
        for phone in phones:
            phone.close()
