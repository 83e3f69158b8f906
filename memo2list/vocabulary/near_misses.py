"""Offers trade words for words that are probably mis-heard: odd words, or ones the recogniser doubted.

Spelling is compared first ("sofit"), then sound ("saw fit"). Only entries whose trade is being talked about are
offered, because sound alone makes too many false corrections; what is offered keeps its likeness as the score.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property, lru_cache

from memo2list.vocabulary.entries import Entry
from memo2list.vocabulary.finding import Hit
from memo2list.vocabulary.sounds import key_likeness, sound_key
from memo2list.vocabulary.tokens import Tokens, split_form

LEAST_SPELLING = 0.86
LEAST_SOUND = 0.84
LEAST_SOUND_DOUBTED = 0.76  # where the recogniser itself was unsure of every word
DOUBTED = 0.5  # a word probability below this counts as doubted
LONGEST = 3  # words of a mis-hearing
SHORTEST = 4  # letters of a word worth comparing


class NearMisses:
    """The listed names of elements and materials, by spelling and by sound; the sounds are made when first asked for."""

    def __init__(self, entries: Sequence[Entry], everyday: Iterable[str], knows: Callable[[str], bool]):
        self._entries = entries
        self._everyday_texts = everyday
        self._knows = knows  # whether a token is a word of the lexicon

    @cached_property
    def _everyday(self) -> frozenset[str]:
        return frozenset(word for text in self._everyday_texts for word in text.split())

    @cached_property
    def _named(self) -> list[tuple[str, int]]:
        """Names and the numbers of their entries."""
        found: list[tuple[str, int]] = []
        for number, entry in enumerate(self._entries):
            if entry.kind in ("element", "material"):
                for form in dict.fromkeys((entry.name, *entry.forms, *entry.us, *entry.uk)):
                    text = " ".join(split_form(form))
                    if len(text) >= SHORTEST and form not in entry.doubtful:
                        found.append((text, number))
        return found

    @cached_property
    def _names(self) -> list[str]:
        return [name for name, _ in self._named]

    @cached_property
    def _keys(self) -> list[str]:
        return [sound_key(name) for name in self._names]

    def odd(self, token: str) -> bool:
        """A word that is neither everyday English nor a word of the lexicon."""
        if len(token) < SHORTEST or not token.isalpha() or token in self._everyday or self._knows(token):
            return False
        return not any(
            token.endswith(end) and token[: -len(end)] in self._everyday for end in ("s", "ed", "ing", "ly", "er", "es")
        )

    def offers(self, tokens: Tokens, probabilities: Sequence[float] | None, taken: set[int]) -> list[Hit]:
        """Trade words for stretches that hold an odd or doubted word and are not taken by an exact form."""
        doubted = self._doubted(tokens, probabilities)
        found: list[Hit] = []
        for at, token in enumerate(tokens.texts):
            if at in taken or not (at in doubted or self.odd(token)):
                continue
            for start in range(max(0, at - LONGEST + 1), at + 1):
                for stop in range(at + 1, min(len(tokens.texts), start + LONGEST) + 1):
                    if not any(n in taken for n in range(start, stop)):
                        found.extend(self._like(tokens, start, stop, all(n in doubted for n in range(start, stop))))
        return _best(found)

    def _doubted(self, tokens: Tokens, probabilities: Sequence[float] | None) -> set[int]:
        if probabilities is None:
            return set()
        return {n for n, word in enumerate(tokens.word) if probabilities[word] < DOUBTED and len(tokens.texts[n]) >= SHORTEST}

    def _like(self, tokens: Tokens, start: int, stop: int, doubted: bool) -> list[Hit]:
        text = " ".join(tokens.texts[start:stop])
        return [Hit(start, stop, number, how, name, (), score) for number, how, name, score in self._near(text, doubted)]

    @lru_cache(maxsize=10_000)  # noqa: B019 - one lexicon lives as long as the process
    def _near(self, text: str, doubted: bool) -> tuple[tuple[int, str, str, float], ...]:
        from rapidfuzz import process
        from rapidfuzz.distance import Levenshtein

        found: list[tuple[int, str, str, float]] = []
        for name, score, at in process.extract(
            text, self._names, scorer=Levenshtein.normalized_similarity, score_cutoff=LEAST_SPELLING, limit=3
        ):
            found.append((self._named[at][1], "fuzzy", name, round(score, 3)))
        key, least = sound_key(text), LEAST_SOUND_DOUBTED if doubted else LEAST_SOUND
        for near, _, at in process.extract(key, self._keys, scorer=Levenshtein.normalized_similarity, score_cutoff=0.6, limit=8):
            score = key_likeness(key, near)
            if score >= least and len(near) >= 3:
                found.append((self._named[at][1], "sound-alike", self._names[at], round(score, 3)))
        return tuple(found)


def _best(hits: list[Hit]) -> list[Hit]:
    """Of offers that overlap, those with the best score; ties go to the longer stretch."""
    kept: list[Hit] = []
    for hit in sorted(hits, key=lambda h: (-h.score, h.start - h.stop)):
        if all(h.stop <= hit.start or hit.stop <= h.start or (h.start, h.stop) == (hit.start, hit.stop) for h in kept):
            kept.append(hit)
    return kept
