"""The log in a database: SQLite today, one row an event, inserts only.

A row names its kitchen and its place in that kitchen's sequence, so that two writers cannot take the same place and so
that many kitchens can share one database. What is acknowledged survives a power cut: WAL with ``synchronous=FULL``
(https://www.sqlite.org/pragma.html#pragma_synchronous).
"""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import (
    BigInteger,
    Column,
    ColumnElement,
    Connection,
    Engine,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    create_engine,
    event,
    func,
    insert,
    select,
)
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from kitchen_timer.record.event_log import ClientMark, not_recorded, place_taken, recorded
from kitchen_timer.record.rows import OPENED, PLAN, RENAMED_IN, read_body, row_of
from kitchen_timer.service.events import Event, Recorded

_META = MetaData()

EVENTS = Table(
    "events",
    _META,
    Column("kitchen", String(80), primary_key=True),
    Column("seq", Integer, primary_key=True, autoincrement=False),
    Column("at_ms", BigInteger, nullable=False),
    Column("kind", String(40), nullable=False),
    Column("version", Integer, nullable=False),
    Column("body", Text, nullable=False),
    Column("command", Integer, nullable=False),
    # Whose command it was stands on every row of it; the number only on its first, so that it can be unique.
    Column("client_id", String(120)),
    Column("client_seq", BigInteger),
    UniqueConstraint("kitchen", "client_id", "client_seq", name="one_command_once"),
)


class DatabaseLog:
    """An :class:`EventLog` in a database."""

    def __init__(self, url: str) -> None:
        """``url`` as SQLAlchemy writes it; raises :class:`NotRecorded` when the database cannot be opened."""
        self._engine: Engine = create_engine(url)
        if self._engine.dialect.name == "sqlite":
            event.listen(self._engine, "connect", _set_up_sqlite)
        try:
            _META.create_all(self._engine)
        except SQLAlchemyError as wrong:
            raise not_recorded(_said(wrong)) from wrong

    def append(
        self, kitchen: str, expected: int, at_ms: int, events: Sequence[Event], client: ClientMark | None = None
    ) -> tuple[Recorded, ...]:
        """See :meth:`EventLog.append`."""
        new = recorded(expected, at_ms, events, client)
        if not new:
            return ()
        rows = [_database_row(kitchen, entry) for entry in new]
        try:
            with self._engine.begin() as connection:
                last = connection.scalar(select(func.max(EVENTS.c.seq)).where(EVENTS.c.kitchen == kitchen))
                if (last or 0) != expected:
                    raise place_taken(kitchen, expected)
                connection.execute(insert(EVENTS), rows)
        except IntegrityError as clash:
            raise place_taken(kitchen, expected) from clash
        except SQLAlchemyError as wrong:
            raise not_recorded(_said(wrong)) from wrong
        return new

    def read(self, kitchen: str, after: int = 0) -> Iterator[Recorded]:
        """See :meth:`EventLog.read`; the steps of plans that were taken over are left out: they are most of a night."""
        try:
            yield from self._read(kitchen, after)
        except SQLAlchemyError as wrong:
            raise not_recorded(_said(wrong)) from wrong

    def _read(self, kitchen: str, after: int) -> Iterator[Recorded]:
        columns = EVENTS.c
        here = (columns.kitchen == kitchen) & (columns.seq > after)
        with self._engine.connect() as connection:
            whole = self._whole_plans(connection, here)
            client_seq: int | None = None
            for row in connection.execute(select(EVENTS).where(here).order_by(columns.seq)):
                client_seq = row.client_seq if row.seq == row.command else client_seq
                yield Recorded(
                    seq=row.seq,
                    at_ms=row.at_ms,
                    event=read_body(row.kind, row.version, row.body, whole=row.kind != PLAN or row.seq in whole),
                    command=row.command,
                    client_id=row.client_id,
                    client_seq=client_seq if row.client_id is not None else None,
                )

    def _whole_plans(self, connection: Connection, here: ColumnElement[bool]) -> set[int]:
        """The plan that stands, and those that stood when something was given another name."""
        kinds = select(EVENTS.c.seq, EVENTS.c.kind).where(here & EVENTS.c.kind.in_((PLAN, *RENAMED_IN)))
        whole: set[int] = set()
        stands = 0
        for row in connection.execute(kinds.order_by(EVENTS.c.seq)):
            if row.kind == PLAN:
                stands = row.seq
            else:
                whole.add(stands)
        return whole | {stands}

    def begun(self, kitchen: str) -> int:
        """See :meth:`EventLog.begun`. Looks back from the end, so that it is as soon done after a year."""
        columns = EVENTS.c
        asked = (
            select(columns.seq)
            .where((columns.kitchen == kitchen) & (columns.kind == OPENED))
            .order_by(columns.seq.desc())
            .limit(1)
        )
        try:
            with self._engine.connect() as connection:
                return connection.scalar(asked) or 0
        except SQLAlchemyError as wrong:
            raise not_recorded(_said(wrong)) from wrong

    def acknowledged(self, kitchen: str, client: ClientMark) -> int | None:
        """See :meth:`EventLog.acknowledged`."""
        columns = EVENTS.c
        asked = (
            select(columns.seq)
            .where(columns.kitchen == kitchen)
            .where(columns.client_id == client.client_id)
            .where(columns.client_seq == client.client_seq)
        )
        try:
            with self._engine.connect() as connection:
                found: int | None = connection.scalar(asked)
                return found
        except SQLAlchemyError as wrong:
            # Unread, it may be there: to take it for new would do it twice.
            raise not_recorded(_said(wrong)) from wrong

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()


def sqlite_log(path: Path) -> DatabaseLog:
    """The log in one SQLite file, made where it is not there yet."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as wrong:
        raise not_recorded(str(wrong)) from wrong
    return DatabaseLog(f"sqlite:///{path}")


def _set_up_sqlite(connection: Any, _record: Any) -> None:
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.execute("PRAGMA busy_timeout=2000")
    cursor.close()


def _database_row(kitchen: str, entry: Recorded) -> dict[str, object]:
    kind, version, body = row_of(entry.event)
    return {
        "kitchen": kitchen,
        "seq": entry.seq,
        "at_ms": entry.at_ms,
        "kind": kind,
        "version": version,
        "body": json.dumps(body, ensure_ascii=False, separators=(",", ":")),
        "command": entry.command,
        "client_id": entry.client_id,
        "client_seq": entry.client_seq if entry.seq == entry.command else None,
    }


def _said(wrong: SQLAlchemyError) -> str:
    return str(getattr(wrong, "orig", None) or wrong).splitlines()[0]
