"""What runs in a planner's own process: ``python -m kitchen_timer.live.planner_process ROLE FD``.

``quick`` answers a question in milliseconds, one after another. ``search`` improves a plan until it is done or a
newer question waits. ``aside`` says why and what if, which changes nothing and may take a second: it holds up neither.
All end when the pipe to their parent closes, so that none outlives it.

Messages are pickled tuples over one end of a socket pair:
in  ``("kitchen", kitchen, book)``, ``("ping", n)``, ``("plan", n, question, previous)``: as soon as can be,
    ``("quote", n, question, previous)``: the same with its causes and ranges,
    ``("why", n, question, answer, keys)``, ``("what_if", n, question, answer, supposed)``,
    ``("improve", token, question, answer, previous, speed)``: that answer, or what was tried more patiently from the
    same plan before it, with causes, ranges and remedies first, then better ones;
    ``("reasons", question, reasons)``: why courses can never be made, as the search found it;
    questions come without kitchen and book, which are sent once;
out ``("ready",)``, ``("pong", n)``, ``("answer", n, answer)``, ``("better", token, answer)``,
    ``("reasons", token, reasons)``, ``("done", token, answer)``, ``("failed", number, words)``.
"""

import gc
import importlib
import os
import signal
import sys
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from multiprocessing.connection import Connection
from typing import Any

from kitchen_timer.live.causes import still_said, with_causes
from kitchen_timer.live.ranges import with_ranges
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.choose import improve, plan_quickly
from kitchen_timer.plan.cost import worth
from kitchen_timer.plan.prepare import know_reasons, with_remedies
from kitchen_timer.plan.question import Question
from kitchen_timer.plan.swift.ready import get_ready
from kitchen_timer.plan.what_if import what_if
from kitchen_timer.plan.why import why_chains
from kitchen_timer.service.going import HEADS_UP_S
from kitchen_timer.service.moves import QUIET_S

SLICES_S = (2.0, 6.0)
"""Seconds that one search goes on (kitchen seconds where those are shorter), slice by slice; each starts from the best
plan that could still be used."""

TELL_EVERY_S = 0.4
"""Real seconds between two better plans that are handed over. The search finds dozens a second; each one taken over is
checked, written down and drawn on every screen."""

AHEAD_S = 3.0
"""A plan moves no start to sooner than this many kitchen seconds from now: it has to reach the cook first.
Not the whole heads-up: what a called order needs at once would then never be planned any better."""

NICE = {"search": 19, "aside": 10}
"""The search gets what the taps leave (POSIX nice value); a question aside gets it before the search."""

CAUSES_S = 0.012
"""A quote says what late courses wait for as far as this many real seconds go."""

REMEDIES_S = 1.0
"""After so many real seconds one remedy is enough for each course that can never be made."""

CAUSES_OF_BETTER_S = 0.04
"""So does each better plan: all of it takes 0.1 s at 20 open courses, 0.2 s at 40. The first and last say it all."""


def main(arguments: list[str]) -> int:
    """Serve one role until the parent closes the pipe."""
    role, descriptor = arguments
    # Ctrl-C in a terminal reaches every process of the group: the parent decides when this one ends.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    pipe = Connection(int(descriptor))
    threading.Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    os.nice(NICE.get(role, 0))
    try:
        pipe.send(("ready",))
        _warm()
        if role == "search":
            # Takes a minute on a machine's first day: until then the search goes on in Python.
            threading.Thread(target=get_ready, daemon=True).start()
        _serve(pipe)
    except (EOFError, BrokenPipeError, ConnectionResetError):
        # Nothing is left to be tidied up, and the parent waits: the solver's libraries take long to unload.
        os._exit(0)
    return 0


def _warm() -> None:
    """Load the solver before the first order needs it (0.3 s), and never look through what is there for good again."""
    importlib.import_module("kitchen_timer.plan.exact.solve")
    gc.collect()
    gc.freeze()


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
        elif kind in ("plan", "quote"):
            number, question, previous = rest
            whole = replace(question, kitchen=kitchen, book=book)
            _answer(pipe, number, partial(_at_once if kind == "plan" else _in_words, whole, previous))
        elif kind == "reasons":
            question, reasons = rest
            know_reasons(replace(question, kitchen=kitchen, book=book), reasons)
        elif kind in ("why", "what_if"):
            number, question, stands, about = rest
            whole = replace(question, kitchen=kitchen, book=book)
            ask = partial(why_chains if kind == "why" else what_if, whole, stands, about)
            _answer(pipe, number, ask)
        elif kind == "improve":
            token, question, answer, previous, speed = rest
            try:
                whole = replace(question, kitchen=kitchen, book=book)
                best = _search(pipe, token, whole, _patiently(whole, answer, previous), speed)
                pipe.send(("done", token, best))
            except OSError:
                raise
            except Exception:
                pipe.send(("failed", token, traceback.format_exc()))


def _answer(pipe: "Connection[Any, Any]", number: int, ask: Callable[[], object]) -> None:
    try:
        pipe.send(("answer", number, ask()))
    except OSError:
        raise
    except Exception:
        pipe.send(("failed", number, traceback.format_exc()))


def _at_once(question: Question, previous: Answer | None) -> Answer:
    # All that is said beside a plan takes longer than it: the search brings it before it looks for anything better.
    return still_said(plan_quickly(question, previous, remedies=False), previous)


def _patiently(question: Question, answer: Answer, previous: Answer | None) -> Answer:
    # What the quick reply had no time for: no food that has started is to stand too long for want of 50 ms.
    if previous is None:
        return answer
    found = still_said(plan_quickly(question, previous, remedies=False, patient=True), previous)
    cheaper = worth(question, found) < worth(question, answer) - 1e-6
    return found if cheaper and _in_time(found, answer, question.now + AHEAD_S) else answer


def _in_words(question: Question, previous: Answer | None) -> Answer:
    answer = plan_quickly(question, previous)
    return with_causes(question, with_ranges(question, answer), _after(CAUSES_S))


def _after(seconds: float) -> Callable[[], bool]:
    until_s = time.monotonic() + seconds
    return lambda: time.monotonic() > until_s


class _Teller:
    """Hands better plans over, not more often than anyone could use them, and none that comes too late."""

    def __init__(
        self, pipe: "Connection[Any, Any]", token: int, question: Question, start: Answer, speed: float
    ) -> None:
        self.told = start
        self._pipe = pipe
        self._token = token
        self._question = question
        self._speed = speed
        self._began_s = time.monotonic()
        self._told_s = self._began_s
        self._waiting: Answer | None = None

    def better(self, found: Answer) -> None:
        """A better plan was found."""
        self._waiting = found
        self.tell()

    def superseded(self) -> bool:
        """Whether a newer question waits (or the parent has gone); asked all the time, so what waits is told here."""
        self.tell()
        return self._pipe.poll()

    def tell(self, whatever_the_time: bool = False) -> None:
        """Hand over what waits, if the last was long enough ago."""
        found, now_s = self._waiting, time.monotonic()
        if found is None or (now_s - self._told_s < TELL_EVERY_S and not whatever_the_time):
            return
        self._waiting = None
        kitchen_now = self._question.now + (now_s - self._began_s) * self._speed
        if _in_time(found, self.told, kitchen_now + AHEAD_S):
            found = with_ranges(self._question, found)
            self.told = with_causes(self._question, found, _after(CAUSES_OF_BETTER_S), self.told)
            self._told_s = now_s
            self._pipe.send(("better", self._token, self.told))


def _search(pipe: "Connection[Any, Any]", token: int, question: Question, start: Answer, speed: float) -> Answer:
    start = with_causes(question, with_ranges(question, start), pipe.poll, start)
    pipe.send(("better", token, start))
    start, reasons = with_remedies(question, start, _after(REMEDIES_S), pipe.poll)
    if reasons:
        pipe.send(("reasons", token, reasons))
        pipe.send(("better", token, start))
    teller = _Teller(pipe, token, question, start, speed)
    for number, slice_s in enumerate(SLICES_S):
        if pipe.poll():
            break
        began_s = time.monotonic()
        seconds = slice_s / max(1.0, speed)
        improve(
            question,
            teller.told,
            seconds=seconds,
            elapsed=time.monotonic,
            stop=teller.superseded,
            better=teller.better,
            seed=number,
        )
        teller.tell(whatever_the_time=True)
        if time.monotonic() - began_s < 0.6 * seconds:
            break  # proven, or nothing left to try
    return teller.told if pipe.poll() else with_causes(question, teller.told, pipe.poll, teller.told)


def _in_time(found: Answer, base: Answer, now: float) -> bool:
    """Whether a plan that took a while to find can still be used.

    What it moves, it does not move into the past; nor does it move by more than a moment what stations have been told
    of while it was being looked for.
    """
    stood = base.by_step
    told_until = now - AHEAD_S + HEADS_UP_S
    for step in found.steps:
        was = stood.get(step.key)
        if was is not None and was.start_at == step.start_at:
            continue
        if step.start_at < now or (
            was is not None and was.start_at <= told_until and abs(was.start_at - step.start_at) > QUIET_S
        ):
            return False
    return True


def _end_with(parent: int) -> None:
    # The closed pipe ends a process that listens; this ends one that is stuck in a solve.
    while os.getppid() == parent:
        time.sleep(0.5)
    os._exit(0)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
