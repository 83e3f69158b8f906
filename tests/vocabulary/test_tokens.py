"""Words as the vocabulary sees them."""

from hypothesis import given
from hypothesis import strategies as st

from memo2list.vocabulary.tokens import split_word, tokenise


def test_a_possessive_s_is_taken_off():
    assert split_word("fascia's") == ("fascia",)


def test_the_s_of_it_is_stays():
    assert split_word("It's") == ("it's",)


def test_a_contraction_without_apostrophe_is_mended():
    assert split_word("doesnt") == ("doesn't",)


def test_a_hyphened_word_gives_tokens_of_one_word():
    tokens = tokenise(["that", "touch-up", "now"])
    assert tokens.texts == ("that", "touch", "up", "now")
    assert tokens.word == (0, 1, 1, 2)


@given(st.lists(st.text(max_size=12), max_size=12))
def test_every_token_knows_its_word(words):
    tokens = tokenise(words)
    assert len(tokens.texts) == len(tokens.word) == len(tokens.breaks)
    assert list(tokens.word) == sorted(tokens.word)
    assert all(0 <= n < len(words) for n in tokens.word)
