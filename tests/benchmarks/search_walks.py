"""Judged queries in people's words: the labelled walkthroughs as jobs, and the other names that their writers accepted.

An item is stored under the lexicon's name where the lexicon knows one of its accepted names, with the turns as quotes, as
the tool would; a query is another accepted name of its problem and of its element. Grades: 3 a name of the element and one
of the problem in common, 1 a name of the element only.
"""

import json
import pathlib
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from memo2list.records import Item, PunchList, Quote, WordRange
from memo2list.store import Store
from memo2list.store.edits import EMPTY
from memo2list.store.query import Vocabulary
from memo2list.timing import TimeSpan

WALKS = pathlib.Path(__file__).parent.parent / "walks" / "training"


@dataclass(frozen=True)
class Asked:
    """A query in the words of the person who labelled the walk, and what it was about."""

    text: str
    elements: frozenset[str]
    problems: frozenset[str]


def names(listed: Sequence[str]) -> frozenset[str]:
    return frozenset(name.lower() for name in listed)


def known_name(vocabulary: Vocabulary, kind: str, accepted: Sequence[str]) -> str:
    for name in accepted:
        for entry in vocabulary.by_form.get(name.lower(), ()):
            if entry.kind == kind:
                return entry.name
    return accepted[0].lower() if accepted else ""


def stored(vocabulary: Vocabulary, number: int, gold: dict[str, Any], turns: dict[int, str]) -> Item:
    element = known_name(vocabulary, "element", gold["element"])
    problem, action = known_name(vocabulary, "problem", gold["issue"]), known_name(vocabulary, "action", gold["action"])
    said = [turns[n] for n in gold["turns"] if n in turns]
    return replace(
        EMPTY,
        number=number,
        key=f"k{number}",
        title=f"{element.capitalize()}{': ' + problem if problem else ''}{' — ' + action if action else ''}",
        element=element,
        issues=(problem,) if problem else (),
        actions=(action,) if action else (),
        location=gold["location"][0] if gold["location"] else None,
        quotes=tuple(Quote("a" * 64, WordRange(0, 1), TimeSpan(n * 5000, n * 5000 + 4000), text) for n, text in enumerate(said)),
        review="unreviewed",
    )


def fill_with_walks(store: Store, folder: pathlib.Path = WALKS) -> dict[tuple[str, int], dict[str, Any]]:
    """One job a walk; gives the answers by (job, number)."""
    truth = {}
    for path in sorted(folder.glob("*.json")):
        walk = json.loads(path.read_text(encoding="utf-8"))
        turns = {t["n"]: t["text"] for t in walk["turns"]}
        items = tuple(stored(store.vocabulary, n, gold, turns) for n, gold in enumerate(walk["items"], 1))
        store.add_job(path.stem)
        store.save_list(path.stem, PunchList((), items, ()))
        truth |= {(path.stem, n): gold for n, gold in enumerate(walk["items"], 1)}
    return truth


def people_ask(truth: dict[tuple[str, int], dict[str, Any]], count: int = 120, seed: int = 4) -> list[Asked]:
    rng = random.Random(seed)
    pool = [g for g in truth.values() if len(g["element"]) > 1 and len(g["issue"]) > 1]
    return [
        Asked(f"{rng.choice(g['issue'][1:])} {rng.choice(g['element'][1:])}", names(g["element"]), names(g["issue"]))
        for g in rng.sample(pool, count)
    ]


def grade(asked: Asked, gold: dict[str, Any]) -> int:
    if not asked.elements & names(gold["element"]):
        return 0
    return 3 if asked.problems & names(gold["issue"]) else 1
