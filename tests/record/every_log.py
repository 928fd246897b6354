"""What every log of events must do; each kind of log inherits it."""

from datetime import date

import pytest

from kitchen_timer.kitchen.seconds import Seconds
from kitchen_timer.kitchen.table import After, Asap, AtTime, Course, Hold, Plate
from kitchen_timer.plan.answer import Answer, Impossible, PlannedCourse, PlannedStep
from kitchen_timer.plan.question import CourseKey, LoadKey, StepKey
from kitchen_timer.record.event_log import ClientMark, EventLog, PlaceTaken
from kitchen_timer.service.events import (
    BookRead,
    CooksChanged,
    CoreTempRead,
    CourseFired,
    CourseHeld,
    CourseLanded,
    CourseRushed,
    CourseSent,
    CourseTakenOff,
    CueAnnounced,
    CueFreed,
    CueSet,
    Event,
    LandChanged,
    LeftAgain,
    LetStand,
    LoadGiven,
    LoadLost,
    NoneLeft,
    OrderTaken,
    PlanAdopted,
    PlatesChanged,
    ServiceOpened,
    SlotsChanged,
    StepFinished,
    StepGivenMore,
    StepStarted,
    Struck,
    TableLeft,
    TableMoved,
    TableReturned,
    TapsChanged,
)
from tests.live.tonight import small_book

KITCHEN = "skerrymoot"
MAINS = CourseKey("6", "mains")
FISH = LoadKey("6", "mains", "hake", "fish", 1)
SKIN, TURN = StepKey(*FISH, 0), StepKey(*FISH, 1)

COURSES = (
    Course(
        table="6",
        course="mains",
        in_at=1000,
        land=Asap(),
        plates=(
            Plate(dish="hake", qty=2, note='no "jus", ½ salt · Łódź', allergies=("tree nut", "milk"), seat="2 and 5"),
            Plate(dish="squid"),
        ),
    ),
    Course(table="bar 2", course="puds", in_at=1000, land=Hold(), plates=(Plate(dish="egg"),)),
    Course(table="6", course="mains 2", in_at=1000, land=AtTime(at=4000), plates=(Plate(dish="egg"),)),
    Course(
        table="6", course="puds", in_at=1000, land=After(after="mains", gap_s=Seconds(720)), plates=(Plate(dish="egg"),)
    ),
)


def plan(now: int = 1000) -> PlanAdopted:
    """A plan of one load of two steps, and a course that cannot be made."""
    return PlanAdopted(
        answer=Answer(
            now=now,
            courses=(PlannedCourse("6", "mains", 3, now + 240, now + 250, now + 290, 10),),
            steps=(
                PlannedStep(SKIN, "Skin side down", "plancha", "top", 2, now, now + 180),
                PlannedStep(TURN, "Rest", "plancha", None, 2, now + 180, now + 240),
            ),
            impossible=(Impossible("9", "mains", "more squid than the fryer holds", "split the table", 9),),
            cost=30.6,
            bound=12.0,
        ),
        causes=((MAINS, "Plancha: table 4's hake is on the top until 19:31"),),
        told=((SKIN, now),),
    )


EVERY_EVENT: tuple[Event, ...] = (
    ServiceOpened(date(2026, 11, 27), 1795806000.25, 1795806000.25, 10.0),
    OrderTaken(COURSES),
    CourseFired(MAINS),
    CourseHeld(MAINS),
    StepStarted(SKIN, 2, 1003, 1183, 1000),
    StepFinished(SKIN, 1183),
    StepGivenMore(TURN, 1270),
    LoadLost(FISH, 1300),
    CourseLanded(MAINS, 1310),
    CourseSent(MAINS, 1320, 1310, 12, 10, 1),
    CueAnnounced(((SKIN, 1000), (TURN, 1180))),
    plan(),
    LoadLost(FISH, 1300, 2),
    LandChanged(MAINS, AtTime(at=2000)),
    LandChanged(MAINS, After(after="starters", gap_s=Seconds(90), fired="sent")),
    CourseRushed(MAINS, 1400),
    TableLeft("bar 2", 1500),
    TableReturned("bar 2", 1600, 100),
    CueSet(FISH, 2, 1700),
    CueFreed(FISH),
    CoreTempRead(TURN, 58.5, 1800, True),
    LetStand((FISH,)),
    LoadGiven(FISH, LoadKey("9", "mains", "hake", "fish", 3), 1),
    PlatesChanged(MAINS, COURSES[0].plates, (FISH,)),
    CourseTakenOff(MAINS),
    TableMoved(((MAINS, CourseKey("9", "mains 2")),)),
    NoneLeft("hake", None),
    LeftAgain(None, "Leaves"),
    CooksChanged("fry", 0),
    SlotsChanged("fryer", 1),
    TapsChanged("fry", "clock"),
    BookRead(tuple(small_book().values()), ("squid",), whole=True),
    Struck(4),
)


class EveryLog:
    """Inherit this and give :meth:`log`; :meth:`again` is the same log after its program ended."""

    def log(self) -> EventLog:
        raise NotImplementedError

    def again(self, log: EventLog) -> EventLog:
        raise NotImplementedError

    def test_an_empty_log_has_nothing(self) -> None:
        assert list(self.log().read(KITCHEN)) == []

    @pytest.mark.parametrize("event", EVERY_EVENT, ids=lambda event: type(event).__name__)
    def test_every_event_comes_back_as_it_was(self, event: Event) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1795806000123, (event,))
        (entry,) = self.again(log).read(KITCHEN)
        assert (entry.seq, entry.at_ms, entry.event, entry.command) == (1, 1795806000123, event, 1)

    def test_events_count_from_one_without_gaps_and_know_their_command(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (CourseFired(MAINS), CourseHeld(MAINS)), ClientMark("phone", 1))
        log.append(KITCHEN, 2, 2, (CourseFired(MAINS),))
        entries = list(self.again(log).read(KITCHEN))
        assert [(e.seq, e.command, e.client_id, e.client_seq) for e in entries] == [
            (1, 1, "phone", 1),
            (2, 1, "phone", 1),
            (3, 3, None, None),
        ]

    def test_reading_begins_after_a_place(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (CourseFired(MAINS), CourseHeld(MAINS)))
        assert [entry.seq for entry in log.read(KITCHEN, after=1)] == [2]

    @pytest.mark.parametrize("expected", [0, 2, 7])
    def test_an_event_in_the_wrong_place_is_refused_and_changes_nothing(self, expected: int) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (CourseFired(MAINS),))
        with pytest.raises(PlaceTaken, match="another program writes"):
            log.append(KITCHEN, expected, 2, (CourseHeld(MAINS),))
        assert [entry.event for entry in self.again(log).read(KITCHEN)] == [CourseFired(MAINS)]

    def test_a_clients_command_is_written_once(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (CourseFired(MAINS),), ClientMark("phone", 1))
        with pytest.raises(PlaceTaken):
            log.append(KITCHEN, 1, 2, (CourseHeld(MAINS), CourseFired(MAINS)), ClientMark("phone", 1))
        assert len(list(log.read(KITCHEN))) == 1
        log.append(KITCHEN, 1, 2, (CourseHeld(MAINS),), ClientMark("phone", 2))
        log.append(KITCHEN, 2, 2, (CourseHeld(MAINS),), ClientMark("other phone", 1))

    def test_an_acknowledgement_is_found_again(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (CourseFired(MAINS),))
        log.append(KITCHEN, 1, 1, (CourseHeld(MAINS), CourseFired(MAINS)), ClientMark("phone", 41))
        again = self.again(log)
        assert again.acknowledged(KITCHEN, ClientMark("phone", 41)) == 2
        assert again.acknowledged(KITCHEN, ClientMark("phone", 42)) is None
        assert again.acknowledged("another kitchen", ClientMark("phone", 41)) is None

    def test_kitchens_have_sequences_of_their_own(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (CourseFired(MAINS),), ClientMark("phone", 1))
        log.append("another kitchen", 0, 1, (CourseHeld(MAINS),), ClientMark("phone", 1))
        assert [(entry.seq, entry.event) for entry in log.read("another kitchen")] == [(1, CourseHeld(MAINS))]

    def test_the_latest_plan_comes_back_whole_and_earlier_ones_with_what_still_counts(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (plan(1000),))
        log.append(KITCHEN, 1, 2, (plan(2000),))
        first, second = (entry.event for entry in self.again(log).read(KITCHEN))
        assert second == plan(2000)
        assert isinstance(first, PlanAdopted)
        assert (first.answer.courses, first.told) == (plan(1000).answer.courses, plan(1000).told)

    def test_the_newest_service_begins_where_it_was_opened_in_its_own_kitchen(self) -> None:
        log = self.log()
        assert log.begun(KITCHEN) == 0
        opened = ServiceOpened(date(2026, 11, 27), 1000.0, 1000.0, 1.0)
        log.append(KITCHEN, 0, 1, (opened, CourseFired(MAINS)))
        log.append(KITCHEN, 2, 2, (CourseHeld(MAINS), opened, CourseFired(MAINS)))
        log.append("harbour-row", 0, 3, (CourseFired(MAINS), opened))
        assert (log.begun(KITCHEN), log.begun("harbour-row")) == (4, 2)
        assert [entry.seq for entry in log.read(KITCHEN, after=3)] == [4, 5]

    def test_the_plan_that_stood_when_food_got_other_names_is_read_with_its_steps(self) -> None:
        """Planned food gets its new name by the plan: without the steps a phone's old name for it leads nowhere."""
        log = self.log()
        moved = TableMoved(((MAINS, CourseKey("9", "mains")),))
        log.append(KITCHEN, 0, 1, (plan(1000), plan(2000), moved, plan(3000), plan(4000)))
        plans = [entry.event for entry in self.again(log).read(KITCHEN) if isinstance(entry.event, PlanAdopted)]
        assert [bool(each.answer.steps) for each in plans if each.answer.now in (2000, 4000)] == [True, True]
