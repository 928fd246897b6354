"""A course as it would be with the kitchen to itself: of each load the starts of its pieces, before the landing."""

from collections.abc import Iterable

from kitchen_timer.plan.jobs import CourseJob, LoadJob

Template = tuple[tuple[str, str, int, tuple[int, ...]], ...]
"""A whole course with the kitchen to itself: dish, component, portions and piece starts of each load,
in seconds before (so below 0) its landing."""


def matched(job: CourseJob, template: Template) -> list[tuple[LoadJob, tuple[int, ...]]] | None:
    """The loads of a course with the starts of a template; None where it has other loads."""
    return matched_loads(job.loads, template) if len(job.loads) == len(template) else None


def matched_loads(loads: Iterable[LoadJob], template: Template) -> list[tuple[LoadJob, tuple[int, ...]]] | None:
    """Loads with their starts in a template; None where one of them is not in it, or has begun."""
    left = list(template)
    found_for = []
    for load in loads:
        pattern = load.pattern
        if pattern is None or pattern.first:
            return None
        wanted = (pattern.dish, pattern.component, pattern.portions)
        found = next((t for t in left if t[:3] == wanted), None)
        if found is None:
            return None
        left.remove(found)
        found_for.append((load, found[3]))
    return found_for
