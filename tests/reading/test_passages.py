"""Passages cover every word once and end where a statement ends."""

from hypothesis import given
from hypothesis import strategies as st

from memo2list.reading.passages import LONGEST, split
from memo2list.records import Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan


def quotes(transcript):
    return [transcript.quote(p.words) for p in split(transcript)]


def test_a_sentence_is_a_passage(said):
    assert quotes(said("A: The gutter leaks. Replace it.")) == ["The gutter leaks.", "Replace it."]


def test_a_turn_ends_a_passage_without_punctuation(said):
    assert quotes(said("A: the gutter leaks", "B: does it")) == ["the gutter leaks", "does it"]


def test_an_ellipsis_goes_on_in_lower_case(said):
    assert quotes(said("A: the stringer on the left... no, on the right")) == ["the stringer on the left... no, on the right"]


def test_a_pause_ends_a_passage_without_punctuation():
    words = (Word("leaks", TimeSpan(0, 300)), Word("now", TimeSpan(1200, 1500)))
    transcript = Transcript(Recording("a", "0", 1500, ""), words, (Turn(WordRange(0, 2)),))
    assert [len(p.words) for p in split(transcript)] == [1, 1]


def test_a_long_stretch_without_punctuation_is_cut(said):
    talk = "the board is split and " * 40
    assert max(len(p.words) for p in split(said(f"A: {talk}"))) <= LONGEST


@given(st.lists(st.text("abc.,?! ", min_size=1, max_size=60).filter(str.split), max_size=6))
def test_passages_cover_every_word_once(said, turns):
    transcript = said(*(f"A: {t}" for t in turns))
    numbers = [n for p in split(transcript) for n in p.words]
    assert numbers == list(range(len(transcript.words)))
