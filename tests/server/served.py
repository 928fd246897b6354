"""A real server for tests: the program itself, started on a free port with a data folder of its own."""

import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import requests
import socketio

ROOT = Path(__file__).parent.parent.parent

PATIENCE_S = 40.0
"""A machine that runs other tests beside this one is slow to start anything."""


SMALL_KITCHEN = """\
name: Skerrymoot Hatch
timezone: Europe/London
handling: 2s
stations:
  fry: {name: Fry, cooks: 2}
pass: {hands: 2}
equipment:
  fryer: {slots: 4, cross_contact: true}
"""

SQUID = """\
dish: squid
name: Fried squid
course: starters
plating: 10s
components:
  rings:
    name: Squid
    station: fry
    keeps: 60s
    allergens: [mollusc]
    steps: [{do: Drop, takes: 20s, on: fryer}]
"""


def write_small_kitchen(folder: Path) -> Path:
    """A kitchen in which squid takes 20 s and nothing stands in its way."""
    (folder / "book").mkdir()
    (folder / "kitchen.yaml").write_text(SMALL_KITCHEN, encoding="utf-8")
    (folder / "book" / "squid.yaml").write_text(SQUID, encoding="utf-8")
    return folder


class Served:
    """``kitchen-timer serve``, running. Ended by its process id."""

    def __init__(self, data: Path, *options: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-u", "-m", "kitchen_timer.cli", "serve", "--data", str(data), "--port", "0", *options],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        self.said: list[str] = []
        threading.Thread(target=self._listen, daemon=True).start()
        self.url = self._address()
        until(self._answers, "the server answers")

    def _listen(self) -> None:
        assert self.process.stdout is not None
        self.said.extend(self.process.stdout)

    def _address(self) -> str:
        def found() -> str | None:
            assert self.process.poll() is None, "".join(self.said)
            match = re.search(r"http://127\.0\.0\.1:\d+", "".join(self.said))
            return match and match[0]

        return str(until(found, "the server says where it is"))

    def _answers(self) -> bool:
        assert self.process.poll() is None, "".join(self.said)
        try:
            return requests.get(self.url + "/health", timeout=20).status_code == 200
        except requests.ConnectionError:
            return False

    def get(self, path: str) -> Any:
        """The JSON at a path."""
        return requests.get(self.url + path, timeout=20).json()

    def post(self, path: str, body: object) -> requests.Response:
        """The reply to a JSON body."""
        return requests.post(self.url + path, json=body, timeout=20)

    def kill(self) -> None:
        """SIGKILL to all of it at once, as a power cut would."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def end(self, number: int = signal.SIGTERM) -> float:
        """End it as a person would; the seconds it took."""
        began = time.monotonic()
        if self.process.poll() is None:
            os.kill(self.process.pid, number)
            self.process.wait(timeout=20)
        return time.monotonic() - began


class Page:
    """A page: one Socket.IO client that keeps what it is sent, with the moment each came."""

    def __init__(self, url: str, page: str, station: str | None = None, client_id: str = "page-1") -> None:
        self.client_id = client_id
        self.boards: list[tuple[float, dict[str, Any]]] = []
        self.cues: list[tuple[float, dict[str, Any]]] = []
        self._socket = socketio.Client(reconnection=False)
        self._socket.on("board", lambda board: self.boards.append((time.monotonic(), board)))
        self._socket.on("cue", lambda cue: self.cues.append((time.monotonic(), cue)))
        self._socket.connect(url, transports=["websocket"], wait_timeout=20)
        self._seq = 0
        asked = {"page": page, "client_id": client_id, **({"station": station} if station else {})}
        self.joined = self.ask("join", asked)

    def ask(self, event: str, message: object) -> Any:
        """The acknowledgement of one message."""
        return self._socket.call(event, message, timeout=20)

    def command(self, command: dict[str, Any], client_seq: int | None = None) -> Any:
        """The reply to a command, under the next number or a given one."""
        self._seq += 1
        number = self._seq if client_seq is None else client_seq
        return self.ask("command", {"client_id": self.client_id, "client_seq": number, "command": command})

    def latest(self) -> dict[str, Any]:
        """The newest board, pushed or joined with."""
        boards = [board for _, board in list(self.boards)] + [self.joined["board"]]
        return max(boards, key=lambda board: int(board["seq"]))

    def leave(self) -> None:
        """Close it."""
        self._socket.disconnect()


def until(found: Callable[[], Any], what: str, patience_s: float = PATIENCE_S) -> Any:
    """The first true value of ``found``; fails with ``what`` when none comes."""
    give_up = time.monotonic() + patience_s
    while time.monotonic() < give_up:
        value = found()
        if value:
            return value
        time.sleep(0.02)
    raise AssertionError(f"waited {patience_s:g} s in vain until {what}")
