"""Edits: one change by the reviewer each, added and never overwritten; `apply_edits` gives the current items."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from memo2list.errors import InputError
from memo2list.records import Item, item_at
from memo2list.store.records_json import from_plain, hints_of, to_plain
from memo2list.store.wording import merged, retitled

EDITABLE = (
    "title element issues actions location quantities materials kind certainty safety by questions note review state".split()
)
ADDABLE = (*EDITABLE, "heard", "quotes")  # what a new item may have: words from the talk come with their quotes
KINDS = ("set", "keep", "drop", "undrop", "merge", "split", "move", "add", "note", "state", "undo", "redo")


@dataclass(frozen=True, slots=True)
class Edit:
    """One row: what kind of change, of which item, and the values; `expected` and `new` are plain JSON values."""

    kind: str  # one of KINDS
    key: str = ""
    field: str = ""
    expected: Any = None
    new: Any = None
    who: str = ""
    at: str = ""  # ISO 8601, UTC; edits made together have the same
    number: int = 0  # the row's own, in order of time


Items = tuple[Item, ...]


def effective(edits: Iterable[Edit]) -> tuple[Edit, ...]:
    """The edits that count, undone ones left out.

    `undo` takes back the latest, with those made at the same time as it; `redo` brings them back until a new change.
    """
    done: list[Edit] = []
    undone: list[list[Edit]] = []
    for edit in edits:
        if edit.kind == "undo":
            first = _first_of_latest(done)
            undone += [done[first:]] if done else []
            del done[first:]
        elif edit.kind == "redo":
            done += undone.pop() if undone else []
        else:
            done.append(edit)
            undone.clear()
    return tuple(done)


def _first_of_latest(done: Sequence[Edit]) -> int:
    """Where the edits begin that were made together with the latest one."""
    first = max(0, len(done) - 1)
    while first and done[first].at and done[first - 1].at == done[first].at:
        first -= 1
    return first


def can_redo(edits: Iterable[Edit]) -> bool:
    undone = 0
    for edit in edits:
        undone = undone + 1 if edit.kind == "undo" else max(0, undone - 1) if edit.kind == "redo" else 0
    return undone > 0


def moved(edits: Iterable[Edit]) -> dict[str, str]:
    """Key of a merged item → key of the item it is part of now."""
    now: dict[str, str] = {}
    for edit in effective(edits):
        if edit.kind == "merge":
            now |= dict.fromkeys(edit.new, edit.key)
            now |= {key: edit.key for key, target in now.items() if target in edit.new}
    return now


def apply_edits(items: Sequence[Item], edits: Iterable[Edit]) -> Items:
    """The items as they are now. An edit of an item that reading no longer finds is passed over."""
    current = tuple(items)
    for edit in effective(edits):
        current = STEPS[edit.kind](current, edit)
    return current


def at(items: Sequence[Item], key: str) -> int | None:
    """Where the item of that key stands, None if there is none."""
    return next((n for n, item in enumerate(items) if item.key == key), None)


def field_value(name: str, plain: Any) -> Any:
    """A field's value from its JSON form. Raises InputError if it is none."""
    if name not in ADDABLE:
        raise InputError(name, "cannot be changed.", f"Choose one of: {', '.join(EDITABLE)}.")
    try:
        return from_plain(hints_of(Item)[name], plain)
    except (TypeError, ValueError, AttributeError) as error:
        raise InputError(name, f"cannot be {plain!r} ({error}).", "Look at records.Item for what it holds.") from None


def _changed(items: Items, key: str, change: Callable[[Item], Item]) -> Items:
    return tuple(change(item) if item.key == key else item for item in items)


def _set(items: Items, edit: Edit) -> Items:
    value = field_value(edit.field, edit.new)
    return _changed(items, edit.key, lambda item: retitled(item, replace(item, **{edit.field: value}), edit.field))


def _review(items: Items, edit: Edit) -> Items:
    review = {"keep": "kept", "drop": "dropped", "undrop": "unreviewed"}[edit.kind]
    why = str(edit.new or "") if edit.kind == "drop" else ""
    return _changed(items, edit.key, lambda item: replace(item, review=review, why_dropped=why))  # type: ignore[arg-type]


def _merge(items: Items, edit: Edit) -> Items:
    target = at(items, edit.key)
    others = [i for i in items if i.key in edit.new and i.key != edit.key]
    if target is None or not others:
        return items
    one = merged(items[target], others)
    return tuple(one if i.key == edit.key else i for i in items if i not in others)


def _split(items: Items, edit: Edit) -> Items:
    where = at(items, edit.key)
    if where is None:
        return items
    old = items[where]
    taken = [q for n, q in enumerate(old.quotes) if n in edit.new["quotes"]]
    left = replace(old, quotes=tuple(q for q in old.quotes if q not in taken) or old.quotes)
    fields = {name: field_value(name, value) for name, value in edit.new["fields"].items()}
    new = replace(old, key=edit.new["key"], number=edit.new["number"], quotes=tuple(taken) or old.quotes, review="unreviewed")
    left, new = _pictures_parted(left, new)
    for name, value in fields.items():
        new = retitled(new, replace(new, **{name: value}), name, set(fields))
    return (*items[:where], left, new, *items[where + 1 :])


def _pictures_parted(left: Item, new: Item) -> tuple[Item, Item]:
    """Each wanted picture goes with the half that was talked about then; it stays where both were."""
    halves = (replace(new, number=0), replace(left, number=1))  # the higher number goes first where both are as near
    moved = tuple(w for w in left.wanted_pictures if item_at(halves, w.recording, w.at_ms) is halves[0])
    stay = tuple(w for w in left.wanted_pictures if w not in moved)
    return replace(left, wanted_pictures=stay), replace(new, wanted_pictures=moved)


def _move(items: Items, edit: Edit) -> Items:
    where, after = at(items, edit.key), at(items, edit.new)
    if where is None or edit.new == edit.key or (after is None and edit.new):
        return items
    moved = items[where]
    rest = [i for i in items if i.key != edit.key]
    place = 0 if not edit.new else (at(rest, edit.new) or 0) + 1
    return (*rest[:place], moved, *rest[place:])


def _add(items: Items, edit: Edit) -> Items:
    fields = {name: field_value(name, value) for name, value in edit.new["fields"].items()}
    element = fields.get("element", "")
    new = replace(EMPTY, key=edit.key, number=edit.new["number"], by=edit.who, heard=(element,) if element else ())
    for name, value in fields.items():
        new = retitled(new, replace(new, **{name: value}), name, set(fields))
    return (*items, new)


def highest_number(items: Iterable[Item], edits: Iterable[Edit]) -> int:
    """The highest number ever given, so that none is given twice: 0 if there is none."""
    given = [e.new["number"] for e in edits if e.kind in ("add", "split")]
    return max([*(i.number for i in items), *given], default=0)


EMPTY = Item(
    number=0,
    key="",
    kind="work",
    title="",
    element="",
    heard=(),
    issues=(),
    actions=(),
    location=None,
    quantities=(),
    materials=(),
    certainty="stated",
    safety=False,
    by="",
    quotes=(),
    confidence=1.0,
    review="kept",
)

STEPS: dict[str, Callable[[Items, Edit], Items]] = {
    "set": _set,
    "note": _set,
    "state": _set,
    "keep": _review,
    "drop": _review,
    "undrop": _review,
    "merge": _merge,
    "split": _split,
    "move": _move,
    "add": _add,
}


def plain(value: Any) -> Any:
    """A field's value as it is written into a row."""
    return to_plain(value)
