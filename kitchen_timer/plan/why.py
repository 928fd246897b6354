"""Why a course is behind: the chain that holds it, in kitchen words, back to what began it.

Everything else stays where the plan has it, and the course is tried sooner with less in its way: with one resource
that nobody else uses, then with several. What others have there at the instants it would need is what it waits for, and
only what it cannot land sooner beside is named: so without it the course does land sooner. A cause is never guessed.
"""

from collections.abc import Callable, Iterable

from kitchen_timer.plan.answer import Answer
from kitchen_timer.plan.attempt import Attempt
from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import PlacedCourse
from kitchen_timer.plan.profile import first_free
from kitchen_timer.plan.question import CourseKey, LoadKey, Question
from kitchen_timer.plan.why_link import Chain, Kind, Link
from kitchen_timer.plan.why_own import own_links
from kitchen_timer.plan.why_scene import PASS, InTheWay, Scene, used_by, uses
from kitchen_timer.plan.why_words import Words, minutes

LONGEST_CHAIN = 8
"""Links: beyond that nobody follows it, and the service is behind as a whole."""


def why_behind(question: Question, answer: Answer, enough: Callable[[], bool] = lambda: False) -> dict[CourseKey, str]:
    """For each course that lands after its target, what it waits for; courses on time are not in it.

    ``enough``: asked after each course, the next landings first; true when those found so far have to do.
    """
    chains = why_chains(question, answer, links=1, enough=enough)
    return {key: chain[0].words for key, chain in chains.items() if chain[0].kind != "landed"}


def why_chains(
    question: Question,
    answer: Answer,
    keys: Iterable[CourseKey] | None = None,
    *,
    links: int = LONGEST_CHAIN,
    enough: Callable[[], bool] = lambda: False,
) -> dict[CourseKey, Chain]:
    """For each course that is behind (of ``keys``, where given), what holds it, link by link; never empty."""
    wanted = None if keys is None else set(keys)
    behind = [c for c in answer.courses if c.late_s > 0 and (wanted is None or c.key in wanted)]
    behind.sort(key=lambda course: course.landing_at)
    if not behind:
        return {}
    why = WhyLate(question, answer)
    chains: dict[CourseKey, Chain] = {}
    for course in behind:
        if chains and enough():
            break
        if course.key in why.scene.ready.jobs:
            chains[course.key] = why.chain(course.key, links)
    return chains


class WhyLate:
    """Finds what holds the courses of one plan."""

    def __init__(self, question: Question, answer: Answer) -> None:
        self.scene = Scene(question, answer)
        self.words = Words(question)
        self.answer, self.now = answer, question.now
        self.without_it: dict[CourseKey, PlacedCourse] = {}
        """Where a course would be without what its first link names, all else as it is."""
        self._known: dict[CourseKey, tuple[Link, ...]] = {}

    # -- the chain ---------------------------------------------------------------------------------------------------

    def chain(self, key: CourseKey, most: int) -> Chain:
        """Links from a course back, at most so many."""
        links = list(self.held(key))
        seen = {key}
        while len(links) < most:
            last = links[-1]
            if last.by:
                nexts = self._behind_load(last.by[0], seen)
            elif last.by_courses:
                nexts = self._behind_course(last.by_courses[0], seen)
            else:
                break
            if not nexts:
                break
            seen.add(nexts[0].course)
            links += nexts
        return tuple(links[:most])

    def _behind_load(self, load: LoadKey, seen: set[CourseKey]) -> tuple[Link, ...]:
        """Why a load is where it is."""
        name = f"Table {load.table}'s {self.words.name(load)}"
        if self.scene.begun(load):
            since = self.words.time(self.scene.loads[load][0].start_at)
            return (Link(load.of_course, "started", f"{name} is on since {since}", load),)
        course = self.answer.by_course.get(load.of_course)
        if course is None:
            return ()
        if course.late_s <= 0:
            words = f"{name} is on time: table {load.table} lands at {self.words.time(course.landing_at)}, as wanted"
            return (Link(load.of_course, "on_time", words, load),)
        if load.of_course in seen:
            words = f"{name} waits for table {load.table}'s own landing: they are in each other's way"
            return (Link(load.of_course, "each_other", words, load),)
        first, *rest = self.held(load.of_course)
        said = self.words.waits_in_turn(load, first.load)
        return (_saying(first, f"{said}. {first.words}"), *rest)

    def _behind_course(self, key: CourseKey, seen: set[CourseKey]) -> tuple[Link, ...]:
        """Why a course lands when it does."""
        course = self.answer.by_course.get(key)
        if course is None or key not in self.scene.ready.jobs:
            return ()
        name = self.words.of_course(key).capitalize()
        if course.late_s <= 0:
            words = f"{name} are on time: they land at {self.words.time(course.landing_at)}, as wanted"
            return (Link(key, "on_time", words),)
        if key in seen:
            return (Link(key, "each_other", f"{name} wait in turn: they are in each other's way"),)
        first, *rest = self.held(key)
        return (_saying(first, f"{name} wait in turn. {first.words}"), *rest)

    # -- one course --------------------------------------------------------------------------------------------------

    def held(self, key: CourseKey) -> tuple[Link, ...]:
        """What holds one course: one link, or several where it is held by its own food."""
        if key not in self._known:
            with self.scene.without(key):
                self._known[key] = self._held(self.scene.ready.jobs[key])
        return self._known[key]

    def _held(self, job: CourseJob) -> tuple[Link, ...]:
        course = self.answer.by_course[job.key]
        landing = course.landing_at - self.now
        if job.landed is not None:
            words = f"All of it is at the pass since {self.words.time(course.landing_at)}"
            return (Link(job.key, "landed", words),)
        attempt = Attempt(self.scene.line, job)
        if landing <= attempt.earliest:
            return (self._not_before(job),)
        there = self.scene.sooner(job, landing)
        if there is not None:
            return (self._is_there(job, landing, self.scene.soonest(job, landing) or there),)
        order = self._resources(job, attempt, max(attempt.target, attempt.earliest))
        lands = {resource: self._lands_with(job, landing, resource) for resource in order}
        for resource in sorted((r for r in order if lands[r] < landing), key=lands.__getitem__):
            with self.scene.relaxed([resource], job.key):
                there = self.scene.sooner(job, landing)
            if there is not None and (link := self._taken(job, landing, there, [resource])) is not None:
                return (link,)
        return self._several(job, landing, order)

    def _lands_with(self, job: CourseJob, landing: int, resource: int) -> int:
        """When the course would land with one resource to itself."""
        with self.scene.relaxed([resource], job.key):
            soonest = self.scene.soonest(job, landing)
            return landing if soonest is None else soonest.landing

    def _resources(self, job: CourseJob, attempt: Attempt, low: int) -> list[int]:
        """What the course uses, first what the load uses that by itself lands last."""
        loads = [load for load in job.loads if load not in attempt.settled]

        def allows(load: LoadJob) -> int:
            blocked = attempt.allowed.get(load, 0)
            return first_free(blocked, low) if blocked >= 0 else 1 << 40

        order = used_by(job, sorted(loads, key=allows, reverse=True))
        if job.plating_s:
            blocked = self.scene.line.profile.starts_blocked(PASS, job.pass_hands, 0, job.plating_s)
            plates_from = first_free(blocked, low)
            if plates_from > max((allows(load) for load in loads), default=low):
                order.insert(0, order.pop())
        return order

    def _taken(self, job: CourseJob, landing: int, there: PlacedCourse, resources: list[int]) -> Link | None:
        """The link for what is taken of these resources while the course would need them; None: something else is."""
        things = self._least(job, landing, there, self.scene.in_the_way(job, there, resources))
        if not things:
            return None
        with self.scene.removed(things):
            found = self.scene.soonest(job, landing)
            if self.scene.fits(job, there) and (found is None or there.landing <= found.landing):
                found = there
            if found is None:
                return None
        self.without_it[job.key] = found
        names = self.scene.line.patterns.names
        held = [(self._waits(there, thing), thing) for thing in things]
        kind: Kind = "several"
        words = self.words.several(held)
        if len(resources) == 1:
            kind = {"pass": "plating", "station": "hands", "equipment": "slots"}[names[resources[0]][0]]  # type: ignore[assignment]
            words = self.words.held_by(held[0][0], things)
        return Link(
            job.key,
            kind,
            words,
            held[0][0],
            tuple(dict.fromkeys(thing.taken.resource for thing in things)),
            tuple(dict.fromkeys(load for thing in things for load in (thing.taken.key, *thing.loads) if load)),
            tuple(thing.plating for thing in things if thing.plating is not None),
            max(thing.taken.until_at for thing in things),
            landing - found.landing,
        )

    def _least(self, job: CourseJob, landing: int, there: PlacedCourse, things: list[InTheWay]) -> list[InTheWay]:
        """As few of these as must go: one alone if one will do, what is there longest first."""
        for thing in things if len(things) > 1 else ():
            with self.scene.removed([thing]):
                if self._lands(job, landing, there):
                    return [thing]
        with self.scene.removed(things):
            if not self._lands(job, landing, there):
                return []
        left = list(things)
        for thing in reversed(things):
            fewer = [other for other in left if other is not thing]
            with self.scene.removed(fewer):
                if fewer and self._lands(job, landing, there):
                    left = fewer
        return left

    def _lands(self, job: CourseJob, landing: int, there: PlacedCourse) -> bool:
        return self.scene.fits(job, there) or self.scene.sooner(job, landing) is not None

    def _waits(self, there: PlacedCourse, thing: InTheWay) -> LoadKey | None:
        """Which load of the course wants what is taken."""
        if thing.plating is not None:
            return None
        resource = self.scene.line.patterns.number[thing.taken.resource]
        from_s, until_s = thing.taken.from_at - self.now, thing.taken.until_at - self.now
        for placed in there.loads:
            if any(start < until_s and to > from_s for start, to in uses(placed, resource)):
                return placed.job.key
        return None

    def _several(self, job: CourseJob, landing: int, order: list[int]) -> tuple[Link, ...]:
        """Held by more than one resource at once; or, where that is not it, by its own food."""
        with self.scene.relaxed(order, job.key):
            there = self.scene.sooner(job, landing) or self.scene.soonest_of_all(job, landing)
        if there is None:
            return own_links(self.scene, self.words, job, landing)
        needed = list(order)
        for resource in reversed(order):
            fewer = [each for each in needed if each != resource]
            with self.scene.relaxed(fewer, job.key):
                found = self.scene.sooner(job, landing) if fewer else None
            if found is not None:
                needed, there = fewer, found
        link = self._taken(job, landing, there, needed)
        return (link,) if link is not None else own_links(self.scene, self.words, job, landing)

    # -- held by nothing that is in the way ----------------------------------------------------------------------------

    def _not_before(self, job: CourseJob) -> Link:
        """Rule 8 holds it."""
        if job.follows is None:
            words = f"It is not wanted before {self.words.time(self.now + job.floor)}"
            return Link(job.key, "wanted", words, until_at=self.now + job.floor)
        up = job.up_before if job.up_before is not None else self.scene.line.up[job.follows]
        at = self.words.time(self.now + up)
        gap = f", plus {minutes(job.gap_s)}" if job.gap_s else ""
        gone = "were up at" if job.up_before is not None else "are up at"
        words = f"It comes after {job.follows.course}, which {gone} {at}{gap}"
        courses = () if job.up_before is not None else (job.follows,)
        return Link(job.key, "after", words, by_courses=courses, until_at=self.now + up + job.gap_s)

    def _is_there(self, job: CourseJob, landing: int, there: PlacedCourse) -> Link:
        """A sooner landing has room, and yet the plan has not got it."""
        sooner_s = landing - there.landing
        moved = [p for p in there.loads if p.job.announced is not None and p.job.announced != p.start]
        if moved and self.scene.sooner(job, landing, pinned=True) is None:
            load = moved[0].job
            told = self.words.time(self.now + (load.announced or 0))
            words = f"{self.words.station(load.key)}: its {self.words.name(load.key)} stays at {told}, as announced"
            return Link(job.key, "announced", words, load.key)
        stands = self._stands_longer(job, there)
        if stands is not None:
            load_key, longer_s = stands
            words = f"{minutes(sooner_s)} sooner its {self.words.name(load_key)} would stand {minutes(longer_s)} longer"
            return Link(job.key, "stands", words, load_key)
        words = f"It could land at {self.words.time(self.now + there.landing)}: the search has not got there yet"
        return Link(job.key, "search", words, sooner_s=sooner_s)

    def _stands_longer(self, job: CourseJob, there: PlacedCourse) -> tuple[LoadKey, int] | None:
        """What would stand longer, where all in all that costs more than the time is worth; None: it is worth it."""
        now = [self.scene.placed[load.key] for load in job.loads if load.key in self.scene.placed]
        if len(now) != len(there.loads):
            return None
        landing = self.answer.by_course[job.key].landing_at - self.now
        attempt = Attempt(self.scene.line, job, look=False)
        as_it_is = attempt.course_at(landing, {placed.job: placed for placed in now})
        if there.cost < as_it_is.cost - 1e-6:
            return None
        ends = {placed.job.key: landing - placed.end for placed in now}
        longer = {p.job.key: there.landing - p.end - ends[p.job.key] for p in there.loads if p.job.key in ends}
        worst = max(longer, key=lambda key: longer[key], default=None)
        return (worst, longer[worst]) if worst is not None and longer[worst] > 0 else None


def _saying(link: Link, words: str) -> Link:
    return Link(
        link.course, link.kind, words, link.load, link.resources, link.by, link.by_courses, link.until_at, link.sooner_s
    )
