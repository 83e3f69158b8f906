"""What people usually say on a walk: how likely a word is after the two before it, and which usual words sound alike.

Counted over the training walkthroughs (tests/walks/training, invented talk) by `python -m tests.benchmarks.fit_site_talk`. Small
speech models know everyday English; what "the ... at the eaves" usually is they do not ("peers" or "piers"). This is asked
only where the sound leaves a choice.
"""

import gzip
import math
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path

from memo2list.hearing.sounds import sound_key

DISCOUNT = 0.75  # absolute discounting (Ney, Essen and Kneser 1994), the usual value
UNSEEN = 60_000  # words that may be said and were not counted share what is left
AVERAGE = 5.3  # natural logarithm of the perplexity on walks that were not counted: what a word costs
START = "<s>"
NOT_SPOKEN = re.compile(r"[^a-z0-9' ]+")
FILE = Path(__file__).with_name("site_talk.tsv.gz")

Gram = tuple[str, ...]


def spoken(text: str) -> list[str]:
    """The words of a text in lower case without punctuation, short forms kept.

    >>> spoken("Okay, the two-by-tens; it's rot!")
    ['okay', 'the', 'two', 'by', 'tens', "it's", 'rot']
    """
    bare = (w.strip("'") for w in NOT_SPOKEN.sub(" ", text.lower().replace("’", "'")).split())
    return [w for w in bare if w]


class SiteTalk:
    """Counts of words, pairs and triples; probabilities by absolute discounting, each order falling back on the one below."""

    def __init__(self, counts: Mapping[Gram, int]):
        """`counts` of one to three words in a row; those of a single word must cover the first words of longer ones."""
        self._counts = dict(counts)
        self._all = sum(c for gram, c in counts.items() if len(gram) == 1)
        self._kept: dict[Gram, float] = defaultdict(float)  # by what came before: the share not left to shorter memory
        for gram, count in counts.items():
            total = self._all if len(gram) == 1 else counts.get(gram[:-1], 0)
            if total:
                self._kept[gram[:-1]] += (count - DISCOUNT) / total
        self._by_sound: dict[str, list[str]] = defaultdict(list)
        for gram in counts:
            if len(gram) == 1 and len(gram[0]) > 1 and gram[0][0].isalpha():
                self._by_sound[_sound(gram[0])].append(gram[0])

    def probability(self, word: str, before: Gram = ()) -> float:
        """Of `word` after the words of `before`, of which the last two count."""
        before = before[-2:]
        total = self._all if not before else self._counts.get(before, 0)
        shorter = self.probability(word, before[1:]) if before else 1 / UNSEEN
        if not total:
            return shorter
        own = max(0.0, self._counts.get((*before, word), 0) - DISCOUNT) / total
        return own + (1 - self._kept.get(before, 0.0)) * shorter

    def log_probability(self, words: Sequence[str]) -> float:
        """Of words in a row, from the start of a statement on; natural logarithm."""
        said = (START, START, *words)
        return sum(math.log(self.probability(said[n], said[n - 2 : n])) for n in range(2, len(said)))

    def gain(self, words: Sequence[str], first: int, stop: int, others: Sequence[str]) -> float:
        """How much likelier the talk is with `others` in place of words `first` to `stop`; natural logarithm, above zero if so.

        A word more or less counts as an average one, so that dropping words is no gain by itself.
        """
        start = max(0, first - 2)
        before, after = words[start:first], words[stop : stop + 2]
        as_heard, changed = (self._tail([*before, *own, *after], len(before)) for own in (words[first:stop], others))
        return changed - as_heard + AVERAGE * (len(others) - (stop - first))

    def _tail(self, words: Sequence[str], start: int) -> float:
        """Log probability of the words from `start` on."""
        said = (START, START, *words)
        return sum(math.log(self.probability(said[n], tuple(said[n - 2 : n]))) for n in range(start + 2, len(said)))

    def alike(self, word: str) -> list[str]:
        """Usual words that sound like this one."""
        return [w for w in self._by_sound.get(_sound(word), ()) if w != word]


def _sound(word: str) -> str:
    return sound_key(word.replace("'", ""))


def as_text(counts: Mapping[Gram, int]) -> str:
    return "".join(f"{' '.join(gram)}\t{count}\n" for gram, count in sorted(counts.items()))


def from_lines(lines: Iterable[str]) -> SiteTalk:
    rows = (line.rstrip("\n").split("\t") for line in lines)
    return SiteTalk({tuple(gram.split(" ")): int(count) for gram, count in rows})


@lru_cache(maxsize=1)
def site_talk() -> SiteTalk:
    """The counts that ship with the package."""
    with gzip.open(FILE, "rt", encoding="utf-8") as file:
        return from_lines(file)
