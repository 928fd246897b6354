"""Databases that are full, read-only, torn or in use: a clear refusal, nothing acknowledged, and on when it is over."""

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import event

from kitchen_timer.kitchen.problems import NotRecorded
from kitchen_timer.kitchen.table import Asap, Plate
from kitchen_timer.record.event_log import ClientMark
from kitchen_timer.record.in_database import DatabaseLog, sqlite_log
from kitchen_timer.service.commands import CourseAsked, SendCourse, TakeOrder
from kitchen_timer.service.events import CourseFired, CourseHeld, OrderTaken
from tests.live.tonight import Tonight
from tests.record.every_log import COURSES, KITCHEN, MAINS

FISH = "6/mains/hake/fish/1"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "service.sqlite"


def full(log: DatabaseLog) -> Callable[[], None]:
    """The disk is full from now on: SQLite may take no page more (https://www.sqlite.org/pragma.html). Gives room."""

    def limit(connection: sqlite3.Connection, _record: object) -> None:
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count={pages}")

    event.listen(log._engine, "connect", limit)
    log._engine.dispose()

    def room() -> None:
        event.remove(log._engine, "connect", limit)
        log._engine.dispose()

    return room


def a_large_order() -> TakeOrder:
    plates = tuple(Plate(dish="hake", note="x" * 120, seat=str(seat)) for seat in range(20))
    return TakeOrder("5", (CourseAsked("mains", plates, Asap()),), allergies_asked=True)


def taken(tonight: Tonight, number: int) -> bool:
    """Whether one more order found room."""
    try:
        tonight.do(a_large_order(), "phone", number)
    except NotRecorded:
        return False
    return True


def test_a_full_disk_acknowledges_nothing_and_goes_on_when_there_is_room(path: Path) -> None:
    log = sqlite_log(path)
    tonight = Tonight(log=log)
    tonight.order("6", hake=1)
    room = full(log)
    shown = tonight.board()
    number = 100 + sum(taken(tonight, number) for number in range(100, 140))  # the last page has room for a few rows
    with pytest.raises(NotRecorded, match=r"database or disk is full.*See that the disk has room"):
        tonight.do(a_large_order(), "phone", number)
    assert log.acknowledged(KITCHEN, ClientMark("phone", number)) is None
    assert any("Nothing can be written down" in words for words in tonight.board().trouble)
    assert tonight.course("6/mains").landing_at == shown.courses[0].landing_at
    board = tonight.board()
    room()
    assert [course.id for course in tonight.restart().pass_board().courses] == [course.id for course in board.courses]
    tonight.start(f"{FISH}/0")
    assert tonight.note(f"{FISH}/0").state == "started"


def test_a_database_that_may_only_be_read_shows_the_evening_and_refuses_taps(path: Path) -> None:
    log = sqlite_log(path)
    tonight = Tonight(log=log)
    tonight.order("6", hake=1)
    shown = tonight.board()
    event.listen(log._engine, "connect", lambda connection, _: connection.execute("PRAGMA query_only=ON"))
    log._engine.dispose()
    again = tonight.restart()
    assert again.pass_board() == shown
    with pytest.raises(NotRecorded, match="readonly database"):
        tonight.start(f"{FISH}/0")
    assert tonight.note(f"{FISH}/0").state != "started"


def test_a_database_that_another_program_holds_refuses_taps_and_takes_them_when_it_is_free(path: Path) -> None:
    tonight = Tonight(log=sqlite_log(path))
    tonight.order("6", hake=1)
    blocker = sqlite3.connect(path, isolation_level=None)
    blocker.execute("BEGIN IMMEDIATE")
    with pytest.raises(NotRecorded, match="database is locked"):
        tonight.do(SendCourse("6/mains"), "phone", 1)
    assert tonight.board().sent == ()
    blocker.execute("ROLLBACK")
    assert not tonight.do(SendCourse("6/mains"), "phone", 1).repeated


def test_a_database_that_is_gone_is_said_in_words(path: Path) -> None:
    tonight = Tonight(log=sqlite_log(path))
    tonight.order("6", hake=1)
    for file in path.parent.iterdir():
        file.unlink()
    assert isinstance(tonight.log, DatabaseLog)
    tonight.log._engine.dispose()
    with pytest.raises(NotRecorded, match="does not count"):
        tonight.start(f"{FISH}/0")


def test_a_file_that_is_no_database_is_refused_in_words(path: Path) -> None:
    path.write_bytes(b"this is no database, whatever its name says" * 100)
    with pytest.raises(NotRecorded, match="not a database"):
        sqlite_log(path)


def test_of_a_torn_last_write_nothing_is_left_and_all_before_it_is_there(path: Path) -> None:
    """The write-ahead log cut anywhere in its last transaction, as by a power cut before it was synced.

    SQLite counts a transaction only whose commit frame has a good checksum (https://www.sqlite.org/fileformat.html#walformat).
    """
    log = sqlite_log(path)
    wal = Path(f"{path}-wal")
    log.append(KITCHEN, 0, 1, (CourseFired(MAINS), CourseHeld(MAINS)), ClientMark("phone", 1))
    whole = wal.stat().st_size
    log.append(KITCHEN, 2, 2, (OrderTaken(COURSES), CourseHeld(MAINS)), ClientMark("phone", 2))
    torn = wal.stat().st_size
    assert torn > whole
    cuts = [whole, whole + 1, whole + 24, (whole + torn) // 2, torn - 4096, torn - 24, torn - 1]
    for index, cut in enumerate(cuts):
        copy = path.parent / str(index) / path.name
        copy.parent.mkdir()
        shutil.copy(path, copy)
        Path(f"{copy}-wal").write_bytes(wal.read_bytes()[:cut])
        after = sqlite_log(copy)
        assert [entry.event for entry in after.read(KITCHEN)] == [CourseFired(MAINS), CourseHeld(MAINS)], cut
        assert after.acknowledged(KITCHEN, ClientMark("phone", 1)) == 1
        assert after.acknowledged(KITCHEN, ClientMark("phone", 2)) is None
        after.append(KITCHEN, 2, 3, (CourseFired(MAINS),), ClientMark("phone", 2))
        assert len(list(after.read(KITCHEN))) == 3
        after.close()


@pytest.mark.parametrize("byte", [-1, -100, -4000])
def test_a_last_write_that_came_to_the_disk_wrong_does_not_count(path: Path, byte: int) -> None:
    log = sqlite_log(path)
    wal = Path(f"{path}-wal")
    log.append(KITCHEN, 0, 1, (CourseFired(MAINS),), ClientMark("phone", 1))
    log.append(KITCHEN, 1, 2, (OrderTaken(COURSES),), ClientMark("phone", 2))
    copy = path.parent / "wrong" / path.name
    copy.parent.mkdir()
    shutil.copy(path, copy)
    written = bytearray(wal.read_bytes())
    written[byte] ^= 0xFF
    Path(f"{copy}-wal").write_bytes(bytes(written))
    assert [entry.event for entry in sqlite_log(copy).read(KITCHEN)] == [CourseFired(MAINS)]
