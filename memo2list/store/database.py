"""The connection: WAL with synchronous=FULL, so that what was committed outlives a power cut (sqlite.org, "WAL", "PRAGMA
synchronous"); one connection a thread; writers wait for each other."""

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from memo2list.errors import StoreError

FILE_NAME = "memo2list.db"
WAIT_S = 15


class StoreDatabase:
    """The store's SQLite file, opened on first use in each thread."""

    def __init__(self, folder: Path):
        self.folder, self.path = folder, folder / FILE_NAME
        self.decoded: dict[int, Any] = {}  # lists as records, by row
        self._local = threading.local()
        self._open: list[sqlite3.Connection] = []
        self._prepare()

    @property
    def connection(self) -> sqlite3.Connection:
        """This thread's own connection."""
        if getattr(self._local, "connection", None) is None:
            self._local.connection = self._connect()
            self._open.append(self._local.connection)
        found: sqlite3.Connection = self._local.connection
        return found

    def rows(self, sql: str, values: Any = ()) -> list[sqlite3.Row]:
        return self.connection.execute(sql, values).fetchall()

    def row(self, sql: str, values: Any = ()) -> sqlite3.Row | None:
        found: sqlite3.Row | None = self.connection.execute(sql, values).fetchone()
        return found

    @contextmanager
    def write(self) -> Iterator[sqlite3.Connection]:
        """A transaction that is committed whole or not at all; inside another one, a part of that.

        Raises StoreError if the disk or the file refuses.
        """
        connection = self.connection
        if connection.in_transaction:
            yield connection
            return
        try:
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise
        except (sqlite3.OperationalError, sqlite3.IntegrityError) as error:
            raise refused(self.path, error) from None

    def close(self) -> None:
        for connection in self._open:
            connection.close()
        self._open, self._local = [], threading.local()

    def _connect(self) -> sqlite3.Connection:
        # isolation_level None: transactions begin where `write` says so; connections are closed from any thread
        connection = sqlite3.connect(self.path, timeout=WAIT_S, isolation_level=None, check_same_thread=False)
        connection.row_factory = sqlite3.Row
        for setting in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", "secure_delete = ON"):
            connection.execute(f"PRAGMA {setting}")
        return connection

    def _prepare(self) -> None:
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise StoreError(f"{self.folder}: the store cannot be kept here ({error.strerror}). {REMEDY}") from None
        try:
            self._migrate()
        except sqlite3.DatabaseError as error:
            raise refused(self.path, error) from None

    def _migrate(self) -> None:
        from sqlite_utils import Database

        from memo2list.store.migrations import MIGRATIONS

        known = {m.name for m in MIGRATIONS._migrations}
        names = self.rows("SELECT name FROM sqlite_master WHERE name = '_sqlite_migrations'")
        applied = {r["name"] for r in self.rows("SELECT name FROM _sqlite_migrations")} if names else set()
        if applied - known:
            raise StoreError(f"{self.path}: this store was made by a newer memo2list. Install that version to open it.")
        if known - applied:
            with self.write() as connection:  # a second process waits here, and then finds nothing left to do
                MIGRATIONS.apply(Database(connection, recursive_triggers=False, execute_plugins=False))


REMEDY = "Choose another folder with --store or MEMO2LIST_STORE."


def refused(path: Path, error: sqlite3.Error) -> StoreError:
    return StoreError(f"{path}: the store cannot be used ({error}). {REMEDY}")
