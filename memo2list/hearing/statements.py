"""Words said in one go: where a change of speaker is likely and where it is not."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from memo2list.records import Word

PAUSE_MS = 120  # between words: a new statement
LONGEST_MS = 8_000  # of one statement

Border = Literal["sentence", "pause", "within"]


def statements_of(words: Sequence[Word]) -> list[range]:
    """The numbers of the words of each statement: up to a pause, a sentence end or `LONGEST_MS`."""
    starts = [0] if words else []
    for number, (before, after) in enumerate(pairwise(words), 1):
        long = after.span.end_ms - words[starts[-1]].span.start_ms > LONGEST_MS
        if long or border(before, after) != "within":
            starts.append(number)
    return [range(a, b) for a, b in pairwise([*starts, len(words)])]


def border(before: Word, after: Word) -> Border:
    """What lies between two words."""
    if before.text.endswith((".", "?", "!", "…")):
        return "sentence"
    return "pause" if after.span.start_ms - before.span.end_ms > PAUSE_MS else "within"
