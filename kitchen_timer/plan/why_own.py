"""A course that would land no sooner with the kitchen to itself: the longest way through its own food.

Walked back from the landing: a load ends when it is needed and begins when what it comes after is done, or when its
own course gives back the slots or hands it needs; so on, until something began as soon as it could. That is the
critical path of the course.
"""

from kitchen_timer.plan.jobs import CourseJob, LoadJob
from kitchen_timer.plan.line import PlacedLoad
from kitchen_timer.plan.question import LoadKey
from kitchen_timer.plan.why_link import Kind, Link
from kitchen_timer.plan.why_scene import Scene, used_by, uses
from kitchen_timer.plan.why_words import Words, minutes

Way = list[tuple[PlacedLoad, PlacedLoad | None, Kind]]
"""Loads back from the landing, each with the one it waits for and why."""


def own_links(scene: Scene, words: Words, job: CourseJob, landing: int) -> tuple[Link, ...]:
    """Links along the critical path, the landing first; the last one says what it began with."""
    loads = _placed(scene, job)
    way = _way(job, loads, landing)
    if way is None:
        return (_all_in_all(words, job, loads),)
    links = [_link(scene, words, job, *each) for each in way]
    return tuple(links)


def _placed(scene: Scene, job: CourseJob) -> list[PlacedLoad]:
    """The course's loads as the plan has them; what is all done ends when it ended."""
    found = []
    for load in job.loads:
        if load.pattern is None:
            found.append(PlacedLoad(load, (load.begun_end,)))
        elif load.key in scene.placed:
            found.append(scene.placed[load.key])
    return found


def _way(job: CourseJob, loads: list[PlacedLoad], landing: int) -> Way | None:
    """The way from the landing back to a load that could not begin sooner; None where a wait is in every way."""
    of_part: dict[int, list[PlacedLoad]] = {}
    for placed in loads:
        of_part.setdefault(placed.job.part, []).append(placed)
    dead: set[LoadKey] = set()

    def back(placed: PlacedLoad) -> Way | None:
        if placed.job.key in dead:
            return None
        dead.add(placed.job.key)
        if _begins_at_once(job, placed):
            return [(placed, None, "time" if placed.job.begun is None else "own")]
        for other, kind in _before(job, placed, loads, of_part):
            further = back(other)
            if further is not None:
                return [(placed, other, kind), *further]
        return None

    for placed in sorted(loads, key=lambda p: (-p.end, p.start, p.job.key)):
        if placed.end == landing and (way := back(placed)) is not None:
            return way
    return None


def _begins_at_once(job: CourseJob, placed: PlacedLoad) -> bool:
    if _waits_within(placed):
        return False
    if placed.job.begun is not None:
        return placed.start <= max(0, placed.job.begun_end)
    return placed.start <= job.ready


def _waits_within(placed: PlacedLoad) -> bool:
    pattern = placed.job.pattern
    return pattern is not None and placed.end - placed.start > pattern.length_s


def _before(
    job: CourseJob, placed: PlacedLoad, loads: list[PlacedLoad], of_part: dict[int, list[PlacedLoad]]
) -> list[tuple[PlacedLoad, Kind]]:
    """Loads of the course that end, or give back what this one needs, just when it begins."""
    if _waits_within(placed):
        return []
    found: list[tuple[PlacedLoad, Kind]] = [
        (other, "after")
        for part in job.parts[placed.job.part].after
        for other in of_part.get(part, [])
        if other.end == placed.start
    ]
    for resource in used_by(job, [placed.job]):
        mine = sorted(uses(placed, resource))
        for other in loads:
            if other is placed or not mine:
                continue
            if any(to == start for _, to in uses(other, resource) for start, _ in mine):
                found.append((other, "own"))
    return found


def _link(scene: Scene, words: Words, job: CourseJob, placed: PlacedLoad, other: PlacedLoad | None, kind: Kind) -> Link:
    key = placed.job.key
    station, name = words.station(key), words.name(key)
    if other is None:
        if placed.job.begun is not None:
            done_at = scene.now + placed.end
            return Link(job.key, "own", f"{station}: its own {name} not done until {words.time(done_at)}", key)
        takes = minutes(placed.end - placed.start)
        return Link(job.key, "time", f"{station}: {takes} for its {name} is more than there was", key)
    done, its = words.time(scene.now + other.end), words.name(other.job.key)
    if kind == "after":
        return Link(job.key, "own", f"{station}: its {name} comes after its {its}, done at {done}", key)
    if other.job.part == placed.job.part:
        return Link(job.key, "own", f"{station}: its {name} takes more than one load, the one before until {done}", key)
    return Link(job.key, "own", f"{station}: its {name} waits for its own {its} until {done}", key)


def _all_in_all(words: Words, job: CourseJob, loads: list[PlacedLoad]) -> Link:
    """Where waits or keeps are in every way: the load that takes longest."""

    def length_s(load: LoadJob) -> int:
        return load.pattern.length_s if load.pattern is not None else 0

    begun = [placed for placed in loads if placed.job.begun is not None]
    if begun:
        last = max(begun, key=lambda placed: placed.end)
        key = last.job.key
        text = f"{words.station(key)}: the rest of it has to fit to its {words.name(key)}, which is on"
        return Link(job.key, "own", text, key)
    longest = max(job.loads, key=length_s)
    text = (
        f"{words.station(longest.key)}: its own food keeps no longer apart, "
        f"{minutes(length_s(longest))} for its {words.name(longest.key)} among it"
    )
    return Link(job.key, "own", text, longest.key)
