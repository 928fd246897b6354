"""What runs in a planner's own process: ``python -m kitchen_timer.live.planner_process ROLE FD``.

``quick`` answers a question in milliseconds, one after another. ``search`` improves a plan until it is done or a
newer question waits. Both end when the pipe to their parent closes, so that none outlives it.

Messages are pickled tuples over one end of a socket pair:
in  ``("kitchen", kitchen, book)``, ``("ping", n)``, ``("plan", n, question, previous)``,
    ``("improve", token, question, answer, speed)``; questions come without kitchen and book, which are sent once;
out ``("ready",)``, ``("pong", n)``, ``("answer", n, answer)``, ``("better", token, answer)``,
    ``("done", token, answer)``, ``("failed", number, words)``.
"""

import os
import signal
import sys
import threading
import time
import traceback
from dataclasses import replace
from multiprocessing.connection import Connection
from typing import Any

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import improve, plan_quickly
from kitchen_timer.plan.question import Question

SLICES_S = (0.5, 1.5, 3.0, 3.0)
"""Seconds that one search goes on, slice by slice; each starts from the best plan that could still be used."""

NICE = 19
"""The search gets what the taps leave (POSIX nice value)."""


def main(arguments: list[str]) -> int:
    """Serve one role until the parent closes the pipe."""
    role, descriptor = arguments
    # Ctrl-C in a terminal reaches every process of the group: the parent decides when this one ends.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    pipe = Connection(int(descriptor))
    threading.Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    if role == "search":
        os.nice(NICE)
    try:
        pipe.send(("ready",))
        _serve(pipe)
    except (EOFError, BrokenPipeError, ConnectionResetError):
        return 0
    return 0


def _serve(pipe: "Connection[Any, Any]") -> None:
    kitchen: Any = None
    book: Any = None
    while True:
        kind, *rest = pipe.recv()
        if kind == "kitchen":
            # Kept as the same objects from question to question: what the planner remembers of them stays of use.
            kitchen, book = rest
        elif kind == "ping":
            pipe.send(("pong", *rest))
        elif kind == "plan":
            number, question, previous = rest
            try:
                pipe.send(("answer", number, plan_quickly(replace(question, kitchen=kitchen, book=book), previous)))
            except OSError:
                raise
            except Exception:
                pipe.send(("failed", number, traceback.format_exc()))
        elif kind == "improve":
            token, question, answer, speed = rest
            try:
                best = _search(pipe, token, replace(question, kitchen=kitchen, book=book), answer, speed)
                pipe.send(("done", token, best))
            except OSError:
                raise
            except Exception:
                pipe.send(("failed", token, traceback.format_exc()))


def _search(pipe: "Connection[Any, Any]", token: int, question: Question, start: Answer, speed: float) -> Answer:
    began_s = time.monotonic()
    best = start

    def elapsed() -> float:
        return time.monotonic() - began_s

    def better(found: Answer) -> None:
        nonlocal best
        if _in_time(found, best, question.now + elapsed() * speed + 1):
            best = found
            pipe.send(("better", token, found))

    for number, slice_s in enumerate(SLICES_S):
        if pipe.poll():
            break
        slice_began_s = elapsed()
        improve(
            question,
            best,
            seconds=slice_s,
            elapsed=lambda began=slice_began_s: elapsed() - began,  # type: ignore[misc]
            stop=lambda: pipe.poll(),
            better=better,
            seed=number,
        )
        if elapsed() - slice_began_s < 0.6 * slice_s:
            break  # proven, or nothing left to try
    return best


def _in_time(found: Answer, base: Answer, now: float) -> bool:
    """Whether a plan that took a while to find can still be used: what it moves, it does not move into the past."""
    stood = base.by_step
    return all(
        step.start_at >= now or (step.key in stood and stood[step.key].start_at == step.start_at)
        for step in found.steps
    )


def _end_with(parent: int) -> None:
    # The closed pipe ends a process that listens; this ends one that is stuck in a solve.
    while os.getppid() == parent:
        time.sleep(0.5)
    os._exit(0)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
