"""The pattern language of descriptions."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.vocabulary.patterns import PatternError, compile_pattern, match_at
from memo2list.vocabulary.tokens import tokenise

GROUPS = {"wont": ("won't", "doesn't")}


def matches(pattern: str, sentence: str) -> bool:
    compiled, tokens = compile_pattern(pattern, GROUPS), tokenise(sentence.split())
    return any(match_at(compiled, tokens, at) for at in range(len(tokens.texts)))


@pytest.mark.parametrize(
    ("pattern", "sentence"),
    [
        ("water ~sit", "the water just water sits there"),
        ("(thumb|finger) goes in", "my finger goes in"),
        ("~(push|poke) in", "he poked in the wood"),
        ("[really] wobbly", "it is wobbly"),
        ("comes ..3 off", "it comes right back off"),
        ("$wont latch", "it doesn't latch"),
        ("takes (a while|forever) to drain", "takes a while to drain"),
    ],
)
def test_a_description_finds_its_wording(pattern, sentence):
    assert matches(pattern, sentence)


@pytest.mark.parametrize(
    ("pattern", "sentence"),
    [
        ("comes ..3 off", "it comes and then after a long time off"),
        ("comes ..3 off", "it comes. Off we go"),
        ("$wont latch", "it can latch"),
    ],
)
def test_a_description_does_not_find_more(pattern, sentence):
    assert not matches(pattern, sentence)


@pytest.mark.parametrize("text", ["..3 off", "comes ..3", "[only] [optional]", "$nobody", "(open", "a (b (c) d)"])
def test_a_description_that_cannot_be_read_says_so(text):
    with pytest.raises(PatternError):
        compile_pattern(text, GROUPS)


@given(st.text(alphabet="ab ()[]|~.$3", max_size=16), st.lists(st.sampled_from(["a", "b", "ab"]), max_size=8))
def test_any_text_is_read_or_refused_and_matches_inside_the_words(text, words):
    try:
        compiled = compile_pattern(text, {})
    except PatternError:
        return
    tokens = tokenise(words)
    for at in range(len(tokens.texts)):
        found = match_at(compiled, tokens, at)
        assert found is None or at < found[0] <= len(tokens.texts)
