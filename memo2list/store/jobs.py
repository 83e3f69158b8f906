"""Jobs: one property and one piece of business each."""

import datetime
import sqlite3
from dataclasses import dataclass

from memo2list.errors import InputError, JobExistsError, UnknownJobError
from memo2list.store.database import StoreDatabase

LONGEST_NAME = 120
COUNTS = """
    SELECT j.*, (SELECT count(*) FROM recordings r WHERE r.job = j.id) AS recordings,
        (SELECT count(*) FROM items i WHERE i.job = j.id AND i.review != 'dropped') AS items,
        (SELECT count(*) FROM items i WHERE i.job = j.id AND i.review != 'dropped' AND i.state = 'open') AS open,
        (SELECT count(*) FROM items i WHERE i.job = j.id AND i.review = 'unreviewed') AS unreviewed
    FROM jobs j"""


@dataclass(frozen=True, slots=True)
class Job:
    """One property and one piece of business; the counts leave out dropped items."""

    id: int
    name: str
    customer: str
    address: str
    made_at: str  # ISO 8601, UTC
    recordings: int = 0
    items: int = 0
    open: int = 0
    unreviewed: int = 0


def now() -> str:
    """
    >>> len(now()), now()[10], now()[-6:]
    (32, 'T', '+00:00')
    """
    return datetime.datetime.now(datetime.UTC).isoformat(timespec="microseconds")


def name_key(name: str) -> str:
    """What makes two names the same: neither case nor spaces.

    >>> name_key("  Mill  Lane 4") == name_key("mill lane 4")
    True
    """
    return " ".join(name.split()).casefold().encode("utf-8", "replace").decode()


def add_job(db: StoreDatabase, name: str, customer: str = "", address: str = "") -> Job:
    """A new job. Raises JobExistsError, or InputError for a name that is empty or too long."""
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise InputError(repr(name[:40]), "is no name for a job.", f"Use 1 to {LONGEST_NAME} printable characters.")
    with db.write() as connection:
        if connection.execute("SELECT 1 FROM jobs WHERE name_key = ?", [name_key(name)]).fetchone():
            raise JobExistsError(name)
        connection.execute(
            "INSERT INTO jobs (name, name_key, customer, address, made_at) VALUES (?, ?, ?, ?, ?)",
            [name, name_key(name), customer, address, now()],
        )
    return find_job(db, name)


def find_job(db: StoreDatabase, name: str) -> Job:
    """The job of that name, in whatever case. Raises UnknownJobError with the nearest names."""
    found = db.row(f"{COUNTS} WHERE j.name_key = ?", [name_key(name)])
    if found is None:
        raise UnknownJobError(name, near_names(name, [r["name"] for r in db.rows("SELECT name FROM jobs")]))
    return _job(found)


def all_jobs(db: StoreDatabase) -> tuple[Job, ...]:
    return tuple(_job(row) for row in db.rows(f"{COUNTS} ORDER BY j.made_at DESC, j.id DESC"))


def near_names(name: str, names: list[str]) -> tuple[str, ...]:
    """Up to three names that are close to a mistyped one."""
    from rapidfuzz import fuzz, process

    found = process.extract(name, names, scorer=fuzz.WRatio, processor=name_key, limit=3, score_cutoff=75)
    return tuple(near for near, _, _ in found)


def _job(row: sqlite3.Row) -> Job:
    return Job(**{name: row[name] for name in row.keys() if name != "name_key"})  # noqa: SIM118 (a Row iterates its values)
