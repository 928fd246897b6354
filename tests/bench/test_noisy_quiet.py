"""The judge of moved cues finds one that moved for nothing, and excuses one for which something happened."""

from dataclasses import replace

from kitchen_timer.plan.answer import Answer, PlannedStep
from kitchen_timer.plan.question import StepKey
from kitchen_timer.service.events import CueAnnounced, Event, OrderTaken, PlanAdopted, Recorded, StepStarted
from tests.bench.noisy_quiet import quiet_of
from tests.builders import book, component, dish, step

BOOK = book([dish("duck", breast=component("meat", step(60))), dish("egg", egg=component("stove", step(60)))])
DUCK = StepKey("4", "mains", "duck", "breast", 1, 0)
MORE = StepKey("6", "mains", "duck", "breast", 1, 0)
EGG = StepKey("9", "mains", "egg", "egg", 1, 0)


def planned(**starts: int) -> Answer:
    keys = {"duck": (DUCK, "meat"), "more": (MORE, "meat"), "egg": (EGG, "stove")}
    steps = [PlannedStep(*keys[name][:1], "Cook", keys[name][1], None, 1, at, at + 60) for name, at in starts.items()]
    return Answer(0, (), tuple(steps))


def judged(*happened: tuple[int, Event], moved_at: int) -> tuple[int, int, int]:
    """Moved, for something near, for nothing: table 6's duck is told for 40 at 25, and moves by 30 s."""
    first, then = planned(duck=10, more=40, egg=10), planned(duck=10, more=70, egg=10)
    events: list[tuple[int, Event]] = [
        (0, PlanAdopted(first)),
        (25, CueAnnounced(((MORE, 40),))),
        *happened,
        (moved_at, PlanAdopted(then, told=((MORE, 70),))),
    ]
    log = [Recorded(seq, at * 1000, event, seq) for seq, (at, event) in enumerate(events, start=1)]
    quiet = quiet_of(log, BOOK)
    return len(quiet.moved), sum(cue.near for cue in quiet.moved), len(quiet.for_nothing)


def test_a_cue_that_an_order_moves_moved_for_nothing() -> None:
    assert judged((28, OrderTaken(())), moved_at=28) == (1, 0, 1)


def test_a_late_tap_at_its_station_excuses_it_and_one_in_time_does_not() -> None:
    late = StepStarted(DUCK, 1, 28, 88, 10)
    assert judged((28, late), moved_at=28) == (1, 1, 0)
    assert judged((28, replace(late, at=10, end_at=70)), moved_at=28) == (1, 0, 1)


def test_what_happened_at_another_station_is_counted_by_itself() -> None:
    assert judged((28, StepStarted(EGG, 1, 28, 88, 10)), moved_at=28) == (1, 0, 0)


def test_an_overdue_cue_is_not_moved() -> None:
    assert judged(moved_at=41) == (0, 0, 0)
