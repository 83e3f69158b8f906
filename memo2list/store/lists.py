"""Lists of a job: what reading gave (kept whole, one row each time), the edits since, and the items as they are now."""

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from memo2list.records import Item, PunchList
from memo2list.store.again import AgainReport, relist
from memo2list.store.database import StoreDatabase
from memo2list.store.edits import Edit, apply_edits, highest_number
from memo2list.store.jobs import Job, now
from memo2list.store.records_json import dumps, loads
from memo2list.timing import TimeSpan

EMPTY = PunchList((), (), ())
MOST_DECODED = 64


def base_list(db: StoreDatabase, job: Job) -> PunchList:
    """What the latest reading gave, before edits; an empty list if nothing was read yet."""
    row = db.row("SELECT max(id) AS id FROM lists WHERE job = ?", [job.id])
    if row is None or row["id"] is None:
        return EMPTY
    number, known = int(row["id"]), db.decoded  # lists are never changed, and their numbers never used again
    if number not in known:
        text = db.rows("SELECT json FROM lists WHERE id = ?", [number])[0]["json"]
        if len(known) >= MOST_DECODED:
            known.clear()
        known[number] = loads(PunchList, text)
    found: PunchList = known[number]
    return found


def edits_of(db: StoreDatabase, job: Job, key: str | None = None) -> tuple[Edit, ...]:
    """All edits of a job, or of one of its items, in order."""
    rows = db.rows("SELECT * FROM edits WHERE job = ? ORDER BY id", [job.id])
    edits = (_edit(row) for row in rows)
    return tuple(e for e in edits if key is None or e.key == key or (e.kind == "merge" and key in e.new))


def current_items(db: StoreDatabase, job: Job) -> tuple[Item, ...]:
    return apply_edits(base_list(db, job).items, edits_of(db, job))


def punch_list(db: StoreDatabase, job: Job) -> PunchList:
    """The list as it is now: edits applied, dropped items among its items."""
    return replace(base_list(db, job), items=current_items(db, job))


def save_list(db: StoreDatabase, job: Job, found: PunchList) -> AgainReport:
    """Keeps what reading gave; people's decisions stay with their items."""
    with db.write() as connection:
        edits = edits_of(db, job)
        before = base_list(db, job).items
        items, report = relist(before, found.items, edits, highest_number(before, edits))
        kept = replace(found, items=items)
        connection.execute("INSERT INTO lists (job, made_at, json) VALUES (?, ?, ?)", [job.id, now(), dumps(kept)])
        write_current(connection, job, apply_edits(items, edits))
    return report


def append_edit(connection: sqlite3.Connection, job: Job, edit: Edit) -> None:
    values = [job.id, edit.at or now(), edit.who, edit.kind, edit.key, edit.field, _json(edit.expected), _json(edit.new)]
    connection.execute(
        "INSERT INTO edits (job, at, who, kind, key, field, expected, new) VALUES (?, ?, ?, ?, ?, ?, ?, ?)", values
    )


def write_current(connection: sqlite3.Connection, job: Job, items: Sequence[Item], before: Sequence[Item] = ()) -> None:
    """Brings the rows that search reads up to the current items, without dropped ones; unchanged rows are left alone.

    `before` are the items that the rows are known to stand for, so that equal ones need not be looked at.
    """
    rows = connection.execute("SELECT id, key, json FROM items WHERE job = ?", [job.id]).fetchall()
    held = {row["key"]: row for row in rows}
    known = {item.key: item for item in before}
    current = {item.key: item for item in items if item.review != "dropped"}
    for key, row in held.items():
        if key not in current:
            connection.execute("DELETE FROM items WHERE id = ?", [row["id"]])
    for key, item in current.items():
        if key in held and known.get(key) == item:
            continue
        text = dumps(item)
        if key not in held:
            _add_row(connection, job, item, text)
        elif held[key]["json"] != text:
            connection.execute("DELETE FROM items WHERE id = ?", [held[key]["id"]])
            _add_row(connection, job, item, text)


def _add_row(connection: sqlite3.Connection, job: Job, item: Item, text: str) -> None:
    names = dict.fromkeys((item.element, *item.heard, *item.issues, *item.actions, *item.materials, item.location or ""))
    values = {
        "job": job.id,
        "key": item.key,
        "number": item.number,
        "kind": item.kind,
        "element": item.element,
        "location": item.location or "",
        "certainty": item.certainty,
        "review": item.review,
        "state": item.state,
        "safety": int(item.safety),
        "said_at": job.made_at,
        "title": item.title,
        "names": " · ".join(n for n in names if n),
        "said": " · ".join(q.text for q in item.quotes),
        "note": item.note,
        "json": text,
    }
    marks = ", ".join("?" * len(values))
    added = connection.execute(f"INSERT INTO items ({', '.join(values)}) VALUES ({marks})", list(values.values())).lastrowid
    spans: list[tuple[str, TimeSpan, str]] = [(q.recording, q.span, q.text) for q in item.quotes]
    connection.executemany(
        "INSERT INTO quotes (item, recording, start_ms, end_ms, text) VALUES (?, ?, ?, ?, ?)",
        [(added, recording, span.start_ms, span.end_ms, said) for recording, span, said in spans],
    )
    subjects = {("element", item.element), *(("problem", n) for n in item.issues), *(("action", n) for n in item.actions)}
    subjects |= {("material", n) for n in item.materials} | ({("place", item.location)} if item.location else set())
    connection.executemany(
        "INSERT OR IGNORE INTO subjects (item, kind, name) VALUES (?, ?, ?)",
        [(added, kind, name.lower()) for kind, name in sorted(subjects) if name],
    )


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _edit(row: sqlite3.Row) -> Edit:
    return Edit(
        row["kind"],
        row["key"],
        row["field"],
        json.loads(row["expected"]),
        json.loads(row["new"]),
        row["who"],
        row["at"],
        row["id"],
    )
