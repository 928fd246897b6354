"""Serves an application with gunicorn: one worker, many threads.

The worker is forked, so the engine, its database, its clock and its threads begin in the worker, never before. A
worker that dies is forked again and goes on from the log.
"""

import gc
import os
import signal
import socket
import sys
import threading
from collections.abc import Callable
from typing import Any, Protocol

from flask import Flask
from gunicorn.app.base import BaseApplication
from gunicorn.arbiter import Arbiter

from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.server.log_lines import OneLog

THREADS = 1600
"""A socket holds a thread for as long as it lives, a page's first requests some more: three for each of 500 devices.
They are made as they are needed: unused ones cost nothing."""

GRACE_S = 1
"""Seconds until sockets, which never end by themselves, are cut; devices come back with what was not acknowledged."""

SWITCH_S = 0.0005
"""Interpreter switch interval: with the default of 5 ms a tap waits seconds behind a thread that computes."""


class Running(Protocol):
    """What runs in the worker."""

    @property
    def app(self) -> Flask:
        """The application to serve."""

    def close(self) -> None:
        """End everything that was started, within a second."""


class _Gunicorn(BaseApplication):  # type: ignore[misc]  # gunicorn has no types
    def __init__(self, listening: socket.socket, start: Callable[[], Running]) -> None:
        self._listening = listening
        self._start = start
        self._running: Running | None = None
        super().__init__()

    def load_config(self) -> None:
        # gunicorn closes the descriptor that it is given once it has made its own of it.
        descriptor = os.dup(self._listening.fileno())
        settings: dict[str, Any] = {
            "bind": f"fd://{descriptor}",
            "workers": 1,
            "worker_class": "gthread",
            "threads": THREADS,
            "worker_connections": 4 * THREADS,
            "timeout": 120,
            "graceful_timeout": GRACE_S,
            "keepalive": 30,
            "loglevel": "warning",
            "logger_class": OneLog,
            "post_worker_init": self._worker_ready,
            "worker_exit": self._worker_done,
            "control_socket_disable": True,
        }
        for name, value in settings.items():
            if name in self.cfg.settings:  # control_socket_disable came with 25.1
                self.cfg.set(name, value)

    def load(self) -> Flask:
        sys.setswitchinterval(SWITCH_S)
        try:
            self._running = self._start()
        except KitchenProblem as problem:
            sys.stderr.write(f"{problem}\n")
            sys.exit(Arbiter.APP_LOAD_ERROR)
        # What is there now stays for good: looked through at every collection, it would hold up taps.
        gc.collect()
        gc.freeze()
        return self._running.app

    def _worker_ready(self, _worker: Any) -> None:
        # gunicorn would wait for the sockets' threads, which never end, and kill the process after the grace.
        for number in (signal.SIGTERM, signal.SIGQUIT, signal.SIGINT):
            signal.signal(number, lambda *_: self._end(0))

    def _worker_done(self, _server: Any, _worker: Any) -> None:
        if self._running is not None:
            self._end(0)

    def _end(self, status: int) -> None:
        running, self._running = self._running, None
        if running is not None:
            last_resort = threading.Timer(1.5, lambda: os._exit(status))
            last_resort.daemon = True
            last_resort.start()
            running.close()
        os._exit(status)


def serve(listening: socket.socket, start: Callable[[], Running]) -> int:
    """Serve until a signal ends it; ``start`` is called in the worker. The exit status."""
    try:
        _Gunicorn(listening, start).run()
    except SystemExit as done:
        return done.code if isinstance(done.code, int) else 0
    return 0
