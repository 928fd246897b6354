"""The planner as the engine sees it: asked, it answers at once from one process and keeps improving in another.

No planning code runs in the process that answers taps: building a model or searching in pure Python holds the
interpreter for tens of milliseconds. Separate processes, started afresh rather than forked: a fork of a process with
threads inherits locks that nobody will ever release.
"""

import contextlib
import logging
import threading
from collections.abc import Callable, Mapping
from dataclasses import replace

from kitchen_timer.kitchen.problems import KitchenProblem
from kitchen_timer.live.planner_worker import PlannerWorker, WorkerDied
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.what_if import Supposed, WhatIf
from kitchen_timer.plan.why_link import Chain

_log = logging.getLogger(__name__)

Adopt = Callable[[int, Answer, bool], bool]

ANSWER_S = 10.0
"""A quick plan that takes longer than this (it should take milliseconds) counts as a dead planner."""

ASIDE_S = 20.0
"""A question aside that takes longer than this is given up: the first one waits for its process to start."""

LOOK_S = 1.0
"""How often the quick process is looked at when nothing is asked, in seconds."""

_NO_PLANNER = "The planner is started again: cook by the plan that stands, and have the server looked at."
_NO_SEARCH = "The search for better plans is started again: the plan that stands is sound, only not the best."


class PlannerSilent(KitchenProblem):
    """The planner gave no answer, although it was started again for it."""

    code = "planner-silent"


def _not_said(found: object) -> PlannerSilent:
    _log.error("planner aside failed:\n%s", found)
    return PlannerSilent("The planner could not work this out.", "Its log says why.")


class ProcessPlanner:
    """Planner over a ``quick``, a ``search`` and an ``aside`` process. A newer question supersedes older ones."""

    def __init__(self, speed: float = 1.0, changed: Callable[[], None] | None = None) -> None:
        """``speed``: kitchen seconds per real second. ``changed``: called when :meth:`trouble` changes."""
        self._speed = speed
        self._changed = changed
        self._quick = PlannerWorker("quick")
        self._search = PlannerWorker("search")
        self._aside = PlannerWorker("aside")
        self._starting_aside = threading.Lock()
        self._asked = threading.Condition()
        self._pending: tuple[int, Question, Answer | None, Adopt] | None = None
        self._newest = 0
        self._adopt: Adopt | None = None
        self._start: Answer | None = None
        self._question: Question | None = None
        self._closed = False
        self._troubles: dict[str, str] = {}
        self._threads = [
            threading.Thread(target=self._answer, name="planner-quick", daemon=True),
            threading.Thread(target=self._listen, name="planner-search", daemon=True),
        ]

    def start(self) -> None:
        """Start both processes, in the process that serves (after any fork). Questions wait until they are ready."""
        self._quick.start()
        self._search.start()
        for thread in self._threads:
            thread.start()

    def ask(self, token: int, question: Question, previous: Answer | None, adopt: Adopt) -> None:
        """Plan this; ``adopt(token, answer, improving)`` is called from another thread, perhaps several times."""
        with self._asked:
            self._pending = (token, question, previous, adopt)
            self._newest = token
            self._asked.notify()

    def answer_now(self, question: Question, previous: Answer | None) -> Answer:
        """The quick plan with its causes and ranges, waited for; PlannerSilent when there is none."""
        return self._quickly("quote", question, previous)

    def _quickly(self, kind: str, question: Question, previous: Answer | None) -> Answer:
        for last in (False, True):
            try:
                answer = self._quick.call(kind, question, previous, timeout_s=ANSWER_S)
            except WorkerDied as died:
                self._tell("quick", _NO_PLANNER)
                if self._closed or last:
                    raise PlannerSilent("The planner does not answer.", "Try again in a few seconds.") from died
                _log.error("planner quick: %s; it is started again", died)
                self._quick.restart()
            else:
                self._tell("quick", "")
                if not isinstance(answer, Answer):
                    _log.error("planner quick failed:\n%s", answer)
                    raise PlannerSilent("The planner could not plan this.", "Its log says why.")
                return answer
        raise AssertionError("unreachable")

    def why(self, question: Question, stands: Answer, keys: tuple[CourseKey, ...]) -> Mapping[CourseKey, Chain]:
        """What holds those of these courses that are behind, link by link; PlannerSilent when nobody can say."""
        found = self._ask_aside("why", question, stands, keys)
        if not isinstance(found, dict):
            raise _not_said(found)
        return found

    def what_if(self, question: Question, stands: Answer, supposed: Supposed) -> WhatIf:
        """What would be if something were otherwise; PlannerSilent when nobody can say."""
        found = self._ask_aside("what_if", question, stands, supposed)
        if not isinstance(found, WhatIf):
            raise _not_said(found)
        return found

    def _ask_aside(self, kind: str, *about: object) -> object:
        # Started when first asked for: most evenings need it little, and it takes 100 MB.
        with self._starting_aside:
            if not self._aside.alive() and not self._closed:
                self._aside.restart()
        try:
            return self._aside.call(kind, *about, timeout_s=ASIDE_S)
        except WorkerDied as died:
            _log.error("planner aside: %s; it is started again when it is asked", died)
            self._aside.stop()
            raise PlannerSilent("The planner does not say.", "Ask again in a few seconds.") from died

    def trouble(self) -> tuple[str, ...]:
        """What is wrong with planning, in words for the pass; empty when nothing is."""
        return tuple(self._troubles.values())

    def answers(self) -> bool:
        """Whether both processes are there and the quick one replies."""
        return self._search.alive() and self._quick.ping(timeout_s=2.0)

    def process_ids(self) -> tuple[int, ...]:
        """Of the processes that run now."""
        return tuple(pid for worker in (self._quick, self._search, self._aside) if (pid := worker.pid) is not None)

    def close(self) -> None:
        """End both processes, within a second."""
        with self._asked:
            self._closed = True
            self._asked.notify()
        self._quick.close()
        # Both must be gone within a second; a search that is deep in a solve has nothing to lose.
        self._search.close(grace_s=0.2)
        self._aside.close(grace_s=0.2)

    def _answer(self) -> None:
        while True:
            with self._asked:
                if self._pending is None and not self._closed:
                    self._asked.wait(timeout=LOOK_S)
                if self._closed:
                    return
                pending, self._pending = self._pending, None
            if pending is None:
                self._keep_quick_alive()
                continue
            token, question, previous, adopt = pending
            try:
                answer = self._quickly("plan", question, previous)
                adopted = adopt(token, answer, True)
                if adopted and token == self._newest:
                    self._adopt, self._start, self._question = adopt, answer, question
                    self._search.send("improve", token, question, answer, previous, self._speed)
            except PlannerSilent as silent:
                if self._closed:
                    return
                self._tell("quick", f"No new plan could be made: the last one stands. {silent.cure}".strip())
            except WorkerDied:
                continue  # its listener starts it again; the plan that was adopted stands
            except Exception:
                _log.exception("a plan could not be handed over")
                self._tell("quick", "A new plan could not be taken over: the last one stands. Its log says why.")

    def _keep_quick_alive(self) -> None:
        # Found dead now, it is back before the next order; found by that order, the order would wait for it.
        if not self._quick.alive() and not self._closed:
            _log.error("planner quick: it ended; it is started again")
            self._tell("quick", _NO_PLANNER)
            self._quick.restart()
            if self._quick.ping(timeout_s=ANSWER_S):
                self._tell("quick", "")

    def _listen(self) -> None:
        while not self._closed:
            try:
                kind, *rest = self._search.receive()
            except WorkerDied as died:
                if self._closed:
                    return
                _log.error("planner search: %s; it is started again", died)
                self._tell("search", _NO_SEARCH)
                self._search.restart()
                self._stop_waiting()
                continue
            if kind == "ready":
                self._tell("search", "")
            elif kind in ("better", "done"):
                token, answer = rest
                self._hand_over(token, answer, improving=kind == "better")
            elif kind == "reasons":
                self._pass_on(*rest)
            elif kind == "failed":
                _log.error("planner search failed:\n%s", rest[1])
                self._stop_waiting()

    def _hand_over(self, token: int, answer: Answer, improving: bool) -> None:
        adopt = self._adopt
        if adopt is None or token != self._newest:
            return
        try:
            adopt(token, answer, improving)
        except Exception:
            _log.exception("an improved plan could not be handed over")

    def _pass_on(self, token: int, reasons: object) -> None:
        # The quick planner has them from then on: what would help stays said from plan to plan.
        question = self._question
        if question is None or token != self._newest:
            return
        with contextlib.suppress(WorkerDied):  # it is started again elsewhere, and will be told with the next question
            self._quick.send("reasons", replace(question, courses=()), reasons)

    def _stop_waiting(self) -> None:
        # The search will bring nothing more for this question: the plan it began from is the plan.
        if self._start is not None:
            self._hand_over(self._newest, self._start, improving=False)

    def _tell(self, who: str, words: str) -> None:
        if self._troubles.get(who, "") == words:
            return
        troubles = {**self._troubles, who: words}
        self._troubles = {key: value for key, value in troubles.items() if value}
        if self._changed is not None and not self._closed:
            self._changed()
