"""What follows from a change of an item: its title keeps up with its fields, and merging joins what was known."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeVar

from memo2list.records import Item

TITLE = re.compile(r"(?P<element>[^:—]*?)(?:: (?P<issues>[^—]*?))?(?: — (?P<actions>.*))?")
Value = TypeVar("Value")
FIRM = ("possible", "conditional", "stated")


def retitled(before: Item, after: Item, field: str, together: Iterable[str] = ()) -> Item:
    """The item with a title that says its new element, problems or actions; a title set by hand at the same time stays."""
    parts = TITLE.fullmatch(before.title)
    if field not in ("element", "issues", "actions") or parts is None or "title" in together:
        return after
    said = parts.groupdict(default="")
    said[field] = after.element[:1].upper() + after.element[1:] if field == "element" else ", ".join(getattr(after, field))
    return replace(after, title=title(said["element"], said["issues"], said["actions"]))


def title(element: str, issues: str, actions: str) -> str:
    """
    >>> title("Fascia", "rot", "replace"), title("Porch floor", "", "paint")
    ('Fascia: rot — replace', 'Porch floor — paint')
    """
    return f"{element}{': ' + issues if issues else ''}{' — ' + actions if actions else ''}"


def merged(target: Item, others: Sequence[Item]) -> Item:
    """The target with everything the others said; its own words come first, quotes in order of time."""
    every = [target, *others]
    one = replace(
        target,
        heard=_joined(i.heard for i in every),
        issues=_joined(i.issues for i in every),
        actions=_joined(i.actions for i in every),
        quantities=_joined(i.quantities for i in every),
        materials=_joined(i.materials for i in every),
        questions=_joined(i.questions for i in every),
        cautions=_joined(i.cautions for i in every),
        flags=_joined(i.flags for i in every),
        wanted_pictures=_joined(i.wanted_pictures for i in every),
        quotes=tuple(sorted(_joined(i.quotes for i in every), key=lambda q: (q.recording, q.span))),
        location=target.location or next((i.location for i in others if i.location), None),
        certainty=max((i.certainty for i in every), key=FIRM.index),
        kind="problem" if any(i.kind == "problem" for i in every) else target.kind,
        safety=any(i.safety for i in every),
        by="+".join(sorted({name for i in every for name in i.by.split("+") if name})),
        note="\n".join(dict.fromkeys(i.note for i in every if i.note)),
    )
    return _title_of_all(one, every)


def _title_of_all(one: Item, every: Sequence[Item]) -> Item:
    parts = [found.groupdict(default="") for i in every if (found := TITLE.fullmatch(i.title))]
    if len(parts) < len(every):
        return one
    return replace(one, title=title(parts[0]["element"], _words(p["issues"] for p in parts), _words(p["actions"] for p in parts)))


def _words(texts: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(word for text in texts for word in text.split(", ") if word))


def _joined(values: Iterable[tuple[Value, ...]]) -> tuple[Value, ...]:
    return tuple(dict.fromkeys(v for held in values for v in held))
