"""States told by one word that the lexicon has not."""

from memo2list.reading.unlisted import states


def found(text):
    said = text.split()
    return [" ".join(said[first:stop]) for _, first, stop in states(said)]


def test_a_state_after_is_or_looks_is_a_fault_to_weigh():
    assert found("that edge looks really gnarled there") == ["gnarled"]


def test_praise_is_no_fault():
    assert found("the ceiling is fine") == []


def test_a_word_before_a_noun_is_no_state():
    assert found("it's gnarled timber") == []
