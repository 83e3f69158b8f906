"""Both readers' lists made one: what the deep reader lists, what the quick reader alone is sure of, and where they differ.

The deep reader decides what is an item, because it follows the talk; the quick reader confirms it, adds
the trade's name for what was said, and keeps what it alone is nearly certain of. Agreement raises the
confidence; disagreement is a flag that gives both views. The thresholds and weights were measured on
walkthroughs neither reader was tuned on (DEVELOPERS.md gives the table).
"""

import itertools
import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TypeVar

from memo2list.records import DOUBTFUL, Flag, Item, Part, PunchList, SetAside

WEIGHTS = {  # python -m tests.benchmarks.both_readers --fit; "" is the intercept
    "sure": 1.06,
    "least": 0.83,
    "quick": 1.25,
    "agrees": 0.51,
    "inferred": -0.46,
    "hedged": -0.05,
    "verify": -0.1,
    "": 1.65,
}
QUICK_ALONE = 0.95  # confidence from which an item the deep reader passes over is listed all the same
AREA_LIKELY = 0.6  # of the areas added so, seven in ten were right
MOST_NAMES = 4  # two claims, each with its lexicon name and the words said
SMALL = frozenset("the a an of on in at to and or old new".split())
T = TypeVar("T")


def both(quick: PunchList, deep: PunchList) -> PunchList:
    """One list of two readings of the same recordings; a pure function of its arguments."""
    partners = pair(quick.items, deep.items)
    agreed = {number for number in partners.values() if number is not None}
    items = [together(item, by_number(quick.items, partners[item.number])) for item in deep.items]
    alone = [item for item in quick.items if item.number not in agreed and not claimed(item, deep.items)]
    items += [kept_alone(item) for item in alone if item.confidence >= QUICK_ALONE]
    passed = [left_out(item) for item in alone if item.confidence < QUICK_ALONE]
    ordered = sorted(items, key=first_said)
    return PunchList(
        deep.recordings,
        tuple(replace(item, number=n) for n, item in enumerate(unique_keys(ordered), 1)),
        (*(s for s in quick.set_aside if not listed_too(s, ordered)), *passed),
        tuple(dict.fromkeys((*quick.flags, *deep.flags))),
    )


def first_said(item: Item) -> tuple[str, int]:
    return (item.quotes[0].recording, item.quotes[0].words.first) if item.quotes else ("", 0)


def by_number(items: Sequence[Item], number: int | None) -> Item | None:
    return next((item for item in items if item.number == number), None)


def pair(quick: Sequence[Item], deep: Sequence[Item]) -> dict[int, int | None]:
    """For each deep item the quick item that says the same, best likeness first, each taken once."""
    likeness = [(like(q, d), q.number, d.number) for d in deep for q in near(d, quick)]
    out: dict[int, int | None] = {d.number: None for d in deep}
    for value, said_by_quick, said_by_deep in sorted(likeness, key=lambda found: (-found[0], found[1], found[2])):
        if value > 0 and out[said_by_deep] is None and said_by_quick not in out.values():
            out[said_by_deep] = said_by_quick
    return out


def near(item: Item, others: Sequence[Item]) -> list[Item]:
    return [other for other in others if overlap(item, other)]


def overlap(a: Item, b: Item) -> bool:
    return any(x.recording == y.recording and x.words.overlaps(y.words) for x in a.quotes for y in b.quotes)


def like(a: Item, b: Item) -> float:
    """0 where the elements differ, else 1 and more for each claim in common."""
    if not same_words((a.element, *a.heard), (b.element, *b.heard)):
        return 0.0
    return 1.0 + same_words(a.issues, b.issues) + 0.5 * same_words(a.actions, b.actions)


def same_words(a: Iterable[str], b: Iterable[str]) -> bool:
    first, second = [words(x) for x in a], [words(y) for y in b]
    return any(x and y and (x <= y or y <= x) for x in first for y in second)


def words(text: str) -> frozenset[str]:
    return frozenset(re.sub(r"(ing|ed|es|s|en)$", "", w) for w in re.findall(r"[a-z0-9]+", text.lower()) if w not in SMALL)


def together(item: Item, partner: Item | None) -> Item:
    """A deep item with what the quick reader's view of it adds."""
    if partner is None:
        view = Flag("one-reader", "only the deep reader lists this; listen to the quote")
        return weighed(replace(item, flags=(*item.flags, view)), None)
    differing = item.issues and partner.issues and not same_words(item.issues, partner.issues)
    views = (
        (Flag("two-views", f"one reader took it for {item.issues[0]}, the other for {partner.issues[0]}"),) if differing else ()
    )
    return weighed(
        replace(
            item,
            heard=union(item.heard, partner.heard),
            issues=other_names(item.issues, partner.issues) if item.issues else item.issues,
            actions=other_names(item.actions, partner.actions) if item.actions else partner.actions,
            location=joined_place(item, partner),
            materials=item.materials or partner.materials,
            cautions=union(item.cautions, partner.cautions),
            flags=union(item.flags, views),
            steps=(*item.steps, *partner.steps),
        ),
        partner,
    )


def joined_place(item: Item, partner: Item) -> str | None:
    """The deep reader's place, with the quick reader's room or side where that is likely and says more."""
    if not item.location or not partner.location:
        return item.location or partner.location
    area = partner.location.split(", ")[-1]
    likely = next((p.value for p in partner.parts if p.name == "place"), 0.0)
    return item.location if likely < AREA_LIKELY or words(area) <= words(item.location) else f"{item.location}, {area}"


def other_names(own: tuple[str, ...], others: tuple[str, ...]) -> tuple[str, ...]:
    """Own names and the other reader's, unless it joined so many claims that they cannot all be this one."""
    return union(own, others) if len(others) <= MOST_NAMES else own


def union(a: Iterable[T], b: Iterable[T]) -> tuple[T, ...]:
    return tuple(dict.fromkeys((*a, *b)))


def weighed(item: Item, partner: Item | None) -> Item:
    """The item with its confidence by both readers."""
    because = f"the quick reader agrees at {partner.confidence:.2f}" if partner else "the quick reader does not list it"
    met = Part("agreement", partner.confidence if partner else 0.0, because)
    item = replace(item, parts=(*(p for p in item.parts if p.name != "agreement"), met))
    return replace(item, confidence=round(confidence(item), 3))


def is_deep(item: Item) -> bool:
    return any(part.name == "deep" for part in item.parts)


def features(item: Item) -> dict[str, float]:
    """What the confidence in an item of the deep reader is weighed from."""
    value: dict[str, float] = {part.name: part.value for part in item.parts}
    codes = {flag.code for flag in item.flags}
    return {
        "sure": math.log(max(1e-3, value.get("deep", 1.0))),
        "least": math.log(max(1e-4, value.get("least", 1.0))),
        "quick": value.get("agreement", 0.0),
        "agrees": float(value.get("agreement", 0.0) > 0),
        "inferred": float("element-inferred" in codes),
        "hedged": float(item.certainty != "stated"),
        "verify": float(item.kind == "verify"),
    }


def confidence(item: Item) -> float:
    """Chance that the item is right: logistic in named features, fitted on walkthroughs neither reader was tuned on."""
    z = WEIGHTS[""] + sum(WEIGHTS[name] * value for name, value in features(item).items())
    return min(0.99, 1 / (1 + math.exp(-z)))


def claimed(item: Item, deep: Sequence[Item]) -> bool:
    """True where a deep item already says this of the same words, though paired with another."""
    return any(like(item, other) > 1.4 for other in near(item, deep))


def kept_alone(item: Item) -> Item:
    return replace(item, flags=(*item.flags, Flag("one-reader", "only the quick reader lists this; listen to the quote")))


def left_out(item: Item) -> SetAside:
    return SetAside(DOUBTFUL, item.element, item.issues, item.actions, item.quotes, "the deep reader passes over it", item.steps)


def listed_too(aside: SetAside, items: Sequence[Item]) -> bool:
    """True where something set aside by the quick reader is on the list after all."""
    return any(
        same_words((aside.element,), (item.element, *item.heard))
        and any(x.recording == y.recording and x.words.overlaps(y.words) for x in aside.quotes for y in item.quotes)
        and (same_words(aside.issues, item.issues) or same_words(aside.actions, item.actions))
        for item in items
    )


def unique_keys(items: Sequence[Item]) -> list[Item]:
    """Items whose keys differ; of those with one key the first keeps it, the others take the next free number."""
    taken, seen = {item.key for item in items}, set[str]()
    out: list[Item] = []
    for item in items:
        key = item.key if item.key not in seen else free_key(item.key, taken)
        taken.add(key)
        seen.add(key)
        out.append(replace(item, key=key))
    return out


def free_key(key: str, taken: set[str]) -> str:
    return next(name for n in itertools.count(2) if (name := f"{key}-{n}") not in taken)
