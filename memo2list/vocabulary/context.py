"""Decides whether doubtful forms, known mis-hearings and near misses count, from the words round them.

A doubtful form ("light") and a mis-hearing ("saw fit") count where one of the entry's `near` words stands within reach,
or a sure mention of an element or problem of the same pack. An entry with doubtful forms that names no `near` words
is content with a sure mention of any pack.
"""

from collections.abc import Sequence

from memo2list.vocabulary.compiled import DOUBTFUL, SOUND
from memo2list.vocabulary.entries import Entry
from memo2list.vocabulary.finding import Hit
from memo2list.vocabulary.inflect import any_forms
from memo2list.vocabulary.tokens import Tokens, split_form

REACH = 12  # tokens to either side
UNSURE = (DOUBTFUL, SOUND, "fuzzy")


class Context:
    """What the entries ask to stand near their doubtful forms."""

    def __init__(self, entries: Sequence[Entry]):
        self._entries = entries
        self._near: dict[int, frozenset[str]] = {}

    def near_words(self, number: int) -> frozenset[str]:
        if number not in self._near:
            tokens = {t for form in self._entries[number].near for t in split_form(form)}
            self._near[number] = frozenset(f for t in tokens for f in any_forms(t))
        return self._near[number]

    def accepted(self, hits: list[Hit], tokens: Tokens) -> list[Hit]:
        """The hits that count: plain ones always, the others where the words round them fit."""
        if all(h.how not in UNSURE for h in hits):
            return list(hits)
        return [h for h in hits if h.how not in UNSURE or self._fits(h, hits, tokens)]

    def _fits(self, hit: Hit, hits: list[Hit], tokens: Tokens) -> bool:
        if hit.how == DOUBTFUL:
            if self.near_words(hit.number):
                return self.supports(hit, hits, tokens)
            return any(self._sure_beside(h, hit) for h in hits)
        length = hit.stop - hit.start
        covered = any(self._is_sure(h) and h.start < hit.stop and hit.start < h.stop and h.stop - h.start >= length for h in hits)
        return not covered and self.supports(hit, hits, tokens)

    def supports(self, hit: Hit, hits: list[Hit], tokens: Tokens) -> bool:
        """Whether the talk round a mis-hearing is about its entry's trade."""
        if self._near_by(self.near_words(hit.number), hit, tokens):
            return True
        pack = self._entries[hit.number].pack
        return any(self._entries[h.number].pack == pack and self._sure_beside(h, hit) for h in hits)

    @staticmethod
    def _near_by(near: frozenset[str], hit: Hit, tokens: Tokens) -> bool:
        low, high = max(0, hit.start - REACH), hit.stop + REACH
        return not near.isdisjoint(tokens.texts[low : hit.start]) or not near.isdisjoint(tokens.texts[hit.stop : high])

    def _is_sure(self, hit: Hit) -> bool:
        return hit.how not in UNSURE and self._entries[hit.number].kind in ("element", "problem")

    def _sure_beside(self, other: Hit, hit: Hit) -> bool:
        apart = other.stop <= hit.start or hit.stop <= other.start
        close = other.start < hit.stop + REACH and hit.start < other.stop + REACH
        return apart and close and self._is_sure(other)
