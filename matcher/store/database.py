"""The connection to SQLite or PostgreSQL: opened, its tables made, reads and writes as transactions."""

from __future__ import annotations

import importlib.util
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, create_engine, event, func, make_url, select, update
from sqlalchemy.exc import ArgumentError, DBAPIError, InterfaceError, OperationalError
from sqlalchemy.exc import TimeoutError as NoConnectionError
from sqlalchemy.orm import Session

from matcher.errors import AwayError, Problem, RequestError, StoreError
from matcher.store.database_file import DatabaseFile, create_private
from matcher.store.tables import SCHEMA_VERSION, Base, RoomRow, SchemaVersion, SeenRow
from matcher.store.undecided import note_all_open

# Assumption: a save takes milliseconds, so who waits longer than this waits for something stuck.
_BUSY_TIMEOUT_MS = 15_000
# PostgreSQL's, of whoever waits for a row, and of whoever began something and fell silent, with a photo of a slow line
# on its way to where it is kept: without an end to it a machine that lost its power would hold rows for hours.
_SERVER_LIMITS = {"lock_timeout": "60s", "idle_in_transaction_session_timeout": "120s"}
# libpq's words (PostgreSQL, "Parameter Key Words"), where the address does not say otherwise: a machine that is gone is
# given up within seconds, in place of minutes or hours. Assumptions.
_LINE = {"connect_timeout": 5, "keepalives_idle": 15, "keepalives_interval": 5, "keepalives_count": 3}
# SQLSTATE (PostgreSQL, appendix A): connection exceptions, what an operator does; not that a statement is cancelled.
_AWAY, _CANCELLED = ("08", "57P"), "57014"
_SETUP_LOCK = "givens tables"
_FIRST_WITH_SEEN, _FIRST_WITH_OPEN = 3, 6


class Database:
    """Transactions on one database; raises :class:`matcher.errors.RequestError` where it cannot be used."""

    def __init__(self, url_text: str) -> None:
        url = _checked_url(url_text)
        self.is_sqlite = url.get_backend_name() == "sqlite"
        self._anchor: Connection | None = None
        self._file: DatabaseFile | None = None
        self._ahead = timedelta()
        self._where = str(url.database) if self.is_sqlite else url.render_as_string(hide_password=True)
        try:
            if self.is_sqlite:
                create_private(Path(url.database or ""))
            line = {} if self.is_sqlite else {key: value for key, value in _LINE.items() if key not in url.query}
            engine = create_engine(url, pool_pre_ping=not self.is_sqlite, connect_args=line)
        except OSError as error:
            raise self._unusable(error.strerror or str(error)) from error
        # Both share one pool; the options tell which kind of transaction to open.
        self._writes = engine.execution_options(writing=True)
        # SQLite's reads see one state anyway.
        self._reads = engine if self.is_sqlite else engine.execution_options(isolation_level="REPEATABLE READ")
        if self.is_sqlite:
            event.listen(engine, "connect", _prepare_sqlite)
            event.listen(engine, "begin", _begin_sqlite)
        else:
            event.listen(engine, "connect", self._prepare_postgresql)
        with ExitStack() as when_refused:
            when_refused.callback(self.close)
            self._create_tables()
            # One connection stays open as long as we do: while there is one, nobody else may take the log away.
            self._anchor = self._held_open() if self.is_sqlite else None
            self._file = DatabaseFile(Path(url.database or "")) if self.is_sqlite else None
            when_refused.pop_all()

    def now(self) -> datetime:
        """Return the moment by the clock of the database's server, which all that share it go by."""
        return datetime.now(UTC) + self._ahead

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Give a session whose reads see one state."""
        with self._worded(), Session(self._reads) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """Give a session that is committed at the end, or rolled back as a whole when anything is raised."""
        with self._worded(), Session(self._writes) as session:
            with session.begin():
                self._refuse_another_file()
                yield session
            # What went into a file that is no longer the one others open must not be called kept.
            self._refuse_another_file()

    def note(self, change: Callable[[Session], None]) -> None:
        """Write what may be lost: where the disk takes no more, reading goes on without."""
        with suppress(StoreError), self.writing() as session:
            change(session)

    def lock(self, session: Session, key: str) -> None:
        """Keep other writers that ask for ``key`` waiting until the transaction ends."""
        # On SQLite a writing transaction keeps every other one waiting anyway.
        if not self.is_sqlite:
            session.execute(select(func.pg_advisory_xact_lock(func.hashtextextended(key, 0))))

    def copy_to(self, path: Path) -> None:
        """Write the database as it is at one moment into a new file, while others go on; SQLite only."""
        with self._worded(), self._reads.connect() as connection:
            source = connection.connection.driver_connection
            assert isinstance(source, sqlite3.Connection)
            create_private(path)
            with closing(sqlite3.connect(path)) as copy:
                source.backup(copy)

    def close(self) -> None:
        """Give back every connection."""
        if self._anchor is not None:
            self._anchor.close()
        self._reads.dispose()

    def _prepare_postgresql(self, connection: Any, record: Any) -> None:
        before = datetime.now(UTC)
        limits = ", ".join(f"set_config('{name}', '{value}', false)" for name, value in _SERVER_LIMITS.items())
        (moment,) = connection.execute(f"SELECT clock_timestamp(), {limits}").fetchone()[:1]
        connection.commit()
        self._ahead = moment - (before + (datetime.now(UTC) - before) / 2)

    def _held_open(self) -> Connection:
        anchor = self._reads.connect()
        anchor.execute(select(SchemaVersion.version))
        # The transaction ends, or the log could not be emptied into the file; the connection stays.
        anchor.rollback()
        return anchor

    def _refuse_another_file(self) -> None:
        if self._file is not None and self._file.was_replaced():
            raise StoreError(
                Problem(
                    self._where,
                    "the database's file was moved, deleted or replaced while the app was running; nothing more is "
                    "taken, since it would be lost",
                    "Stop the app, put the right file back, and start it again.",
                )
            )

    def _create_tables(self) -> None:
        with self.writing() as session:
            self.lock(session, _SETUP_LOCK)
            Base.metadata.create_all(session.connection())
            version = session.scalar(select(SchemaVersion.version))
            if version is None:
                session.add(SchemaVersion(version=SCHEMA_VERSION))
            elif version > SCHEMA_VERSION:
                raise RequestError(
                    Problem(
                        self._where,
                        f"was written by a newer Givens (tables of version {version}, this one knows {SCHEMA_VERSION})",
                        "Install the newer version, or name another database.",
                    )
                )
            elif version < SCHEMA_VERSION:
                # Versions 2 to 6 added tables and changed none, so making them was nearly all there was to do.
                if version < _FIRST_WITH_SEEN:
                    _note_all_seen(session, self.now())
                if version < _FIRST_WITH_OPEN:
                    note_all_open(session)
                session.execute(update(SchemaVersion).values(version=SCHEMA_VERSION))

    @contextmanager
    def _worded(self) -> Iterator[None]:
        try:
            yield
        except NoConnectionError as error:
            raise self._away("all its connections are in use") from error
        except DBAPIError as error:
            # Of several lines the first says what it is.
            why = next(iter(str(error.orig).strip().splitlines()), "")
            raise self._away(why) if self._is_away(error) else self._unusable(why) from error

    def _is_away(self, error: DBAPIError) -> bool:
        """Tell whether the server cannot be reached or is being stopped or started, which passes."""
        if self.is_sqlite or not isinstance(error, OperationalError | InterfaceError):
            return False
        state = getattr(error.orig, "sqlstate", None)
        return state is None or (state.startswith(_AWAY) and state != _CANCELLED)

    def _away(self, why: str) -> AwayError:
        return AwayError(
            Problem(
                self._where,
                f"the database cannot be used, as it does not answer ({why})",
                "Is it running, and database_url right? An app that runs goes on by itself.",
            )
        )

    def _unusable(self, why: str) -> StoreError:
        return StoreError(
            Problem(self._where, f"the database cannot be used ({why})", "Check database_url, folder and the disk.")
        )


def _note_all_seen(session: Session, now: datetime) -> None:
    """Note of rooms without news that all there is was seen: news were counted until then, not dated."""
    rooms = session.scalars(select(RoomRow.id).where(RoomRow.client_events <= RoomRow.seen_events))
    session.add_all(SeenRow(room_id=room, answers=now, photos=now) for room in rooms.all())


def _checked_url(text: str) -> URL:
    try:
        url = make_url(text)
    except ArgumentError:
        raise RequestError(
            Problem("database_url", "is not the address of a database", "Write it as postgresql://user@host/name.")
        ) from None
    backend = url.get_backend_name()
    if backend == "sqlite" and url.database not in (None, "", ":memory:"):
        return url.set(drivername="sqlite+pysqlite")
    if backend != "postgresql":
        raise RequestError(
            Problem("database_url", f"{backend} is not used, or names no file", "Name an SQLite file or PostgreSQL.")
        )
    if importlib.util.find_spec("psycopg") is None:
        raise RequestError(
            Problem(
                "database_url", "PostgreSQL needs a library that is missing here", "pip install 'givens[postgresql]'"
            )
        )
    return url.set(drivername="postgresql+psycopg")


def _prepare_sqlite(connection: Any, record: Any) -> None:
    # Transactions are begun by hand below: the driver's own begin comes too late, and never IMMEDIATE.
    connection.isolation_level = None
    connection.execute(f"PRAGMA busy_timeout = {_BUSY_TIMEOUT_MS}")
    _use_write_ahead_log(connection)
    connection.execute("PRAGMA foreign_keys = ON")


def _use_write_ahead_log(connection: sqlite3.Connection) -> None:
    # On a new file the change of mode does not wait its turn like everything else, but fails at once while another
    # connection looks at the file.
    until = time.monotonic() + _BUSY_TIMEOUT_MS / 1000
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > until:
                raise
            time.sleep(0.01)
        else:
            return


def _begin_sqlite(connection: Connection) -> None:
    # A transaction that reads first and writes later would fail at once when another one wrote in between.
    writing = connection.get_execution_options().get("writing", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")
