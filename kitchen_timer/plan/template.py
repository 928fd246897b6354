"""A course as it would be with the kitchen to itself: of each load the starts of its pieces, before the landing."""

from kitchen_timer.plan.jobs import CourseJob, LoadJob

Template = tuple[tuple[str, str, int, tuple[int, ...]], ...]
"""A whole course with the kitchen to itself: dish, component, portions and piece starts of each load,
in seconds before (so below 0) its landing."""


def matched(job: CourseJob, template: Template) -> list[tuple[LoadJob, tuple[int, ...]]] | None:
    """The loads of a course with the starts of a template; None where it has other loads."""
    left = list(template)
    found_for = []
    for load in job.loads:
        if load.pattern is None or load.pattern.first:
            return None
        pattern = load.pattern
        found = next((t for t in left if t[:3] == (pattern.dish, pattern.component, pattern.portions)), None)
        if found is None:
            return None
        left.remove(found)
        found_for.append((load, found[3]))
    return found_for if not left else None
