"""Removing a job, completely: rows, search index, write-ahead log, originals that no other job needs."""

import sqlite3

from memo2list.store import originals
from memo2list.store.database import StoreDatabase, refused
from memo2list.store.jobs import Job

FILES = "SELECT file FROM recordings {0} UNION SELECT file FROM pictures {0}"


def remove_job(db: StoreDatabase, job: Job) -> None:
    """Nothing of the job is left in the store's files afterwards. Recordings that other jobs have too stay."""
    with db.write() as connection:
        files = {row["file"] for row in connection.execute(FILES.format("WHERE job = :job"), {"job": job.id})}
        connection.execute("DELETE FROM items WHERE job = ?", [job.id])  # first: their triggers clear the index
        connection.execute("DELETE FROM jobs WHERE id = ?", [job.id])
        connection.execute("INSERT INTO items_fts(items_fts) VALUES ('rebuild')")
        needed = {row["file"] for row in connection.execute(FILES.format(""))}
    for name in sorted(files - needed):
        originals.remove(db.folder, name)
    db.decoded.clear()
    try:  # pages that were freed are overwritten (secure_delete) and given back, and the log is emptied
        db.connection.execute("VACUUM")
        db.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except sqlite3.OperationalError as error:
        raise refused(db.path, error) from None
