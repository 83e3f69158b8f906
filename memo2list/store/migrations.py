"""How the store came to look as it does: numbered steps that only ever get added. Never change one that was released."""

from pathlib import Path

from sqlite_utils import Database, Migrations

MIGRATIONS = Migrations("memo2list")

FIRST = (
    """CREATE TABLE jobs (
        id INTEGER PRIMARY KEY, name TEXT NOT NULL, name_key TEXT NOT NULL UNIQUE,
        customer TEXT NOT NULL, address TEXT NOT NULL, made_at TEXT NOT NULL)""",
    """CREATE TABLE recordings (
        id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES jobs(id) ON DELETE CASCADE, sha256 TEXT NOT NULL,
        name TEXT NOT NULL, kind TEXT NOT NULL, duration_ms INTEGER NOT NULL, file TEXT NOT NULL, bytes INTEGER NOT NULL,
        added_at TEXT NOT NULL, UNIQUE (job, sha256))""",
    """CREATE TABLE transcripts (
        id INTEGER PRIMARY KEY, recording INTEGER NOT NULL REFERENCES recordings(id) ON DELETE CASCADE,
        made_at TEXT NOT NULL, json TEXT NOT NULL)""",
    "CREATE INDEX transcripts_recording ON transcripts(recording)",
    """CREATE TABLE lists (
        id INTEGER PRIMARY KEY AUTOINCREMENT, job INTEGER NOT NULL REFERENCES jobs(id) ON DELETE CASCADE,
        made_at TEXT NOT NULL, json TEXT NOT NULL)""",
    "CREATE INDEX lists_job ON lists(job)",
    """CREATE TABLE edits (
        id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES jobs(id) ON DELETE CASCADE, at TEXT NOT NULL,
        who TEXT NOT NULL, kind TEXT NOT NULL, key TEXT NOT NULL, field TEXT NOT NULL,
        expected TEXT NOT NULL, new TEXT NOT NULL)""",
    "CREATE INDEX edits_job ON edits(job)",
    """CREATE TRIGGER edits_are_never_changed BEFORE UPDATE ON edits
        BEGIN SELECT RAISE(ABORT, 'edits are added, never changed'); END""",
)

SECOND = (
    # the current items, edits applied: made anew from lists and edits after each change, so that search need not
    """CREATE TABLE items (
        id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES jobs(id) ON DELETE CASCADE, key TEXT NOT NULL,
        number INTEGER NOT NULL, kind TEXT NOT NULL, element TEXT NOT NULL, location TEXT NOT NULL, certainty TEXT NOT NULL,
        review TEXT NOT NULL, state TEXT NOT NULL, safety INTEGER NOT NULL, said_at TEXT NOT NULL,
        title TEXT NOT NULL, names TEXT NOT NULL, said TEXT NOT NULL, note TEXT NOT NULL, json TEXT NOT NULL,
        UNIQUE (job, key))""",
    "CREATE INDEX items_element ON items(element)",
    """CREATE TABLE quotes (
        id INTEGER PRIMARY KEY, item INTEGER NOT NULL REFERENCES items(id) ON DELETE CASCADE, recording TEXT NOT NULL,
        start_ms INTEGER NOT NULL, end_ms INTEGER NOT NULL, text TEXT NOT NULL)""",
    "CREATE INDEX quotes_item ON quotes(item)",
    # what an item is about, one row a word of the lexicon: for filters and for likeness
    """CREATE TABLE subjects (
        item INTEGER NOT NULL REFERENCES items(id) ON DELETE CASCADE, kind TEXT NOT NULL, name TEXT NOT NULL,
        PRIMARY KEY (kind, name, item)) WITHOUT ROWID""",
    "CREATE INDEX subjects_item ON subjects(item)",
    """CREATE VIRTUAL TABLE items_fts USING fts5(
        title, names, said, note, content='items', content_rowid='id', tokenize="porter unicode61 remove_diacritics 2")""",
    """CREATE TRIGGER items_added AFTER INSERT ON items BEGIN
        INSERT INTO items_fts(rowid, title, names, said, note) VALUES (new.id, new.title, new.names, new.said, new.note); END""",
    """CREATE TRIGGER items_removed AFTER DELETE ON items BEGIN
        INSERT INTO items_fts(items_fts, rowid, title, names, said, note)
        VALUES ('delete', old.id, old.title, old.names, old.said, old.note); END""",
    """CREATE TRIGGER items_changed AFTER UPDATE ON items BEGIN
        INSERT INTO items_fts(items_fts, rowid, title, names, said, note)
        VALUES ('delete', old.id, old.title, old.names, old.said, old.note);
        INSERT INTO items_fts(rowid, title, names, said, note) VALUES (new.id, new.title, new.names, new.said, new.note); END""",
)

THIRD = (
    """CREATE TABLE pictures (
        id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES jobs(id) ON DELETE CASCADE, key TEXT NOT NULL,
        sha256 TEXT NOT NULL, name TEXT NOT NULL, file TEXT NOT NULL, added_at TEXT NOT NULL, UNIQUE (job, key, sha256))""",
)

FOURTH = (
    "ALTER TABLE recordings ADD COLUMN started_ms INTEGER",  # milliseconds since 1970 in UTC; NULL where it is not known
    "ALTER TABLE recordings ADD COLUMN started_by TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE pictures ADD COLUMN taken_ms INTEGER",
    "ALTER TABLE pictures ADD COLUMN zoned INTEGER NOT NULL DEFAULT 0",  # 1 where the camera said its time zone
    "ALTER TABLE pictures ADD COLUMN camera TEXT NOT NULL DEFAULT ''",
    """CREATE TABLE camera_clocks (
        job INTEGER NOT NULL REFERENCES jobs(id) ON DELETE CASCADE, camera TEXT NOT NULL, offset_ms INTEGER NOT NULL,
        PRIMARY KEY (job, camera))""",
)


def _read_times(db: Database) -> None:
    """When pictures were taken that were kept before this was read, or before it was read in HEIC."""
    from memo2list.store.picture_times import picture_time

    folder = Path(db.conn.execute("SELECT file FROM pragma_database_list WHERE name = 'main'").fetchone()[0]).parent
    for number, file in db.conn.execute("SELECT id, file FROM pictures WHERE taken_ms IS NULL").fetchall():
        found = picture_time(folder / file)
        values = [found.taken_ms, int(found.zoned), found.camera, number]
        db.conn.execute("UPDATE pictures SET taken_ms = ?, zoned = ?, camera = ? WHERE id = ?", values)


def _run(db: Database, statements: tuple[str, ...]) -> None:
    for statement in statements:
        db.conn.execute(statement)


@MIGRATIONS()
def m001_jobs_recordings_lists_edits(db: Database) -> None:
    _run(db, FIRST)


@MIGRATIONS()
def m002_current_items_and_search(db: Database) -> None:
    _run(db, SECOND)


@MIGRATIONS()
def m003_pictures(db: Database) -> None:
    _run(db, THIRD)


@MIGRATIONS()
def m004_times_of_recordings_and_pictures(db: Database) -> None:
    _run(db, FOURTH)


@MIGRATIONS()
def m005_times_of_pictures_kept_before(db: Database) -> None:
    _read_times(db)
