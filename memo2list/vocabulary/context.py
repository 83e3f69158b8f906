"""Decides whether doubtful forms and sound-alikes count, from the words round them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from memo2list.vocabulary.compiled import DOUBTFUL, SOUND
from memo2list.vocabulary.entries import Entry
from memo2list.vocabulary.inflect import any_forms
from memo2list.vocabulary.tokens import Tokens, split_form

if TYPE_CHECKING:
    from memo2list.vocabulary.finding import Hit

REACH = 12  # words to either side in which a near word counts


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

    def accepted(self, hits: list[Hit], tokens: Tokens, probabilities: Sequence[float] | None) -> list[Hit]:
        """The hits that count: plain ones always, the others where the words round them fit."""
        if all(h.how not in (DOUBTFUL, SOUND) for h in hits):
            return hits
        sure = [h for h in hits if h.how not in (DOUBTFUL, SOUND) and self._entries[h.number].kind in ("element", "problem")]
        return [h for h in hits if h.how not in (DOUBTFUL, SOUND) or self._fits(h, sure, tokens)]

    def _fits(self, hit: Hit, sure: list[Hit], tokens: Tokens) -> bool:
        low, high = max(0, hit.start - REACH), hit.stop + REACH
        near = self.near_words(hit.number)
        around = (*tokens.texts[low : hit.start], *tokens.texts[hit.stop : high])
        if near and any(t in near for t in around):
            return True
        if near and hit.how == DOUBTFUL:
            return False
        outside = (h for h in sure if h.stop <= hit.start or h.start >= hit.stop)
        covered = any(h.start < hit.stop and hit.start < h.stop for h in sure)
        return not covered and any(h.start < high and h.stop > low for h in outside)
