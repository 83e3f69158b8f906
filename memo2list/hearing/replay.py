"""A recogniser that says what a saved transcript says: fast, and the same every time. For tests and for trying changes."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from memo2list.hearing.recogniser import Heard, Stretch
from memo2list.records import Word


class ReplayRecogniser:
    """Gives each stretch the saved words whose middle lies in it.

    `likely` says how probable the sound makes a word (log probability), for the second hearing; 0 for all by default.
    """

    workers = 1
    batch = 1
    spelling = ""

    def __init__(
        self, words: Sequence[Word], likely: Callable[[str], float] = lambda word: 0.0, common: frozenset[str] = frozenset()
    ):
        self.name = "replay"
        self._words, self._likely, self._common = tuple(words), likely, common

    def hear(self, stretches: Sequence[Stretch]) -> list[Heard]:
        return [Heard(s, tuple(w for w in self._words if _within(w, s))) for s in stretches]

    def hear_slowly(self, heard: Heard) -> Heard:
        return heard

    def hear_again(self, heard: Heard, hotwords: Sequence[str]) -> Heard:
        return replace(heard)

    def likelihoods(self, heard: Heard, readings: Sequence[Sequence[str]], hotwords: Sequence[str] = ()) -> list[list[float]]:
        return [[self._likely(w.strip(".,?!").lower()) for w in words] for words in readings]

    def is_common(self, word: str) -> bool:
        return word.lower() in self._common


def _within(word: Word, stretch: Stretch) -> bool:
    return stretch.span.start_ms <= (word.span.start_ms + word.span.end_ms) // 2 < stretch.span.end_ms
