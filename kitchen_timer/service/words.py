"""Times and names as a kitchen says them."""

from datetime import datetime

from kitchen_timer.kitchen.station import Kitchen
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.service.state import Evening


def clock_words(at: int, kitchen: Kitchen) -> str:
    """``19:31`` on the kitchen's own clock."""
    return datetime.fromtimestamp(at, tz=kitchen.zone).strftime("%H:%M")


def span_words(seconds: int) -> str:
    """``0:25`` or ``12:05``: minutes and seconds."""
    return f"{seconds // 60}:{seconds % 60:02d}"


def course_words(key: CourseKey) -> str:
    """``Table 6's mains``."""
    return f"Table {key.table}'s {key.course}"


def load_words(state: Evening, key: LoadKey | StepKey) -> str:
    """``table 6's hake``, by the component's name."""
    dish = state.book.get(key.dish)
    component = dish.components.get(key.component) if dish else None
    return f"table {key.table}'s {component.name if component else key.component}"


def sentence(text: str) -> str:
    """The text with a capital to begin with."""
    return text[:1].upper() + text[1:]
