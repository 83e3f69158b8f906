"""For all rooms: the lexicon, and transcripts from lines of talk ("A: the gutter leaks")."""

from collections.abc import Callable

import pytest
from hypothesis import settings

from memo2list.records import Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan
from memo2list.vocabulary.lexicon import load_lexicon

settings.register_profile("house", deadline=None)  # machines differ; no test depends on timing
settings.load_profile("house")

WORD_MS, PAUSE_MS = 370, 300


@pytest.fixture(scope="session")
def lexicon(tmp_path_factory):
    return load_lexicon(user_folder=tmp_path_factory.mktemp("own"), cache=tmp_path_factory.mktemp("cache"))


@pytest.fixture(scope="session")
def said() -> Callable[..., Transcript]:
    """`said("A: it leaks", "B: where?")`; a line without a speaker is of nobody known."""

    def make(*lines: str) -> Transcript:
        words: list[Word] = []
        turns: list[Turn] = []
        now = 0
        for line in lines:
            speaker, text = line.split(": ", 1) if line[1:3] == ": " else (None, line)
            first, now = len(words), now + PAUSE_MS
            for text_of_word in text.split():
                words.append(Word(text_of_word, TimeSpan(now, now + WORD_MS)))
                now += WORD_MS
            if len(words) > first:
                turns.append(Turn(WordRange(first, len(words)), speaker))
        recording = Recording("walk.vtt", "0" * 64, now, "", "transcript")
        return Transcript(recording, tuple(words), tuple(turns))

    return make
