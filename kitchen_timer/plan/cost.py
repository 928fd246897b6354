"""What a plan costs, in plate-seconds: lateness, waiting, and (in service) cues moved after they were announced."""

from kitchen_timer.kitchen.dish import Component, Dish
from kitchen_timer.plan.answer import Answer, PlannedCourse
from kitchen_timer.plan.jobs import lateness, waiting_rate
from kitchen_timer.plan.line import PlacedCourse, PlacedLoad
from kitchen_timer.plan.question import CourseKey, LoadKey, Question

STEADY_WITHIN_S = 0
"""An announced cue may move by so many seconds for nothing. None: small moves add up from plan to plan."""
MOVED_CUE = 3000.0
"""Plate-seconds that a moved announced cue costs at once: more than any landing is worth, less than food that dies. A
cue moves where the food leaves no other way, never because a better plan was found. A judgement."""
MOVED_CUE_PER_S = 0.5
MOVED_CUE_MOST_S = 120


def moved_cue(by_s: int) -> float:
    """Disturbance of one announced cue that moves by so many seconds, in plate-seconds."""
    by_s = abs(by_s)
    return 0.0 if by_s <= STEADY_WITHIN_S else MOVED_CUE + MOVED_CUE_PER_S * min(by_s, MOVED_CUE_MOST_S)


RESERVE_PER_S = 1.0
"""Plate-seconds of a portion that uses a second of what is held in reserve: between waiting and dying. A judgement."""


def priced(course: PlacedCourse) -> PlacedCourse:
    """A placed course with its lateness and waiting, its moved cues, and what begun food suffers, worked out."""
    job = course.job
    cost: float = lateness(job.weight, course.landing - course.target)
    steady, broken_s = 0.0, 0
    starts: dict[int, int] = {}
    for load in course.loads:
        first, begun = load.start, load.job.begun
        if load.job.announced is not None:
            steady += moved_cue(first - load.job.announced)
        if begun is not None and begun.steps:
            if load.job.pattern is not None:
                broken_s += max(0, first - max(0, load.job.begun_end + load.job.may_wait_s))
                broken_s += _waits_too_long(load)
            first = load.job.first_start(first)
        starts[load.job.part] = max(first, starts.get(load.job.part, first))
    for load in course.loads:
        part = job.parts[load.job.part]
        needed_by = [starts[p] for p in part.needed_by if p in starts]
        stands_s = (max(needed_by) if needed_by else course.landing) - load.end
        cost += load.job.rate * max(0, stands_s)
        broken_s += max(0, stands_s - part.keeps_s)
        if part.reserve_s:
            steady += spent_reserve(load.job.portions, stands_s - part.keeps_s, part.reserve_s)
    # Not by `replace`: a course is priced hundreds of times for a plan at once.
    return PlacedCourse(job, course.target, course.landing, course.up, course.loads, cost, steady, broken_s)


def _waits_too_long(load: PlacedLoad) -> int:
    assert load.job.pattern is not None
    pieces, too_long_s = load.job.pattern.pieces, 0
    for index in range(1, len(pieces)):
        waits_s = load.starts[index] - load.starts[index - 1] - pieces[index - 1].length_s
        too_long_s += max(0, waits_s - pieces[index].wait_s)
    return too_long_s


def cost_of(question: Question, answer: Answer) -> float:
    """``lateness + waiting`` of an answer by the rules of a plan, whoever made it."""
    return sum(cost_by_course(question, answer).values())


def cost_by_course(question: Question, answer: Answer) -> dict[CourseKey, float]:
    """``lateness + waiting`` of each course of an answer."""
    weights = {wanted.key: wanted.weight for wanted in question.courses}
    costs: dict[CourseKey, float] = {
        course.key: float(lateness(weights.get(course.key, course.plates), course.landing_at - course.target_at))
        for course in answer.courses
    }
    starts = _last_starts(answer)
    for key, steps in answer.by_load.items():
        course = answer.by_course.get(key.of_course)
        if course is None:
            continue
        dish = question.book[key.dish]
        stands_until = _stands_until(starts, key, dish, course)
        rate = waiting_rate(steps[0].portions, dish.components[key.component].keeps_s)
        costs[course.key] += rate * max(0, stands_until - steps[-1].end_at)
    return costs


def disturbance(question: Question, answer: Answer) -> float:
    """What an answer costs in announced cues that it moves, in plate-seconds; an overdue one may be done now."""
    return sum(disturbance_by_course(question, answer).values())


def disturbance_by_course(question: Question, answer: Answer) -> dict[CourseKey, float]:
    """:func:`disturbance` of each course that has had a cue."""
    moved: dict[CourseKey, float] = {}
    for key, told in question.announced.items():
        step = answer.by_step.get(key)
        if step is not None and goes_by_cue(question.book[key.dish].components[key.component], key.step):
            by_s = step.start_at - max(told, question.now)
            moved[key.of_course] = moved.get(key.of_course, 0.0) + moved_cue(by_s)
    return moved


def goes_by_cue(component: Component, step: int) -> bool:
    """Whether a cook waits for a cue to begin a step: what follows at once goes by the food."""
    return step == 0 or component.steps[step].may_wait_s > 0


BROKEN_PER_S = 1000.0
"""Worth of a second that begun food waits or stands longer than it should: more than any other wish."""


def worth(question: Question, answer: Answer) -> float:
    """What planners make small: cost, moved cues and what begun food suffers, in plate-seconds."""
    suffers_s = sum(_suffers_s(question, answer).values())
    reserves = _reserves_spent(question, answer)
    return cost_of(question, answer) + disturbance(question, answer) + reserves + BROKEN_PER_S * suffers_s


def spent_reserve(portions: int, past_s: int, reserve_s: int) -> float:
    """Plate-seconds of a load that stands ``past_s`` longer than it keeps (negative: shorter), of its reserve."""
    return RESERVE_PER_S * portions * min(reserve_s, max(0, past_s + reserve_s))


def _reserves_spent(question: Question, answer: Answer) -> float:
    if not question.reserve_s:
        return 0.0
    total, starts = 0.0, _last_starts(answer)
    for key, steps in answer.by_load.items():
        reserve_s = question.reserve_s.get((key.of_course, key.dish, key.component), 0)
        course = answer.by_course.get(key.of_course)
        if reserve_s and course is not None:
            dish = question.book[key.dish]
            stands_s = _stands_until(starts, key, dish, course) - steps[-1].end_at
            total += spent_reserve(steps[0].portions, stands_s - dish.components[key.component].keeps_s, reserve_s)
    return total


def worth_by_course(question: Question, answer: Answer) -> dict[CourseKey, float]:
    """:func:`worth` of each course of an answer."""
    worths = cost_by_course(question, answer)
    for key, moved in disturbance_by_course(question, answer).items():
        if key in worths:
            worths[key] += moved
    for load, seconds in _suffers_s(question, answer).items():
        if load.of_course in worths:
            worths[load.of_course] += BROKEN_PER_S * seconds
    return worths


def _suffers_s(question: Question, answer: Answer) -> dict[LoadKey, int]:
    """Seconds by which each begun load still to be planned overruns a wait or stands longer than it keeps."""
    suffers: dict[LoadKey, int] = {}
    starts = _last_starts(answer)
    for wanted in question.courses:
        course = answer.by_course.get(wanted.key)
        for begun in wanted.begun if course is not None and wanted.landed_at is None else ():
            key = LoadKey(*wanted.key, begun.dish, begun.component, begun.load)
            steps = answer.by_load.get(key, ())
            dish = question.book[begun.dish]
            component = dish.components[begun.component]
            over_s = 0
            for index in range(max(1, len(begun.steps)), len(steps)):
                ready_at = steps[index - 1].end_at + component.steps[index].may_wait_s
                over_s += max(0, steps[index].start_at - max(ready_at, question.now))
            if steps and course is not None:
                over_s += max(0, _stands_until(starts, key, dish, course) - steps[-1].end_at - component.keeps_s)
            suffers[key] = over_s
    return suffers


Starts = dict[tuple[str, str, str, str], int]
"""When the last load of each component starts: table, course, dish, component."""


def _last_starts(answer: Answer) -> Starts:
    starts: Starts = {}
    for key, steps in answer.by_load.items():
        part, start = key[:4], steps[0].start_at
        if start > starts.get(part, start - 1):
            starts[part] = start
    return starts


def _stands_until(starts: Starts, key: LoadKey, dish: Dish, course: PlannedCourse) -> int:
    """When a load stops standing: the start of the last load that waits for it, else the landing (rule 4)."""
    needed_by = [(*key[:3], other) for other in dish.dependants_of(key.component)]
    return max([starts[part] for part in needed_by if part in starts], default=course.landing_at)
