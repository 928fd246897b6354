"""What a plan costs, in plate-seconds: lateness, waiting, and (in service) cues moved after they were announced."""

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.jobs import lateness, waiting_rate
from kitchen_timer.plan.line import PlacedCourse
from kitchen_timer.plan.question import CourseKey, Question

STEADY_WITHIN_S = 5
"""An announced cue that moves no more than this has not moved for a cook."""
MOVED_CUE = 60.0
"""Plate-seconds that a moved announced cue costs at once: more than a table of four a quarter of a minute late."""
MOVED_CUE_PER_S = 0.5
MOVED_CUE_MOST_S = 120


def moved_cue(by_s: int) -> float:
    """Disturbance of one announced cue that moves by so many seconds, in plate-seconds."""
    by_s = abs(by_s)
    return 0.0 if by_s <= STEADY_WITHIN_S else MOVED_CUE + MOVED_CUE_PER_S * min(by_s, MOVED_CUE_MOST_S)


def course_cost(course: PlacedCourse) -> float:
    """Lateness and waiting of one placed course (the cost of an answer is their sum)."""
    job = course.job
    total: float = lateness(job.plates, course.landing - course.target)
    starts: dict[int, int] = {}
    for load in course.loads:
        first = load.start
        if load.job.begun is not None and load.job.begun.steps:
            first = load.job.begun_end - (load.job.begun.steps[-1].end_at - load.job.begun.steps[0].start_at)
        starts[load.job.part] = max(first, starts.get(load.job.part, first))
    for load in course.loads:
        needed_by = [starts[p] for p in job.parts[load.job.part].needed_by if p in starts]
        stands_until = max(needed_by) if needed_by else course.landing
        total += load.job.rate * max(0, stands_until - load.end)
    return total


def cues_moved(course: PlacedCourse) -> float:
    """Disturbance of one placed course, in plate-seconds."""
    return sum(moved_cue(load.start - load.job.announced) for load in course.loads if load.job.announced is not None)


def cost_of(question: Question, answer: Answer) -> float:
    """``lateness + waiting`` of an answer by the rules of a plan, whoever made it."""
    return sum(cost_by_course(question, answer).values())


def cost_by_course(question: Question, answer: Answer) -> dict[CourseKey, float]:
    """``lateness + waiting`` of each course of an answer."""
    costs: dict[CourseKey, float] = {
        course.key: float(lateness(course.plates, course.landing_at - course.target_at)) for course in answer.courses
    }
    starts: dict[tuple[CourseKey, str, str], int] = {}
    for key, steps in answer.by_load.items():
        part = (key.of_course, key.dish, key.component)
        starts[part] = max(starts.get(part, steps[0].start_at), steps[0].start_at)
    for key, steps in answer.by_load.items():
        course = answer.by_course.get(key.of_course)
        if course is None:
            continue
        dish = question.book[key.dish]
        needed_by = [
            starts[key.of_course, key.dish, other]
            for other in dish.dependants_of(key.component)
            if (key.of_course, key.dish, other) in starts
        ]
        stands_until = max(needed_by) if needed_by else course.landing_at
        rate = waiting_rate(steps[0].portions, dish.components[key.component].keeps_s)
        costs[course.key] += rate * max(0, stands_until - steps[-1].end_at)
    return costs


def disturbance(question: Question, answer: Answer) -> float:
    """What an answer costs in announced cues that it moves, in plate-seconds; an overdue one may be done now."""
    total = 0.0
    for key, told in question.announced.items():
        step = answer.by_step.get(key)
        if step is not None:
            total += moved_cue(step.start_at - max(told, question.now))
    return total
