"""The planner's processes: an answer at once, better ones later, and none left behind."""

import os
import signal
import threading
import time
from collections.abc import Iterator
from dataclasses import replace

import pytest

from kitchen_timer.live.replan import ProcessPlanner
from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.check import breaks
from kitchen_timer.plan.question import Question
from tests.builders import component, course, dish, kitchen, question, slots, step


@pytest.fixture(scope="module")
def planner() -> Iterator[ProcessPlanner]:
    each = ProcessPlanner()
    each.start()
    yield each
    each.close()


def busy_fryer(tables: int) -> Question:
    """Tables that all want the same two baskets at once."""
    k = kitchen(fry=1, cold=1, fryer=slots(2, recovery=60))
    squid = dish(
        "squid",
        rings=component("fry", step(90, on="fryer", fits=2), keeps=90),
        salad=component("cold", step(40, hands="all"), keeps=60),
    )
    return question(k, [squid], *(course(str(table), squid=2) for table in range(1, tables + 1)))


class Heard:
    """What the planner handed over."""

    def __init__(self) -> None:
        self.answers: list[tuple[int, Answer, bool]] = []
        self.done = threading.Event()

    def adopt(self, token: int, answer: Answer, improving: bool) -> bool:
        self.answers.append((token, answer, improving))
        if not improving:
            self.done.set()
        return True


def test_the_quick_answer_is_sound(planner: ProcessPlanner) -> None:
    asked = busy_fryer(4)
    answer = planner.answer_now(asked, None)
    assert len(answer.courses) == 4
    assert breaks(asked, answer) == ()


def test_it_answers_at_once_then_better_and_says_when_the_search_is_over(planner: ProcessPlanner) -> None:
    asked, heard = busy_fryer(6), Heard()
    began = time.monotonic()
    planner.ask(1, asked, None, heard.adopt)
    assert time.monotonic() - began < 0.5  # nobody waits for the plan
    assert heard.done.wait(40)
    costs = [answer.cost for _, answer, _ in heard.answers]
    assert costs == sorted(costs, reverse=True)
    assert [improving for *_, improving in heard.answers][-1] is False
    assert all(breaks(asked, answer) == () for _, answer, _ in heard.answers)


def test_what_would_help_an_impossible_course_follows_and_is_known_from_then_on(planner: ProcessPlanner) -> None:
    asked, heard = busy_fryer(1), Heard()
    asked = replace(asked, courses=(*asked.courses, course("9", squid=9)))  # two baskets of two: three loads, apart
    planner.ask(5, asked, None, heard.adopt)
    assert heard.done.wait(40)
    first = heard.answers[0][1].impossible[0]
    assert (str(first.key), first.remedies) == ("9/mains", ())
    assert first.why
    helped = next(answer for _, answer, _ in heard.answers if answer.impossible[0].remedies)
    assert helped.by_step == heard.answers[0][1].by_step
    again = Heard()
    planner.ask(6, asked, helped, again.adopt)
    assert again.done.wait(40)
    assert again.answers[0][1].impossible[0].remedies


def test_a_newer_question_supersedes_an_older_one(planner: ProcessPlanner) -> None:
    first, second = Heard(), Heard()
    planner.ask(10, busy_fryer(9), None, first.adopt)
    planner.ask(11, busy_fryer(3), None, second.adopt)
    assert second.done.wait(40)
    late = len(first.answers)
    time.sleep(0.5)
    assert len(first.answers) == late
    assert not first.done.is_set()
    assert {token for token, *_ in second.answers} == {11}


def test_a_killed_process_is_started_again_and_answers() -> None:
    told: list[tuple[str, ...]] = []
    planner = ProcessPlanner(changed=lambda: told.append(planner.trouble()))
    planner.start()
    try:
        assert planner.answer_now(busy_fryer(2), None).courses
        for pid in planner.process_ids():
            os.kill(pid, signal.SIGKILL)
        assert planner.answer_now(busy_fryer(2), None).courses
        give_up = time.monotonic() + 30
        while (planner.trouble() or len(planner.process_ids()) < 2) and time.monotonic() < give_up:
            time.sleep(0.05)
        assert planner.trouble() == ()
        assert any("started again" in words for troubles in told for words in troubles)
        assert planner.answers()
    finally:
        planner.close()


def test_closing_ends_both_processes_soon() -> None:
    planner = ProcessPlanner()
    planner.start()
    assert planner.answer_now(busy_fryer(2), None).courses
    ids = planner.process_ids()
    heard = Heard()
    planner.ask(1, busy_fryer(12), None, heard.adopt)
    time.sleep(0.5)
    began = time.monotonic()
    planner.close()
    assert time.monotonic() - began < 2.0
    for pid in ids:
        with pytest.raises(ProcessLookupError):
            os.kill(pid, 0)


def test_the_search_yields_to_everything_else(planner: ProcessPlanner) -> None:
    assert planner.answers()
    quick, search = planner.process_ids()
    assert os.getpriority(os.PRIO_PROCESS, search) - os.getpriority(os.PRIO_PROCESS, quick) >= 15
