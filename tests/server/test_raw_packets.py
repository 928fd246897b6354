"""What is no Socket.IO at all, sent to the real server: left unread, the same page's next question is answered."""

import json
import os
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
import requests
import websocket

from tests.server.served import Served, until

PACKETS: dict[str, list[str | bytes]] = {
    "nested too deep": ['421["command",' + "[" * 50_000 + "]" * 50_000 + "]"],
    "cut off": ['421["command",'],
    "no list": ['421{"a":1}'],
    "an empty list": ["421[]"],
    "an event that is a number": ["421[5,{}]"],
    "an event that nobody knows": ['421["sing",{}]'],
    "the names of the library's own events": ['421["connect",{}]', '421["disconnect","x"]'],
    "a binary part that is not there": ['451-["command",{"_placeholder":true,"num":7}]', b"abc"],
    "an acknowledgement of nothing": ['4312["x"]'],
    "another namespace": ["40/admin,", '42/admin,1["command",{}]'],
    "bytes": [b"\x00\xff"],
    "no packet": ["9zzz"],
    "a number of 200 digits": ["42" + "9" * 200 + '["clock",{"t1":1}]'],
}


@pytest.fixture(scope="module")
def logged(tmp_path_factory: pytest.TempPathFactory, small_kitchen: Path) -> Iterator[Served]:
    server = Served(tmp_path_factory.mktemp("logged"), "--kitchen", str(small_kitchen), "--log", "json")
    yield server
    server.end()


def connected(url: str) -> websocket.WebSocket:
    socket = websocket.create_connection(
        url.replace("http", "ws") + "/socket.io/?EIO=4&transport=websocket", timeout=20
    )
    socket.recv()
    socket.send("40")
    socket.recv()
    return socket


def answer(socket: websocket.WebSocket, number: str, message: str) -> str:
    """The acknowledgement of a question, whatever else comes."""
    socket.send(f"42{number}{message}")
    for _ in range(6):
        got = socket.recv()
        if got == "2":
            socket.send("3")
        elif isinstance(got, str) and got.startswith(f"43{number}["):
            return got
    raise AssertionError(f"{message} was not answered")


@pytest.mark.parametrize("packets", PACKETS.values(), ids=PACKETS.keys())
def test_a_packet_that_is_none_harms_nobody(logged: Served, packets: list[str | bytes]) -> None:
    socket = connected(logged.url)
    for packet in packets:
        (socket.send_binary if isinstance(packet, bytes) else socket.send)(packet)
    assert '"t1":1' in answer(socket, "991", '["clock",{"t1":1}]')
    socket.close()


@pytest.mark.parametrize("event", ["join", "command", "clock"])
@pytest.mark.parametrize(
    "message", ["", ",null", ",{},{}", ',"x"', ",NaN", ',{"t1":NaN}', ",[[[[]]]]", ',{"t1":1e999}']
)
def test_a_question_that_is_none_is_refused_in_words(logged: Served, event: str, message: str) -> None:
    socket = connected(logged.url)
    (reply,) = json.loads(answer(socket, "5", f'["{event}"{message}]')[3:])
    assert (reply["ok"], reply["problem"]["code"]) == (False, "bad-message")
    assert all(fault["cure"] for fault in reply["problem"]["faults"])
    socket.close()


def test_a_message_that_is_too_large_ends_its_connection_and_no_other(logged: Served) -> None:
    other, socket = connected(logged.url), connected(logged.url)
    socket.send('421["command","' + "x" * 300_000 + '"]')
    assert '"t1":2' in answer(other, "7", '["clock",{"t1":2}]')
    for each in (other, socket):
        each.close()


def test_after_all_of_it_the_log_is_one_object_a_line_without_a_traceback(logged: Served) -> None:
    assert requests.get(logged.url + "/health", timeout=20).status_code == 200
    lines = [json.loads(line) for line in logged.said if line.startswith("{")]
    assert "started" in [line["event"] for line in lines]
    assert "Traceback" not in "".join(logged.said)
    assert [line for line in lines if "traceback" in line or line["level"] in ("error", "critical")] == []
    unread = [line for line in lines if "no Socket.IO" in line["words"]]
    assert len(unread) >= 4, "each is said in a line"


def test_a_worker_that_is_killed_is_said_in_the_same_lines_and_another_goes_on(logged: Served) -> None:
    (worker,) = children(logged.process.pid)
    os.kill(worker, signal.SIGKILL)
    until(lambda: children(logged.process.pid) not in ([], [worker]), "another worker is there")
    until(lambda: requests.get(logged.url + "/health", timeout=20).status_code == 200, "it answers")
    lines = [json.loads(line) for line in logged.said if line.startswith("{")]
    assert [line["event"] for line in lines].count("started") == 2
    assert any(line.get("logger") == "gunicorn.error" for line in lines)
    assert not any(line.startswith("[") for line in logged.said), "no line of another kind"


def children(pid: int) -> list[int]:
    """Processes that a process started and that are there."""
    text = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii")
    return [int(child) for child in text.split()]
