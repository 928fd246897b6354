"""``kitchen-timer serve`` for measurements: the program itself, on a port and a folder that stay the same."""

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import requests

ROOT = Path(__file__).resolve().parents[2]
KITCHEN_DIR = ROOT / "config" / "skerrymoot"
PATIENCE_S = 90.0


class Program:
    """``kitchen-timer serve`` on a port and a folder that stay the same."""

    def __init__(self, data: Path, *options: str) -> None:
        """``options`` of ``serve``; none: the invented kitchen without its invented cooks, at the speed of life."""
        self.data = data
        self._options = options or ("--kitchen", str(KITCHEN_DIR))
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self.began = 0.0
        # Compiled once, as an installed program is, also where the environment says to keep no bytecode.
        self._environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(data.parent / "bytecode")}
        self._environment.pop("PYTHONDONTWRITEBYTECODE", None)
        self.process: subprocess.Popen[bytes] | None = None

    def command(self) -> list[str]:
        """The module that is run, and what it is asked."""
        told = ["--data", str(self.data), "--port", str(self.port)]
        return ["kitchen_timer.cli", "serve", *self._options, *told]

    def start(self) -> None:
        """Start it; returns at once."""
        self.data.mkdir(parents=True, exist_ok=True)
        with (self.data / "said.txt").open("ab") as said:
            self.began = time.monotonic()
            self.process = subprocess.Popen(
                [sys.executable, "-m", *self.command()],
                cwd=ROOT,
                env=self._environment,
                stdin=subprocess.DEVNULL,
                stdout=said,
                stderr=said,
                start_new_session=True,
            )

    def kill(self) -> None:
        """SIGKILL to every process of it."""
        if self.process is not None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()

    def worker(self) -> int | None:
        """The worker's process id; None while there is none."""
        assert self.process is not None
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text().split()
        return int(children[0]) if children else None

    def until_answered(self) -> float:
        """Monotonic seconds at which ``/health`` was first answered."""
        give_up = time.monotonic() + PATIENCE_S
        while time.monotonic() < give_up:
            try:
                requests.get(f"{self.url}/health", timeout=10)
                return time.monotonic()
            except requests.RequestException:
                time.sleep(0.01)
        raise AssertionError(f"not live again after {PATIENCE_S:g} s: {self.said()}")

    def cpu_s(self) -> float:
        """Processor seconds of the program and its worker so far."""
        assert self.process is not None
        return sum(cpu_s(pid) for pid in (self.process.pid, self.worker()) if pid is not None)

    def said(self) -> str:
        """The end of what it printed."""
        return (self.data / "said.txt").read_text(encoding="utf-8", errors="replace")[-2000:]


def cpu_s(pid: int) -> float:
    """Processor seconds of a process so far (Linux)."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
