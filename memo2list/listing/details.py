"""The place and the measures of each item of the quick reader, chosen once it is known which items there are.

Where nothing was fitted, an item keeps what its findings were given by the reader's rules.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from memo2list.judging import load_judges
from memo2list.listing import weighing
from memo2list.listing.amounts import chosen_amounts, measure_options
from memo2list.listing.anchors import Anchors
from memo2list.listing.weighing import Option, Scale, load_scale
from memo2list.listing.whereabouts import among_neighbours, chosen_places, place_options
from memo2list.records import Finding, Measured, Part, PlaceSaid, Quantity, Reading
from memo2list.vocabulary.entries import Matcher

SHOWN = 3  # options told in the steps


@dataclass(frozen=True, slots=True)
class Details:
    """What an item is given beside its claims; nothing where nothing was fitted."""

    location: str | None = None
    place: Part | None = None  # how likely the last place told is, the room or side rather than the spot
    quantities: tuple[Quantity, ...] | None = None
    steps: tuple[str, ...] = ()


AS_FOUND = Details()  # what the findings say


def details(reading: Reading, items: Sequence[Sequence[Finding]], lexicon: Matcher) -> list[Details]:
    """For each item of one recording (its findings) its place and measures."""
    places, amounts = load_scale("places"), load_scale("measures")
    if places is None or amounts is None or not items:
        return [AS_FOUND] * len(items)
    measures, named = measure_options(reading, items), place_options(reading, items, lexicon)
    sure, likely = amounts.chances(measures), place_chances(places, named, told_order(items))
    return [one(*parts) for parts in zip(measures, sure, named, likely, strict=True)]


def told_order(items: Sequence[Sequence[Finding]]) -> list[int]:
    """The numbers of the items in the order they are told."""
    return sorted(range(len(items)), key=lambda n: Anchors.of(items[n]).words[0])


def place_chances(scale: Scale, named: Sequence[Sequence[Option[PlaceSaid]]], order: Sequence[int]) -> list[list[float]]:
    """Chances of the second weighing, of the first where no second was fitted."""
    first = scale.chances(named)
    judge = load_judges(weighing.DETAILS)[0].get("places together")
    if judge is None:
        return first
    rows = among_neighbours(named, first, order)
    flat = iter(judge.chances([row for group in rows for row in group]))
    return [[next(flat) for _ in group] for group in rows]


def one(
    measures: Sequence[Option[Measured]], sure: Sequence[float], named: Sequence[Option[PlaceSaid]], likely: Sequence[float]
) -> Details:
    places = chosen_places(named, likely)
    chance = {o.what: c for o, c in zip(named, likely, strict=True)}
    told = [
        weighed_step("place", [(o.what.said, c) for o, c in zip(named, likely, strict=True)]),
        weighed_step("measure", [(o.what.quantity.said, c) for o, c in zip(measures, sure, strict=True)]),
    ]
    return Details(
        ", ".join(p.said for p in places) or None,
        Part("place", round(chance[places[-1]], 2), f'"{places[-1].said}" weighed among the places named') if places else None,
        chosen_amounts(measures, sure),
        tuple(filter(None, told)),
    )


def weighed_step(name: str, options: Sequence[tuple[str, float]]) -> str:
    best = sorted(options, key=lambda pair: -pair[1])[:SHOWN]
    return f"{name} weighed: " + ", ".join(f'"{said}" {chance:.2f}' for said, chance in best) if best else ""
