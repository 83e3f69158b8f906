"""Where the items of a recording are spoken of, for all that is looked for around them."""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from memo2list.records import Finding, Mention, WordRange

FAR = 99
REACH = 15  # passages around an item in which other items are its neighbours


@dataclass(frozen=True, slots=True)
class Anchors:
    """The words of an item's claims and elements in order, and the passages its findings are in."""

    words: tuple[WordRange, ...]
    passages: frozenset[int]

    @classmethod
    def of(cls, findings: Sequence[Finding]) -> "Anchors":
        words = {f.words for f in findings} | {f.element.words for f in findings if f.element}
        return cls(tuple(sorted(words)), frozenset(f.passage for f in findings))

    @property
    def first(self) -> int:
        return min(self.passages)

    @property
    def last(self) -> int:
        return max(self.passages)

    def gap(self, words: WordRange) -> int:
        """Words between some words and the nearest anchor."""
        return min(gap_between(a, words) for a in self.words)

    def nearest(self, words: WordRange) -> WordRange:
        return min(self.words, key=lambda a: gap_between(a, words))

    def between(self, words: WordRange) -> bool:
        """True if the item is spoken of within some words."""
        return len(words) > 0 and any(a.overlaps(words) for a in self.words)


def neighbours(anchors: Sequence[Anchors]) -> list[list[Anchors]]:
    """For each item the others spoken of near it."""
    at: dict[int, set[int]] = {}
    for number, own in enumerate(anchors):
        for passage in own.passages:
            at.setdefault(passage, set()).add(number)
    out = []
    for number, own in enumerate(anchors):
        near = {k for p in own.passages for n in range(p - REACH, p + REACH + 1) for k in at.get(n, ())}
        out.append([anchors[k] for k in sorted(near - {number})])
    return out


def gap_between(a: WordRange, b: WordRange) -> int:
    return max(0, a.first - b.stop, b.first - a.stop)


def words_between(a: WordRange, b: WordRange) -> WordRange:
    """The words between two stretches, none if they touch or overlap."""
    first, second = sorted((a, b))
    return WordRange(first.stop, max(first.stop, second.first))


@dataclass(frozen=True, slots=True)
class Things:
    """The elements named in a recording in order, to be looked up by their words."""

    mentions: tuple[Mention, ...]
    starts: tuple[int, ...]

    @classmethod
    def of(cls, mentions: Iterable[Mention]) -> "Things":
        ordered = tuple(sorted((m for m in mentions if m.kind == "element"), key=lambda m: m.words))
        return cls(ordered, tuple(m.words.first for m in ordered))

    def inside(self, words: WordRange) -> tuple[Mention, ...]:
        return self.mentions[bisect_left(self.starts, words.first) : bisect_left(self.starts, words.stop)]

    def after(self, word: int) -> Mention | None:
        """The next one from a word on."""
        at = bisect_left(self.starts, word)
        return self.mentions[at] if at < len(self.mentions) else None

    def before(self, word: int) -> Mention | None:
        """The last one that begins before a word."""
        at = bisect_left(self.starts, word)
        return self.mentions[at - 1] if at else None
