"""One planner process from its parent's side: started, talked to, started again, ended."""

import contextlib
import os
import socket
import subprocess
import sys
import threading
from dataclasses import replace
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from kitchen_timer.plan.question import Question

_PACKAGE_PARENT = str(Path(__file__).resolve().parent.parent.parent)


class WorkerDied(Exception):
    """The process ended, or did not answer in time."""


class PlannerWorker:
    """A process of :mod:`planner_process`. ``send`` and ``receive`` are for ``search``, ``call`` for the others."""

    def __init__(self, role: str) -> None:
        self.role = role
        self._process: subprocess.Popen[bytes] | None = None
        self._pipe: Connection[Any, Any] | None = None
        self._sending = threading.Lock()
        self._calling = threading.Lock()
        self._kitchen: tuple[object, object] | None = None
        self._number = 0
        self._closed = False

    @property
    def pid(self) -> int | None:
        """Process id while it runs."""
        return self._process.pid if self.alive() and self._process is not None else None

    def start(self) -> None:
        """Start the process; returns before it is ready."""
        ours, theirs = Pipe(duplex=True)
        path = os.pathsep.join(filter(None, [_PACKAGE_PARENT, os.environ.get("PYTHONPATH", "")]))
        self._process = subprocess.Popen(
            [sys.executable, "-m", "kitchen_timer.live.planner_process", self.role, str(theirs.fileno())],
            pass_fds=[theirs.fileno()],
            stdin=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": path},
        )
        theirs.close()
        self._kitchen = None
        self._pipe = ours

    def restart(self) -> None:
        """End what is left of it and start it again, unless it is being closed."""
        with self._sending:
            self._end(grace_s=0.0)
            if not self._closed:
                self.start()

    def stop(self) -> None:
        """End it at once; it may be started again."""
        with self._sending:
            self._end(grace_s=0.0)

    def close(self, grace_s: float = 0.5) -> None:
        """End it: gently by closing the pipe, after ``grace_s`` by a signal."""
        self._closed = True
        self._end(grace_s)

    def alive(self) -> bool:
        """Whether the process runs."""
        return self._process is not None and self._process.poll() is None

    def ping(self, timeout_s: float) -> bool:
        """Whether it answers."""
        try:
            return self.call("ping", timeout_s=timeout_s) is None
        except WorkerDied:
            return False

    def call(self, kind: str, *rest: Any, timeout_s: float) -> Any:
        """Ask and wait: the answer, the words of a failure, or None for a ping. WorkerDied when none comes in time."""
        if not self._calling.acquire(timeout=timeout_s):
            raise WorkerDied(f"it was busy for {timeout_s:g} s")
        try:
            self._number += 1
            number = self._number
            self.send(kind, number, *rest)
            while True:
                got, *values = self.receive(timeout_s)
                # An answer to an older call that was given up is left unread here.
                if got in ("answer", "failed", "pong") and values[0] == number:
                    return values[1] if len(values) > 1 else None
        finally:
            self._calling.release()

    def send(self, kind: str, *rest: Any) -> None:
        """Send one message; a question's kitchen and book travel only when this process has not got them."""
        with self._sending:
            pipe = self._pipe
            if pipe is None:
                raise WorkerDied("it is not running")
            parts = list(rest)
            try:
                for index, part in enumerate(parts):
                    if isinstance(part, Question):
                        self._send_kitchen(pipe, part)
                        bare: Any = None
                        parts[index] = replace(part, kitchen=bare, book=bare)
                pipe.send((kind, *parts))
            except (OSError, ValueError) as broken:
                raise WorkerDied(f"its pipe is broken ({broken})") from broken

    def receive(self, timeout_s: float | None = None) -> tuple[Any, ...]:
        """The next message; WorkerDied when the process ends, or none comes in time."""
        pipe = self._pipe
        if pipe is None:
            raise WorkerDied("it is not running")
        try:
            if not pipe.poll(timeout_s):
                raise WorkerDied(f"no answer for {timeout_s:g} s")
            got: tuple[Any, ...] = pipe.recv()
            return got
        except (EOFError, OSError, ValueError, TypeError) as broken:
            # TypeError: another thread closed the pipe between poll and recv.
            raise WorkerDied("it ended") from broken

    def _send_kitchen(self, pipe: "Connection[Any, Any]", question: Question) -> None:
        theirs = self._kitchen
        if theirs is None or theirs[0] is not question.kitchen or theirs[1] is not question.book:
            pipe.send(("kitchen", question.kitchen, question.book))
            self._kitchen = (question.kitchen, question.book)

    def _end(self, grace_s: float) -> None:
        pipe, self._pipe = self._pipe, None
        process = self._process
        if process is not None:
            if pipe is not None:
                # Shut down, not closed: closing would leave a thread that waits on it waiting for ever.
                with contextlib.suppress(OSError), socket.socket(fileno=os.dup(pipe.fileno())) as both_ends:
                    both_ends.shutdown(socket.SHUT_RDWR)
            try:
                process.wait(timeout=grace_s)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
