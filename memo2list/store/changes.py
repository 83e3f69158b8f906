"""Making a change: look at the item as it is now, refuse what is outdated or impossible, append one row."""

import secrets
from collections.abc import Iterable, Mapping
from typing import Any, Literal

from memo2list.errors import InputError, NothingToUndoError, StaleEditError, UnknownItemError
from memo2list.records import Item, State
from memo2list.store.database import StoreDatabase
from memo2list.store.edits import (
    ADDABLE,
    EDITABLE,
    Edit,
    Items,
    apply_edits,
    at,
    can_redo,
    effective,
    field_value,
    highest_number,
    plain,
)
from memo2list.store.jobs import Job
from memo2list.store.lists import append_edit, base_list, edits_of, write_current


class Change:
    """One change of one job, inside one transaction: the items as they are, and `make` to append an edit."""

    def __init__(self, db: StoreDatabase, job: Job, who: str, at: str = ""):
        """`at` is when, "" for now; changes made at one and the same time are taken back together."""
        self.db, self.job, self.who, self.at = db, job, who, at
        self.edits = edits_of(db, job)
        self.base = base_list(db, job).items
        self.items = apply_edits(self.base, self.edits)

    def item(self, key: str) -> Item:
        where = at(self.items, key)
        if where is None:
            raise UnknownItemError(self.job.name, key)
        return self.items[where]

    def make(self, kind: str, key: str = "", field: str = "", expected: Any = None, new: Any = None) -> Items:
        """Appends the edit and gives the items as they are then."""
        edit = Edit(kind, key, field, plain(expected), plain(new), self.who, self.at)
        items = apply_edits(self.base, (*self.edits, edit))  # tried first: an edit that cannot be applied is not kept
        append_edit(self.db.connection, self.job, edit)
        write_current(self.db.connection, self.job, items, self.items)
        return items

    @property
    def next_number(self) -> int:
        return highest_number(self.base, self.edits) + 1


def set_field(change: Change, key: str, field: str, expected: Any, new: Any) -> Items:
    """Raises StaleEditError if the field is not `expected` now, InputError for a field or value that cannot be."""
    item = change.item(key)
    if field not in EDITABLE:
        raise InputError(field, "cannot be changed.", f"Choose one of: {', '.join(EDITABLE)}.")
    value = field_value(field, plain(new))
    found = getattr(item, field)
    if plain(found) != plain(expected):
        raise StaleEditError(item.number, field, expected, found)
    kind = field if field in ("note", "state") else "set"
    return change.make(kind, key, field, expected, value)


def review(change: Change, key: str, kind: Literal["keep", "drop", "undrop"], why: str = "") -> Items:
    item = change.item(key)
    if kind == "undrop" and item.review != "dropped":
        raise StaleEditError(item.number, "review", "dropped", item.review)
    return change.make(kind, key, "review", item.review, why)


def set_freely(change: Change, key: str, field: Literal["note", "state"], new: str | State) -> Items:
    """A note or a state, whatever it was before: nothing said is lost, for the earlier one is in the edits."""
    return set_field(change, key, field, getattr(change.item(key), field), new)


def merge(change: Change, key: str, others: Iterable[str]) -> Items:
    keys = [change.item(other).key for other in dict.fromkeys(others) if other != change.item(key).key]
    if not keys:
        raise InputError(f"item {change.item(key).number}", "cannot be merged with itself.", "Name one or more other items.")
    return change.make("merge", key, new=keys)


def split(change: Change, key: str, quotes: Iterable[int], fields: Mapping[str, Any]) -> Items:
    """A new item takes the quotes at these positions, and the fields given."""
    item, taken = change.item(key), sorted(set(quotes))
    if any(n not in range(len(item.quotes)) for n in taken) or not (taken or fields):
        raise InputError(f"item {item.number}", "cannot be split like that.", "Name quotes it has, or what differs.")
    wanted = {name: plain(field_value(name, plain(value))) for name, value in fields.items()}
    new = {"key": new_key("split"), "number": change.next_number, "quotes": taken, "fields": wanted}
    return change.make("split", key, new=new)


def move(change: Change, key: str, after: str) -> Items:
    change.item(key)
    if after and change.item(after).key == key:
        raise InputError(f"item {change.item(key).number}", "cannot follow itself.", "Name another item.")
    return change.make("move", key, new=after)


def add_item(change: Change, fields: Mapping[str, Any]) -> Items:
    """An item of the reviewer's own, kept from the start. Raises InputError without a title or an element."""
    wanted = {name: plain(field_value(name, plain(value))) for name, value in fields.items() if name in ADDABLE}
    unknown = [name for name in fields if name not in ADDABLE]
    if unknown or not (wanted.get("title") or wanted.get("element")):
        what = f"cannot have {', '.join(unknown)}." if unknown else "needs a title or an element."
        raise InputError("a new item", what, f"Its fields are {', '.join(EDITABLE)}.")
    return change.make("add", new_key("added"), new={"number": change.next_number, "fields": wanted})


def undo(change: Change) -> Items:
    if not effective(change.edits):
        raise NothingToUndoError(change.job.name, "undo")
    return change.make("undo")


def redo(change: Change) -> Items:
    if not can_redo(change.edits):
        raise NothingToUndoError(change.job.name, "redo")
    return change.make("redo")


def new_key(word: str) -> str:
    return f"{word}-{secrets.token_hex(4)}"
