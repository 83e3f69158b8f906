"""Recordings of a job: the original file, and what was heard in it."""

import sqlite3
from dataclasses import dataclass, replace
from pathlib import Path

from memo2list.errors import InputError
from memo2list.records import Recording, Transcript
from memo2list.store import originals
from memo2list.store.database import StoreDatabase
from memo2list.store.jobs import Job, now
from memo2list.store.timeline import Run
from memo2list.transcript_json import transcript_from_json, transcript_to_json


@dataclass(frozen=True, slots=True)
class KeptRecording:
    """A recording and where its original file lies."""

    recording: Recording
    file: Path
    added_at: str
    started_ms: int | None = None  # since 1970 in UTC; None where it is not known
    started_by: str = ""  # what says so


LATEST = """
    SELECT r.*, t.json AS transcript FROM recordings r JOIN transcripts t ON t.recording = r.id
    WHERE r.job = ? AND t.id = (SELECT max(id) FROM transcripts WHERE recording = r.id)
    ORDER BY iif(EXISTS (SELECT 1 FROM recordings WHERE job = r.job AND started_ms IS NULL), 0, r.started_ms), r.id"""


def has_recording(db: StoreDatabase, job: Job, sha256: str) -> bool:
    return db.row("SELECT 1 FROM recordings WHERE job = ? AND sha256 = ?", [job.id, sha256]) is not None


def keep_recording(db: StoreDatabase, job: Job, file: Path, transcript: Transcript) -> None:
    """Keeps the original and what was heard in it. Raises InputError if the job has this recording already."""
    recording = transcript.recording
    if has_recording(db, job, recording.sha256):
        raise InputError(file.name, f"is in job {job.name!r} already.", f"`memo2list again {job.name}` reads it again.")
    own = is_own_transcript(file)
    if own:
        transcript = replace(transcript, recording=replace(recording, kind="transcript"))
    _, name, size = originals.keep(db.folder, file, None if own else recording.sha256)
    values = [job.id, recording.sha256, recording.name, transcript.recording.kind, recording.duration_ms, name, size, now()]
    columns = "job, sha256, name, kind, duration_ms, file, bytes, added_at"
    with db.write() as connection:
        added = connection.execute(f"INSERT INTO recordings ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)", values)
        _add_transcript(connection, added.lastrowid, transcript)


def is_own_transcript(file: Path) -> bool:
    """True for memo2list's own transcript JSON: it carries the hash of the recording it was heard from, not its own."""
    with file.open("rb") as source:
        return source.read(64).lstrip()[:1] == b"{"


def hear_again(db: StoreDatabase, job: Job, transcript: Transcript) -> None:
    """Adds a new transcript of a recording that is kept; the earlier ones stay."""
    row = db.row("SELECT id FROM recordings WHERE job = ? AND sha256 = ?", [job.id, transcript.recording.sha256])
    if row is None:
        raise InputError(transcript.recording.name, f"is not in job {job.name!r}.", "Add it first.")
    with db.write() as connection:
        _add_transcript(connection, row["id"], transcript)


def transcripts(db: StoreDatabase, job: Job) -> tuple[Transcript, ...]:
    """The latest transcript of each recording, in the order they were made; if that is not known of all, in the order added."""
    return tuple(transcript_from_json(row["transcript"], row["name"]) for row in db.rows(LATEST, [job.id]))


def recordings(db: StoreDatabase, job: Job) -> tuple[KeptRecording, ...]:
    return tuple(
        KeptRecording(
            transcript_from_json(row["transcript"], row["name"]).recording,
            db.folder / row["file"],
            row["added_at"],
            row["started_ms"],
            row["started_by"],
        )
        for row in db.rows(LATEST, [job.id])
    )


def set_start(db: StoreDatabase, job: Job, sha256: str, started_ms: int | None, by: str) -> None:
    """When a recording began, and what says so. Raises InputError for a recording that the job does not have."""
    with db.write() as connection:
        where = [started_ms, by, job.id, sha256]
        changed = connection.execute("UPDATE recordings SET started_ms = ?, started_by = ? WHERE job = ? AND sha256 = ?", where)
        if not changed.rowcount:
            raise InputError("that recording", f"is not in job {job.name!r}.", "Load the page again.")


def runs(db: StoreDatabase, job: Job) -> tuple[Run, ...]:
    """When each recording ran, for those of which it is known."""
    rows = db.rows("SELECT sha256, started_ms, duration_ms FROM recordings WHERE job = ? AND started_ms IS NOT NULL", [job.id])
    return tuple(Run(row["sha256"], row["started_ms"], row["duration_ms"]) for row in rows)


def runs_of_all(db: StoreDatabase) -> dict[str, tuple[Run, ...]]:
    """The same for every job, by its name; jobs of which nothing is known are left out."""
    rows = db.rows(
        "SELECT j.name, r.sha256, r.started_ms, r.duration_ms FROM recordings r JOIN jobs j ON j.id = r.job "
        "WHERE r.started_ms IS NOT NULL ORDER BY r.id"
    )
    ran: dict[str, tuple[Run, ...]] = {}
    for row in rows:
        ran[row["name"]] = (*ran.get(row["name"], ()), Run(row["sha256"], row["started_ms"], row["duration_ms"]))
    return ran


def _add_transcript(connection: sqlite3.Connection, recording: int | None, transcript: Transcript) -> None:
    connection.execute(
        "INSERT INTO transcripts (recording, made_at, json) VALUES (?, ?, ?)",
        [recording, now(), transcript_to_json(transcript)],
    )
