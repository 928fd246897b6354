"""A book that is edited during service counts for what has not started; what has goes on as it was begun."""

from pathlib import Path

from kitchen_timer.files import read_kitchen
from kitchen_timer.kitchen.dish import Book
from kitchen_timer.live.book_watch import BookWatch
from kitchen_timer.service.commands import ChangePlate, FinishSteps, SendCourse
from tests import builders as b
from tests.live.tonight import SERVICE, START, Tonight, small_book


def slower() -> Book:
    """The hake turned for 120 s instead of 60 and rested no more; the squid is gone, there is toast."""
    old = small_book()
    fish = old["hake"].components["fish"]
    steps = (fish.steps[0], b.step(120, on="top", do="Turn"))
    hake = old["hake"].model_copy(
        update={"components": {**old["hake"].components, "fish": fish.model_copy(update={"steps": steps})}}
    )
    toast = b.dish("toast", bread=b.component("cold", b.step(30, do="Toast"), name="Toast"))
    return {"hake": hake, "egg": old["egg"], "toast": toast}


def test_what_has_started_goes_on_as_it_was_begun_and_the_rest_is_as_edited() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.order("4", "mains", b.at(START + 900), hake=1)
    tonight.cook_until(100)
    tonight.engine.use_book(slower())
    six, four = tonight.course("6/mains"), tonight.course("4/mains")
    assert [(n.do, n.end_at - n.start_at) for n in six.notes if n.component == "fish"] == [
        ("Skin side down", 180),
        ("Turn", 60),
        ("Rest", 60),
    ]
    assert [(n.do, n.end_at - n.start_at) for n in four.notes if n.component == "fish"] == [
        ("Skin side down", 180),
        ("Turn", 120),
    ]
    assert (six.landing_at, four.landing_at) == (START + 300, START + 900)
    # Phones that know the started food by its name of before tap the right one.
    tonight.at(180).start("6/mains/hake/fish/1/1")
    tonight.at(240).do(FinishSteps(("6/mains/hake/fish/1/1",)))
    tonight.cook_until(320)
    assert tonight.course("6/mains").at_pass


def test_the_order_page_offers_the_book_as_edited() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.start("6/mains/hake/fish/1/0")
    tonight.engine.use_book(slower())
    assert sorted(tonight.engine.book) == ["egg", "hake", "toast"]
    tonight.order("4", toast=1)
    assert tonight.course("4/mains").dishes[0].name == "Toast"


def test_a_dish_that_left_the_book_is_still_cooked_for_who_ordered_it() -> None:
    tonight = Tonight()
    tonight.order("6", squid=1)
    tonight.engine.use_book(slower())
    tonight.cook_until(100)
    assert tonight.course("6/mains").at_pass
    (dish,) = tonight.course("6/mains").dishes
    tonight.do(SendCourse("6/mains"))
    assert dish.name == "Squid"


def test_the_same_book_again_changes_nothing() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    seq = tonight.board().seq
    tonight.engine.use_book(small_book())
    assert tonight.board().seq == seq


def test_a_restart_with_an_edited_book_keeps_what_was_begun() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.cook_until(100)
    board = tonight.board()
    tonight.book = slower()
    again = tonight.restart()
    # What the evening was cooked by stands in its log, whatever the files say now.
    assert again.pass_board() == board
    again.use_book(tonight.book)
    assert tonight.course("6/mains").landing_at == START + 300
    edited = tonight.board()
    assert tonight.restart().pass_board() == edited


def test_the_next_service_begins_with_the_book_as_it_is() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.start("6/mains/hake/fish/1/0")
    tonight.engine.use_book(slower())
    tonight.engine.open_service(SERVICE.replace(day=28))
    assert tonight.engine.book == slower()


def test_a_plate_of_before_can_still_be_changed() -> None:
    tonight = Tonight()
    tonight.order("6", hake=1)
    tonight.start("6/mains/hake/fish/1/0")
    tonight.engine.use_book(slower())
    (dish,) = tonight.course("6/mains").dishes
    was = b_plate(dish.dish)
    tonight.do(ChangePlate("6/mains", was, was.model_copy(update={"note": "no skin"})))
    assert tonight.course("6/mains").dishes[0].note == "no skin"
    assert tonight.course("6/mains").landing_at == START + 300


def b_plate(dish: str):  # type: ignore[no-untyped-def]
    from kitchen_timer.kitchen.table import Plate

    return Plate(dish=dish)


KITCHEN = """name: Skerrymoot
timezone: Europe/London
stations: {larder: {name: Larder, cooks: 1, taps: done}}
pass: {hands: 1}
"""

DISH = """dish: toast
name: Toast
course: starters
plating: 5s
components:
  toast:
    name: Toast
    station: larder
    keeps: 2m
    steps: [{do: Toast, takes: SECONDS}]
"""


def test_files_are_used_when_they_change_and_a_faulty_one_is_said_on_the_pass(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir()
    (tmp_path / "kitchen.yaml").write_text(KITCHEN)
    toast = tmp_path / "book" / "toast.yaml"
    toast.write_text(DISH.replace("SECONDS", "30s"))
    used: list[Book] = []
    heard: list[None] = []
    watch = BookWatch(tmp_path, used.append, lambda: heard.append(None))
    watch.look()
    assert used == []
    toast.write_text(DISH.replace("SECONDS", "45"))
    watch.look()
    assert used == []
    assert "toast.yaml" in watch.trouble()[0]
    assert "the one before counts" in watch.trouble()[0]
    toast.write_text(DISH.replace("SECONDS", "45s"))
    watch.look()
    assert used[0]["toast"].components["toast"].steps[0].takes.usual_s == 45
    assert watch.trouble() == ()
    assert len(heard) == 2


def test_an_edited_kitchen_counts_from_the_next_start_and_the_pass_says_so_until_then(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir()
    kitchen_file = tmp_path / "kitchen.yaml"
    kitchen_file.write_text(KITCHEN)
    (tmp_path / "book" / "toast.yaml").write_text(DISH.replace("SECONDS", "30s"))
    kitchen, _book, _warned = read_kitchen(tmp_path)
    watch = BookWatch(tmp_path, lambda _book: None, lambda: None, kitchen)
    kitchen_file.write_text(KITCHEN.replace("cooks: 1", "cooks: 2"))
    watch.look()
    (said,) = watch.trouble()
    assert said.startswith("kitchen.yaml was edited: it counts when the server is started again.")
    kitchen_file.write_text(KITCHEN + "\n# as it was\n")
    watch.look()
    assert watch.trouble() == ()
