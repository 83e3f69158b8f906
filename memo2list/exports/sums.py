"""Quantities summed by element, action and unit. Units are never mixed, exact and approximate never added together."""

from collections.abc import Sequence
from dataclasses import dataclass

from memo2list.records import Item, Quantity

SUMMED = ("count", "length", "area", "volume")  # a size or a clearance describes one thing; adding them says nothing


@dataclass(frozen=True, slots=True)
class Sum:
    """One total, and the numbers of the items it is made of. `low` and `high` differ where ranges were said."""

    element: str
    action: str
    unit: str
    approximate: bool
    firm: bool  # False: from possible and conditional items
    low: float
    high: float
    items: tuple[int, ...]


def sums(items: Sequence[Item]) -> tuple[Sum, ...]:
    """All totals by element, action and unit, in order of name; done, dropped and to-be-verified items are not counted."""
    parts: dict[tuple[str, str, str, bool, bool], list[tuple[int, Quantity]]] = {}
    for item in items:
        if item.kind == "verify" or item.state == "done" or item.review == "dropped":
            continue
        for measured in item.quantities:
            if measured.kind in SUMMED:
                action = item.actions[0] if item.actions else ""
                key = (item.element, action, measured.unit, measured.approximate, item.certainty == "stated")
                parts.setdefault(key, []).append((item.number, measured))
    return tuple(_sum(key, parts[key]) for key in sorted(parts, key=lambda k: (k[:3], not k[4], k[3])))


def _sum(key: tuple[str, str, str, bool, bool], parts: Sequence[tuple[int, Quantity]]) -> Sum:
    lows = [q.value[0] if isinstance(q.value, tuple) else q.value for _, q in parts]
    highs = [q.value[1] if isinstance(q.value, tuple) else q.value for _, q in parts]
    return Sum(*key, low=sum(lows), high=sum(highs), items=tuple(dict.fromkeys(n for n, _ in parts)))
