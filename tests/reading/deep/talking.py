"""A small talk for the deep reader's tests, and a model that answers what it is told to."""

from collections.abc import Callable, Sequence

from memo2list.reading.deep.model import RowText
from memo2list.reading.deep.reader import read_deep
from memo2list.records import Reading, Transcript
from memo2list.vocabulary.entries import Matcher


class Stub:
    """An Answerer that gives these rows for the first window, and keeps what it was asked."""

    def __init__(self, *rows: str, sure: float = 0.9):
        self.rows = tuple(RowText(row, sure, sure / 2) for row in rows)
        self.asked: list[str] = []

    def answer(self, prompts: Sequence[str]) -> list[tuple[RowText, ...]]:
        self.asked += prompts
        return [self.rows, *[()] * (len(prompts) - 1)]


def reader_for(transcript: Transcript, lexicon: Matcher) -> Callable[..., Reading]:
    return lambda *rows: read_deep(transcript, lexicon, Stub(*rows))
