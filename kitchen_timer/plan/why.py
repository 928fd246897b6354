"""Why a course is behind: the one thing that keeps it from landing sooner, in kitchen words.

Everything else stays where the plan has it. Of the course's loads the one that allows a landing last is looked at:
what is taken at the second before its first possible start is what it waits for.
"""

from datetime import datetime

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import Line, PlacedLoad
from kitchen_timer.plan.prepare import Prepared, prepare, starts_in
from kitchen_timer.plan.profile import first_free
from kitchen_timer.plan.question import CourseKey, Question
from kitchen_timer.plan.taken import Taken, taken_by


def why_behind(question: Question, answer: Answer) -> dict[CourseKey, str]:
    """For each course that lands after its target, what it waits for; courses on time are not in it."""
    behind = [course.key for course in answer.courses if course.late_s > 0]
    if not behind:
        return {}
    ready = prepare(question)
    return {key: _Why(question, answer, ready, key).sentence() for key in behind if key in ready.jobs}


class _Why:
    def __init__(self, question: Question, answer: Answer, ready: Prepared, key: CourseKey) -> None:
        self.question, self.answer, self.ready, self.key = question, answer, ready, key
        self.job: CourseJob = ready.jobs[key]
        self.now = question.now
        self.landing = answer.by_course[key].landing_at - question.now
        self.own: list[PlacedLoad] = []
        self.line = self._line()

    def _line(self) -> Line:
        """Everything but this course, wherever the answer has it."""
        line = self.ready.line()
        for each in self.ready.jobs.values():
            line.lift(each)
        for key, course in self.answer.by_course.items():
            job = self.ready.jobs.get(key)
            if job is None:
                continue
            line.up[key] = course.up_at - self.now
            if key == self.key:
                continue
            line.profile.add(0, job.pass_hands, course.landing_at - self.now, course.up_at - self.now)
            for load, starts in starts_in(self.answer, self.ready, job).items():
                if load.key not in line.fixed:
                    line.put(PlacedLoad(load, starts))
        return line

    def sentence(self) -> str:
        if self.job.landed is not None:
            return ""
        attempt = Attempt(self.line, self.job)
        target = max(attempt.target, attempt.earliest)
        last: tuple[int, LoadJob] | None = None
        for load in self.job.loads:
            allows = self._allows(attempt, load, target)
            if allows > target and (last is None or allows > last[0]):
                last = (allows, load)
        plates_from = first_free(self._plating_blocked(), target)
        if plates_from > target and (last is None or plates_from > last[0]):
            return self._plating(plates_from)
        if last is not None:
            return self._load(attempt, *last)
        return self._together(attempt, target)

    # -- finding ---------------------------------------------------------------------------------------------------

    def _allows(self, attempt: Attempt, load: LoadJob, target: int) -> int:
        """The first landing from the target on that a load by itself allows."""
        settled = attempt.settled.get(load)
        if settled is not None:
            return max(target, settled.end)
        blocked = attempt.allowed.get(load, 0)
        return first_free(blocked, target) if blocked >= 0 else target

    def _plating_blocked(self) -> int:
        job = self.job
        return self.line.profile.starts_blocked(0, job.pass_hands, 0, job.plating_s) if job.plating_s else 0

    def _load(self, attempt: Attempt, allows: int, load: LoadJob) -> str:
        """Why a load allows no landing before ``allows``: what stands in the way of a start a second sooner."""
        name, station = self._names(load)
        if load in attempt.settled:
            return f"{station}: its own {name} not done until {self._time(attempt.settled[load].end)}"
        assert load.pattern is not None
        pieces = load.pattern.pieces
        reach = self.line.starts_blocked(load.pattern, attempt.out[load])
        starts = self.line.latest(load.pattern, reach, allows - attempt.keeps_s(self.job.parts[load.part]), allows)
        if starts is None:
            return self._together(attempt, allows - 1)
        for index in reversed(range(len(pieces))):
            # A wait before a piece may hide what it waits for: look back to where the piece before would let it go.
            blocked = self.line.piece_blocked(load.pattern, index)
            for probe in range(starts[index] - 1, max(-1, starts[index] - 2 - pieces[index].wait_s), -1):
                if blocked >> probe & 1 and (found := self._what(load, index, probe)):
                    return found
        first = starts[0]
        for p in self.job.parts[load.part].after:
            for other in self.job.parts[p].loads:
                end = self._done(attempt, other, first)
                if end == first:
                    return self._load(attempt, end, other)
        if first <= max(self.job.ready, load.begun_end if load.begun else 0):
            return f"{station}: {_minutes(load.pattern.length_s)} for its {name} is more than there was"
        return f"{station}: no room sooner for its {name}"

    def _done(self, attempt: Attempt, load: LoadJob, by: int) -> int | None:
        """When a load is done at the latest by an instant; None where it cannot be."""
        settled = attempt.settled.get(load)
        if settled is not None:
            return settled.end
        assert load.pattern is not None
        reach = self.line.starts_blocked(load.pattern, attempt.out[load])
        starts = self.line.latest(load.pattern, reach, 0, by)
        return None if starts is None else starts[-1] + load.pattern.pieces[-1].length_s

    def _what(self, load: LoadJob, index: int, start: int, own: tuple[PlacedLoad, ...] = ()) -> str:
        """What is taken when a piece starts at a second at which it does not fit."""
        assert load.pattern is not None
        profile = self.line.profile
        needs: list[tuple[int, int, int, int]] = []
        for run in load.pattern.pieces[index].runs:
            needs += [(use.resource, use.amount, use.from_s, use.to_s) for use in run.slots]
            needs += [(resource, 1, from_s, to_s) for resource, from_s, to_s in run.hands]
        for resource, amount, from_s, to_s in needs:
            if not profile.is_free(resource, amount, start + from_s, start + to_s):
                return self._who(load, resource, start + from_s, start + to_s, own)
        return ""

    def _who(self, load: LoadJob, resource: int, from_s: int, to_s: int, own: tuple[PlacedLoad, ...]) -> str:
        kind, name = self.ready.patterns.names[resource]
        others = [steps for key, steps in self.answer.by_load.items() if key.of_course != self.key]
        mine = [self.answer.by_load[placed.job.key] for placed in own if placed.job.key in self.answer.by_load]
        begun = {load.key for load in self.job.loads if load.begun is not None}
        mine += [steps for key, steps in self.answer.by_load.items() if key in begun]
        taken = taken_by(self.question.kitchen, self.question.book, [*others, *mine])
        at = [
            t
            for t in taken
            if t.resource == (kind, name) and t.from_at < self.now + to_s and t.until_at > self.now + from_s
        ]
        if not at:
            return ""
        freed = [t for t in at if t.until_at == self.now + from_s + 1]
        binding = max(freed or at, key=lambda t: t.until_at)
        _, station = self._names(load)
        return f"{station}: {self._says(binding, kind, name)}"

    def _together(self, attempt: Attempt, target: int) -> str:
        """No load alone is held back: the one that does not fit beside the others of its own course."""
        order = attempt.orders[0]
        done, failed = attempt.in_order(order, target)
        if failed is None or failed.pattern is None:
            return "No one thing: a sooner landing is being looked for"
        own = tuple(placed for load, placed in done.items() if load not in attempt.settled)
        for placed in own:
            self.line.put(placed)
        start = target - failed.pattern.pieces[-1].length_s
        last = len(failed.pattern.pieces) - 1
        found = self._what(failed, last, start, own)
        for placed in reversed(own):
            self.line.take(placed)
        name, station = self._names(failed)
        return found or f"{station}: no room for its {name} beside the rest of the course"

    # -- words -----------------------------------------------------------------------------------------------------

    def _names(self, load: LoadJob) -> tuple[str, str]:
        component = self.question.book[load.key.dish].components[load.key.component]
        return _small(component.name), self.question.kitchen.stations[component.station].name

    def _says(self, taken: Taken, kind: str, name: str) -> str:
        assert taken.key is not None
        component = self.question.book[taken.key.dish].components[taken.key.component]
        whose = "its own" if taken.key.of_course == self.key else f"table {taken.table}'s"
        what, done = f"{whose} {_small(component.name)}", self._time(taken.done_at - self.now)
        if kind == "station":
            cooks = self.question.kitchen.stations[name].cooks
            busy = {1: "the cook is busy with", 2: "both cooks are busy, with"}.get(
                cooks, f"all {cooks} cooks are busy, with"
            )
            return f"{busy} {what} until {done}"
        equipment = self.question.kitchen.equipment_name(name)
        recovers_s = taken.until_at - taken.done_at
        then = f", then {_minutes(recovers_s)} to recover" if recovers_s else ""
        return f"{what} in the {equipment} until {done}{then}"

    def _plating(self, until: int) -> str:
        others = [c for c in self.answer.courses if c.key != self.key and c.up_at > c.landing_at]
        before = [c for c in others if c.up_at - self.now == until]
        if before:
            return f"Pass: hands are plating table {before[0].table} until {self._time(until)}"
        return f"Pass: all hands are plating until {self._time(until)}"

    def _time(self, second: int) -> str:
        at = datetime.fromtimestamp(self.now + second, tz=self.question.kitchen.zone)
        return at.strftime("%H:%M:%S" if at.second else "%H:%M")


def _minutes(seconds: int) -> str:
    """Seconds as cooks say them: ``45 s``, ``2 min``, ``2:30 min``."""
    minutes, rest = divmod(seconds, 60)
    if seconds <= 90:
        return f"{seconds} s"
    return f"{minutes}:{rest:02d} min" if rest else f"{minutes} min"


def _small(name: str) -> str:
    """A component's name inside a sentence."""
    return name[:1].lower() + name[1:]
