"""Made-up jobs for measuring search: believable items drawn from the lexicon, with quotes in varied talk.

An item's title carries the lexicon's names, as the tool would write it; its quotes use one of the other ways to say them.
"""

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from memo2list.records import Item, Quote, WordRange
from memo2list.store import Store
from memo2list.store.edits import EMPTY
from memo2list.store.lists import write_current
from memo2list.store.query import forms_of
from memo2list.timing import TimeSpan
from memo2list.vocabulary.entries import Entry
from memo2list.vocabulary.lexicon import Lexicon

TALK = (
    "so the {element} here, {problem}, see that",
    "look at this {element} {place}, it's {problem} all along",
    "and then you've got {problem} on the {element}, {extra}",
    "yeah the {element} by the {other} is {problem} so we'd {action} it",
    "I don't like this {element}. {problem}, I'd say {action} the lot, {extra}",
    "{place} we have a {element} that's {problem}",
)
WORK_TALK = (
    "could you {action} the {element} {place}",
    "we want to {action} that {element}, {extra}",
    "{action} the {element} while you're at it",
)
EXTRA = (
    "can you reach it",
    "maybe next spring",
    "it was done years ago",
    "watch the step",
    "that's the worst bit",
    "bring the ladder",
)
ITEMS_A_JOB = 20


@dataclass(frozen=True)
class Made:
    """What an item was made from: the truth for grading."""

    item: Item
    element: Entry
    problem: Entry | None
    action: Entry
    material: Entry | None
    place: Entry


def spoken(rng: random.Random, entry: Entry) -> str:
    """One way to say it; the name itself is only one of them."""
    return rng.choice(forms_of(entry))


def fitting(problems: Sequence[Entry], element: Entry) -> list[Entry]:
    fits = [p for p in problems if element.name in p.fits or element.pack in p.fits]
    return fits or [p for p in problems if not p.fits]


def make(lexicon: Lexicon, count: int, seed: int = 11) -> Iterator[Made]:
    """`count` items, the same for the same seed; common elements are common, as in life."""
    rng = random.Random(seed)
    elements, problems = lexicon.of_kind("element"), lexicon.of_kind("problem")
    actions, materials, places = lexicon.of_kind("action"), lexicon.of_kind("material"), lexicon.of_kind("place")
    weights = [1 / (1 + n % 97) for n in range(len(elements))]
    fits = {e.name: fitting(problems, e) for e in elements}
    for number in range(1, count + 1):
        element = rng.choices(elements, weights)[0]
        problem = rng.choice(fits[element.name]) if rng.random() < 0.85 else None
        material = rng.choice(materials) if rng.random() < 0.4 else None
        yield _made(rng, number, element, problem, rng.choice(actions), material, rng.choice(places), elements)


def _made(
    rng: random.Random,
    number: int,
    element: Entry,
    problem: Entry | None,
    action: Entry,
    material: Entry | None,
    place: Entry,
    elements: Sequence[Entry],
) -> Made:
    said = spoken(rng, element)
    words = {
        "element": f"{material.name} {said}" if material else said,
        "problem": spoken(rng, problem) if problem else "",
        "action": spoken(rng, action),
        "place": spoken(rng, place),
        "other": rng.choice(elements).name,
        "extra": rng.choice(EXTRA),
    }
    text = rng.choice(TALK if problem else WORK_TALK).format(**words)
    quote = Quote("a" * 64, WordRange(0, len(text.split())), TimeSpan(number * 4000, number * 4000 + 3500), text)
    issue = f": {problem.name}" if problem else ""
    item = replace(
        EMPTY,
        number=number,
        key=f"k{number}",
        kind="problem" if problem else "work",
        title=f"{element.name.capitalize()}{issue} — {action.name}",
        element=element.name,
        heard=(said,),
        issues=(problem.name,) if problem else (),
        actions=(action.name,),
        location=place.name,
        materials=(material.name,) if material else (),
        quotes=(quote,),
        review="unreviewed",
    )
    return Made(item, element, problem, action, material, place)


def fill(store: Store, made: Sequence[Made], first_job: int = 0) -> None:
    """Writes the items as jobs of twenty, numbered from `first_job`, in few transactions: only what search reads."""
    for first in range(0, len(made), ITEMS_A_JOB * 500):
        block = made[first : first + ITEMS_A_JOB * 500]
        starts = range(0, len(block), ITEMS_A_JOB)
        with store.db.write() as connection:
            for start in starts:
                number = first_job + (first + start) // ITEMS_A_JOB
                day = f"20{20 + number % 6}-{1 + number % 12:02d}-{1 + number % 28:02d}"
                connection.execute(
                    "INSERT INTO jobs (name, name_key, customer, address, made_at) VALUES (?, ?, '', '', ?)",
                    [f"job {number}", f"job {number}", f"{day}T09:00:00.000000+00:00"],
                )
        with store.db.write() as connection:
            for start in starts:
                job = store.job(f"job {first_job + (first + start) // ITEMS_A_JOB}")
                write_current(connection, job, [m.item for m in block[start : start + ITEMS_A_JOB]])
