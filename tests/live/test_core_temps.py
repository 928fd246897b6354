"""Core temperatures: asked for on the cue, written down, gone from the check when they are high enough.

58 °C is the invented kitchen's own figure for its hake: the house's food-safety plan says what it has to be.
"""

import pytest

from kitchen_timer.kitchen.problems import BadMessage, NotNow
from kitchen_timer.kitchen.table import Plate
from kitchen_timer.service.commands import AddPlates, ReadCoreTemp, SendCourse, Undo
from tests.live.tonight import Tonight

FISH = "6/mains/hake/fish/1"
TURN = f"{FISH}/1"


def check_words(tonight: Tonight) -> list[str]:
    return [line.words for line in tonight.course("6/mains").checks if line.kind == "core_temp"]


@pytest.mark.parametrize(("celsius", "enough"), [(57.9, False), (58, True), (58.1, True)])
def test_a_reading_counts_from_what_the_step_asks_for(celsius: float, enough: bool) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(310)
    assert check_words(tonight) == ["Hake: read 58 °C in the middle"]
    (line,) = [line for line in tonight.course("6/mains").checks if line.kind == "core_temp"]
    assert (line.steps, line.core_temp) == ((TURN,), 58)
    ack = tonight.do(ReadCoreTemp(TURN, celsius))
    assert check_words(tonight) == (
        [] if enough else ["Hake read 57.9 °C, 58 °C is asked for: follow your food-safety plan"]
    )
    tonight.do(Undo(ack.seq))
    assert check_words(tonight) == ["Hake: read 58 °C in the middle"]


def test_below_it_the_step_is_not_done_unless_the_chef_takes_it_as_it_is() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(225)
    tonight.do(ReadCoreTemp(TURN, 51))
    assert any("read 51 °C, too low" in words and "food-safety plan" in words for words in tonight.board().trouble)
    with pytest.raises(NotNow, match=r"58 °C is asked for. Give it more time and read it again, or let the chef"):
        tonight.finish(TURN)
    assert tonight.actions("plancha")[0].core_temp == 58
    tonight.at(235).do(ReadCoreTemp(TURN, 55, override=True))
    assert tonight.actions("plancha")[0].core_temp is None
    tonight.finish(TURN)
    tonight.cook_until(320)
    assert check_words(tonight) == []


def test_read_again_and_high_enough_it_is_done() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(225)
    tonight.do(ReadCoreTemp(TURN, 51))
    tonight.at(240).do(ReadCoreTemp(TURN, 60.5))
    tonight.finish(TURN)
    assert tonight.note(TURN).state == "done"
    assert tonight.board().trouble == ()


def test_the_chef_sends_whatever_was_read() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(310)
    tonight.do(ReadCoreTemp(TURN, 51))
    tonight.do(SendCourse("6/mains"))
    assert tonight.board().courses == ()


@pytest.mark.parametrize("celsius", [-31, 151])
def test_a_slip_of_the_finger_is_no_reading(celsius: float) -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.start(f"{FISH}/0")
    with pytest.raises(BadMessage) as refused:
        tonight.do(ReadCoreTemp(TURN, celsius))
    assert refused.value.faults[0].where == "celsius"


def test_a_reading_belongs_to_a_step_that_asks_for_one_of_food_that_cooks() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1, squid=1)
    with pytest.raises(NotNow, match=r"has not been started. Read it while it cooks"):
        tonight.do(ReadCoreTemp(TURN, 60))
    tonight.start(f"{FISH}/0", "6/mains/squid/rings/1/0")
    with pytest.raises(NotNow, match=r"Skin side down asks for no core temperature. Read it at Turn"):
        tonight.do(ReadCoreTemp(f"{FISH}/0", 60))
    with pytest.raises(NotNow, match="Nothing is to be read of it"):
        tonight.do(ReadCoreTemp("6/mains/squid/rings/1/0", 60))


def test_every_load_is_read() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(20)
    tonight.do(AddPlates("6/mains", (Plate(dish="hake"),), allergies_asked=True))  # a load of its own
    tonight.cook_until(900)
    loads = {note.load_id for note in tonight.course("6/mains").notes if note.component == "fish"}
    assert len(loads) == 2
    first, second = sorted(loads)
    tonight.do(ReadCoreTemp(f"{first}/1", 60))
    (line,) = [line for line in tonight.course("6/mains").checks if line.kind == "core_temp"]
    assert line.steps == (f"{second}/1",)
    tonight.do(ReadCoreTemp(f"{second}/1", 60))
    assert check_words(tonight) == []
