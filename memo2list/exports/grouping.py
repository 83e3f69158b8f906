"""Items under headings: by place in walking order (the order places were first named), or by trade."""

from collections.abc import Callable, Mapping, Sequence

from memo2list.exports import phrasing
from memo2list.records import Item

OTHER_TRADE = "General"
Groups = list[tuple[str, tuple[Item, ...]]]


def by_place(items: Sequence[Item]) -> Groups:
    """Items of one section together, as on the review page; those without a place at the end."""
    return _grouped(
        sorted(items, key=lambda i: not i.location),
        lambda i: phrasing.sentence_case(phrasing.section_of(i.location)) or phrasing.NOWHERE,
    )


def by_trade(items: Sequence[Item], trades: Mapping[str, str]) -> Groups:
    """Items of one trade together, trades by name, items whose trade is not known at the end."""
    groups = _grouped(items, lambda i: phrasing.sentence_case(trades.get(i.element, "")) or OTHER_TRADE)
    return sorted(groups, key=lambda group: (group[0] == OTHER_TRADE, group[0]))


def _grouped(items: Sequence[Item], heading: Callable[[Item], str]) -> Groups:
    groups: dict[str, list[Item]] = {}
    for item in items:
        groups.setdefault(heading(item), []).append(item)
    return [(name, tuple(members)) for name, members in groups.items()]
