"""The one suite, for the log in memory and the log in SQLite."""

import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import get_args

import pytest
from sqlalchemy import text

from kitchen_timer.kitchen.problems import NotRecorded
from kitchen_timer.record.event_log import ClientMark, EventLog
from kitchen_timer.record.in_database import DatabaseLog, sqlite_log
from kitchen_timer.record.in_memory import InMemoryLog
from kitchen_timer.record.rows import UnreadableRow, read_body
from kitchen_timer.service.events import CourseFired, CourseHeld, Event
from tests.record.every_log import EVERY_EVENT, KITCHEN, MAINS, EveryLog, plan


def test_every_kind_of_event_is_tried() -> None:
    assert {type(event) for event in EVERY_EVENT} == set(get_args(Event))


class TestInMemory(EveryLog):
    def log(self) -> EventLog:
        return InMemoryLog()

    def again(self, log: EventLog) -> EventLog:
        return log


class TestInSQLite(EveryLog):
    @pytest.fixture(autouse=True)
    def _folder(self, tmp_path: Path) -> None:
        self.path = tmp_path / "a folder that is not there yet" / "events.sqlite"

    def log(self) -> EventLog:
        return sqlite_log(self.path)

    def again(self, log: EventLog) -> EventLog:
        log.close()
        return sqlite_log(self.path)

    def test_what_is_acknowledged_is_synced_to_the_disk(self) -> None:
        # FULL is 2 (https://www.sqlite.org/pragma.html#pragma_synchronous).
        log = self.log()
        assert isinstance(log, DatabaseLog)
        with log._engine.connect() as connection:
            assert connection.scalar(text("PRAGMA journal_mode")) == "wal"
            assert connection.scalar(text("PRAGMA synchronous")) == 2

    def test_a_command_is_written_whole_or_not_at_all(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (CourseFired(MAINS),))
        blocker = sqlite3.connect(self.path)
        # The second row of three meets a row that got there by other means: none of the three may stay.
        blocker.execute(
            "INSERT INTO events (kitchen, seq, at_ms, kind, version, body, command) VALUES (?, 3, 0, 'x', 1, '{}', 3)",
            (KITCHEN,),
        )
        blocker.commit()
        with pytest.raises(NotRecorded):
            log.append(KITCHEN, 1, 2, (CourseHeld(MAINS), CourseFired(MAINS), CourseHeld(MAINS)))
        assert blocker.execute("SELECT count(*) FROM events").fetchone() == (2,)

    def test_a_database_that_another_holds_refuses_and_goes_on_when_it_is_free(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (CourseFired(MAINS),))
        blocker = sqlite3.connect(self.path, isolation_level=None)
        blocker.execute("BEGIN EXCLUSIVE")
        with pytest.raises(NotRecorded, match="does not count"):
            log.append(KITCHEN, 1, 2, (CourseHeld(MAINS),))
        blocker.execute("ROLLBACK")
        log.append(KITCHEN, 1, 2, (CourseHeld(MAINS),))
        assert len(list(log.read(KITCHEN))) == 2

    def test_a_folder_that_cannot_be_made_is_refused_in_words(self) -> None:
        self.path.parent.write_text("a file where the folder should be")
        with pytest.raises(NotRecorded, match="See that the disk has room"):
            sqlite_log(self.path)

    def test_a_killed_program_loses_nothing_that_was_acknowledged(self) -> None:
        """SIGKILL right after an acknowledgement; the write-ahead log is read by the next program."""
        program = (
            "import os, signal, sys\n"
            "from pathlib import Path\n"
            "from kitchen_timer.plan.question import CourseKey\n"
            "from kitchen_timer.record.event_log import ClientMark\n"
            "from kitchen_timer.record.in_database import sqlite_log\n"
            "from kitchen_timer.service.events import CourseFired\n"
            "log = sqlite_log(Path(sys.argv[1]))\n"
            "for i in range(20):\n"
            "    log.append('skerrymoot', i, i, (CourseFired(CourseKey('6', 'mains')),), ClientMark('phone', i))\n"
            "os.kill(os.getpid(), signal.SIGKILL)\n"
        )
        root = Path(__file__).resolve().parents[2]
        killed = subprocess.run([sys.executable, "-c", program, str(self.path)], cwd=root, check=False, timeout=60)
        assert killed.returncode == -9
        log = sqlite_log(self.path)
        assert len(list(log.read(KITCHEN))) == 20
        assert log.acknowledged(KITCHEN, ClientMark("phone", 19)) == 20

    def test_a_plan_is_written_small(self) -> None:
        log = self.log()
        log.append(KITCHEN, 0, 1, (plan(),))
        (size,) = sqlite3.connect(self.path).execute("SELECT length(body) FROM events").fetchone()
        assert size < 800


def test_a_row_of_a_newer_version_is_refused_with_the_cure() -> None:
    with pytest.raises(UnreadableRow, match="newer Kitchen Timer; update this one"):
        read_body("course_fired", 2, '{"course": ["6", "mains"]}')


def test_a_row_of_an_unknown_kind_is_refused() -> None:
    with pytest.raises(UnreadableRow, match="is no event"):
        read_body("course_flambeed", 1, "{}")
