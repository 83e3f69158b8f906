"""A job read again: which items are the same as before, which are new, which are gone, and what people decided stays."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from memo2list.records import Flag, Item
from memo2list.store.edits import Edit, effective

GONE = Flag("gone", "reading again no longer finds this; it is kept because somebody worked on it")
READ_FIELDS = ("title", "element", "issues", "actions", "location", "quantities", "materials", "certainty", "kind", "safety")


@dataclass(frozen=True, slots=True)
class AgainReport:
    """Keys of items that reading again found for the first time, no longer found, found the same, or found otherwise."""

    new: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    same: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()  # gone, but kept because somebody worked on them


def match_again(before: Sequence[Item], found: Sequence[Item]) -> dict[str, str]:
    """New key → old key of the same item: equal keys first, then the same element said at the same time."""
    olds, news = {i.key: i for i in before}, {i.key: i for i in found}
    matched = {key: key for key in news if key in olds}
    free = [i for i in before if i.key not in matched.values()]
    for item in found:
        if item.key in matched:
            continue
        rivals = [old for old in free if same_talk(old, item)]
        if rivals:
            best = max(rivals, key=lambda old: likeness(old, item))
            matched[item.key] = best.key
            free.remove(best)
    return matched


def same_talk(old: Item, new: Item) -> bool:
    """Whether both are about the same element and rest on words said at the same time."""
    return old.element == new.element and any(
        a.recording == b.recording and a.span.overlaps(b.span) for a in old.quotes for b in new.quotes
    )


def likeness(old: Item, new: Item) -> int:
    """How much of what was understood is equal."""
    return sum(getattr(old, field) == getattr(new, field) for field in READ_FIELDS)


def relist(
    before: Sequence[Item], found: Sequence[Item], edits: Sequence[Edit], highest: int
) -> tuple[tuple[Item, ...], AgainReport]:
    """The new base list with old keys and numbers where the item is the same, and what became of every item."""
    matched = match_again(before, found)
    olds = {i.key: i for i in before}
    base: list[Item] = []
    new: list[str] = []
    changed: list[str] = []
    same: list[str] = []
    for item in found:
        old = olds.get(matched.get(item.key, ""))
        if old is None:
            highest += 1
            base.append(replace(item, key=free_key(item.key, olds), number=highest))
            new.append(base[-1].key)
            continue
        base.append(replace(item, key=old.key, number=old.number))
        (same if likeness(old, item) == len(READ_FIELDS) else changed).append(old.key)
    gone = [i for i in before if i.key not in matched.values()]
    kept = [i for i in gone if i.key in worked_on(edits)]
    base += [replace(i, flags=tuple(dict.fromkeys((*i.flags, GONE)))) for i in kept]
    report = AgainReport(tuple(new), tuple(i.key for i in gone), tuple(changed), tuple(same), tuple(i.key for i in kept))
    return tuple(base), report


def worked_on(edits: Sequence[Edit]) -> set[str]:
    """Keys of items that somebody changed in a way worth keeping; dropping is none, for it holds if the item comes back."""
    keys = {e.key for e in effective(edits) if e.kind not in ("drop", "undrop", "move")}
    return keys | {key for e in effective(edits) if e.kind == "merge" for key in e.new}


def free_key(key: str, taken: dict[str, Item]) -> str:
    """The key itself, or with a number where an old item that is not the same one bears it."""
    number, candidate = 2, key
    while candidate in taken:
        candidate, number = f"{key}-{number}", number + 1
    return candidate
