"""Photographs that belong to an item: the original is kept by its hash, like recordings."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from memo2list.store import originals
from memo2list.store.database import StoreDatabase
from memo2list.store.jobs import Job, now


@dataclass(frozen=True, slots=True)
class KeptPicture:
    """A photograph of an item and where its original lies."""

    key: str  # of the item
    name: str  # as the user knows it
    file: Path
    added_at: str


def attach(db: StoreDatabase, job: Job, key: str, file: Path) -> None:
    """Keeps a copy of the file with the item; the same picture twice is one."""
    digest, name, _ = originals.keep(db.folder, file)
    with db.write() as connection:
        connection.execute(
            "INSERT OR IGNORE INTO pictures (job, key, sha256, name, file, added_at) VALUES (?, ?, ?, ?, ?, ?)",
            [job.id, key, digest, file.name.encode("utf-8", "replace").decode(), name, now()],
        )


def pictures(db: StoreDatabase, job: Job, moved: Mapping[str, str]) -> tuple[KeptPicture, ...]:
    """The photographs of a job in the order they were added; `moved` says which item a merged one is part of now."""
    rows = db.rows("SELECT * FROM pictures WHERE job = ? ORDER BY id", [job.id])
    return tuple(
        KeptPicture(moved.get(row["key"], row["key"]), row["name"], db.folder / row["file"], row["added_at"]) for row in rows
    )
