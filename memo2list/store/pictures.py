"""Pictures of a job: the original is kept by its hash, like recordings, with when it was taken.

A picture that was given to an item stays with it. One that was not belongs to the item that was being talked about when it
was taken; that is found anew each time, so it follows the list, the recordings and the camera's clock.
"""

import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from memo2list.errors import InputError
from memo2list.records import Item
from memo2list.store import originals
from memo2list.store.database import StoreDatabase
from memo2list.store.jobs import Job, now
from memo2list.store.picture_times import PictureTime, picture_time
from memo2list.store.recordings import runs_of_all
from memo2list.store.timeline import Belonging, Moment, Run, belonging_of, moment_of

ENDINGS = frozenset({".jpg", ".jpeg", ".png", ".heic", ".heif", ".webp"})  # what is taken for a picture
MOST_OFFSET_MS = 100 * 365 * 86_400_000  # a clock that was never set is years off; more is a slip of the pen


@dataclass(frozen=True, slots=True)
class KeptPicture:
    """A picture and where its original lies."""

    key: str  # of the item it belongs to, "" if to none
    name: str  # as the user knows it
    file: Path
    added_at: str
    number: int = 0  # its row: does not change
    by_hand: bool = False  # somebody said which item it belongs to
    taken_ms: int | None = None  # since 1970 in UTC, by the camera's clock
    zoned: bool = False  # the camera said its time zone; else this machine's is taken
    camera: str = ""
    moment: Moment | None = None
    why: str = ""  # why it belongs to no item


def attach(db: StoreDatabase, job: Job, key: str, file: Path, name: str = "") -> int:
    """Keeps a copy of the file. With "" as key its time says which item it belongs to, unless it is with an item already.

    The same picture twice with an item is one. `name` is how the user knows it, where that is not the file's own name.
    Gives the picture's number.
    """
    digest, kept, _ = originals.keep(db.folder, file)
    taken = picture_time(db.folder / kept)
    shown = (name or file.name).encode("utf-8", "replace").decode()
    values = [job.id, key, digest, shown, kept, now(), taken.taken_ms, int(taken.zoned), taken.camera]
    columns = "job, key, sha256, name, file, added_at, taken_ms, zoned, camera"
    with db.write() as connection:
        kept_before = connection.execute("SELECT id, key FROM pictures WHERE job = ? AND sha256 = ?", [job.id, digest]).fetchall()
        by_time = next((row for row in kept_before if not row["key"]), None)
        if key and by_time:
            _move(connection, job, by_time["id"], digest, key)
        elif key or not kept_before:
            connection.execute(f"INSERT OR IGNORE INTO pictures ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", values)
        held = "SELECT id FROM pictures WHERE job = ? AND sha256 = ? ORDER BY key = ? DESC, id LIMIT 1"
        return int(connection.execute(held, [job.id, digest, key]).fetchone()["id"])


def give(db: StoreDatabase, job: Job, number: int, key: str) -> None:
    """Gives a picture to an item, or with "" back to its time. Raises InputError for a picture that is not there."""
    with db.write() as connection:
        row = connection.execute("SELECT sha256 FROM pictures WHERE job = ? AND id = ?", [job.id, number]).fetchone()
        if row is None:
            raise InputError(f"picture {number}", f"is not in job {job.name!r}.", "Load the page again.")
        _move(connection, job, number, row["sha256"], key)


def _move(connection: sqlite3.Connection, job: Job, number: int, sha256: str, key: str) -> None:
    """The picture belongs to that item now; where the item has the same picture already, the two become one."""
    same = [job.id, sha256, key, number]
    connection.execute("DELETE FROM pictures WHERE job = ? AND sha256 = ? AND key = ? AND id <> ?", same)
    connection.execute("UPDATE pictures SET key = ? WHERE id = ?", [key, number])


def set_clock(db: StoreDatabase, job: Job, camera: str, offset_ms: int) -> None:
    """How much is added to the times of all pictures of one camera; InputError for more than a century."""
    if abs(offset_ms) > MOST_OFFSET_MS:
        raise InputError("the clock", "cannot be that wrong.", "Give less than 100 years.")
    with db.write() as connection:
        connection.execute(
            "INSERT INTO camera_clocks (job, camera, offset_ms) VALUES (?, ?, ?) "
            "ON CONFLICT (job, camera) DO UPDATE SET offset_ms = excluded.offset_ms",
            [job.id, camera, offset_ms],
        )


def clocks(db: StoreDatabase, job: Job) -> dict[str, int]:
    """Camera → what is added to its times, for those that were set."""
    return {r["camera"]: r["offset_ms"] for r in db.rows("SELECT * FROM camera_clocks WHERE job = ?", [job.id])}


def jobs_then(db: StoreDatabase, taken: PictureTime) -> tuple[str, ...]:
    """Names of the jobs whose recordings ran when a picture was taken, or nearest to it: most often one, several in doubt.

    None if none ran within a quarter of an hour, or the picture does not say when it was taken.
    """
    if taken.taken_ms is None:
        return ()
    sql = "SELECT j.name, c.offset_ms FROM camera_clocks c JOIN jobs j ON j.id = c.job WHERE c.camera = ?"
    offsets = {row["name"]: row["offset_ms"] for row in db.rows(sql, [taken.camera])}
    ran = runs_of_all(db)
    moments = {job: moment_of(taken.taken_ms + offsets.get(job, 0), runs) for job, runs in ran.items()}
    beside = {job: abs(moment.beside_ms) for job, moment in moments.items() if moment}
    return tuple(job for job in beside if beside[job] == min(beside.values()))


def jobs_with(db: StoreDatabase, sha256: str) -> tuple[str, ...]:
    """Names of the jobs that have this picture."""
    sql = "SELECT DISTINCT j.name FROM pictures p JOIN jobs j ON j.id = p.job WHERE p.sha256 = ? ORDER BY j.id"
    return tuple(row["name"] for row in db.rows(sql, [sha256]))


def pictures(
    db: StoreDatabase, job: Job, moved: Mapping[str, str], runs: Sequence[Run], items: Iterable[Item]
) -> tuple[KeptPicture, ...]:
    """The pictures of a job in the order they were added; `moved` says which item a merged one is part of now."""
    rows = db.rows("SELECT * FROM pictures WHERE job = ? ORDER BY id", [job.id])
    offsets, listed = clocks(db, job), tuple(items)
    found = []
    for row in rows:
        taken = None if row["taken_ms"] is None else row["taken_ms"] + offsets.get(row["camera"], 0)
        belonging = belonging_of(taken, runs, listed)
        given = moved.get(row["key"], row["key"])
        belonging = Belonging(belonging.moment, given) if given else belonging
        found.append(
            KeptPicture(
                key=belonging.key,
                name=row["name"],
                file=db.folder / row["file"],
                added_at=row["added_at"],
                number=row["id"],
                by_hand=bool(given),
                taken_ms=row["taken_ms"],
                zoned=bool(row["zoned"]),
                camera=row["camera"],
                moment=belonging.moment,
                why=belonging.why,
            )
        )
    return tuple(found)
