"""Usual talk chooses where the sound leaves a choice."""

import math

import pytest

from memo2list.hearing.site_talk import SiteTalk, from_lines, site_talk, spoken
from memo2list.hearing.usual import proposals
from memo2list.records import Word
from memo2list.timing import TimeSpan
from tests.benchmarks.fit_site_talk import counted

LINES = [
    "the fir is soft",
    "the fir is rotten",
    "new fir primed",
    "the slab's dropped",
    "the slab's cracked",
    "two slabs of it",
] * 3


@pytest.fixture(scope="module")
def talk():
    return SiteTalk(counted([line.split() for line in LINES]))


def words(text, probability=0.5):
    return [Word(w, TimeSpan(n * 400, n * 400 + 300), probability) for n, w in enumerate(text.split())]


def test_probabilities_of_all_that_may_follow_add_up_to_one(talk):
    vocabulary = {w for line in LINES for w in line.split()} | {"<s>"}
    for before in ((), ("the",), ("<s>", "the"), ("fir", "is"), ("never", "said")):
        known = sum(talk.probability(w, before) for w in vocabulary)
        unseen = talk.probability("unheard", before) * (60_000 - len(vocabulary))
        assert known + unseen == pytest.approx(1.0, abs=1e-9)


def test_what_was_said_often_is_likelier(talk):
    assert talk.log_probability(["the", "fir", "is"]) > talk.log_probability(["the", "fur", "is"])
    assert talk.gain(["the", "fur", "is"], 1, 2, ["fir"]) == pytest.approx(
        talk.log_probability(["the", "fir", "is"]) - talk.log_probability(["the", "fur", "is"])
    )


def test_leaving_out_a_word_is_no_gain_by_itself():
    talk, said = site_talk(), spoken("so the old gutter is leaking")
    left_out = talk.log_probability(["so", "the", "gutter", "is", "leaking"]) - talk.log_probability(said)
    assert left_out > 4
    assert abs(talk.gain(said, 2, 3, [])) < 4


@pytest.mark.parametrize(("said", "other"), [("the fur is soft", "fir"), ("the slabs dropped", "slab's")])
def test_a_usual_word_of_the_same_sound_is_proposed(talk, said, other):
    ((at, near),) = proposals(words(said), talk)
    assert (at, near.term.text, near.is_term) == (1, other, False)
    assert near.usual > 0


def test_a_word_heard_surely_is_not_questioned(talk):
    assert proposals(words("the fur is soft", 0.9999), talk) == []


def test_a_word_as_usual_as_any_other_is_not_questioned(talk):
    assert proposals(words("two slabs of it"), talk) == []


def test_the_counts_that_ship_are_those_of_the_training_walks():
    """They know site talk, and say as much as the file they were read from."""
    talk = site_talk()
    assert talk.gain(spoken("new fur primed on all edges"), 1, 2, ["fir"]) > 1
    assert math.exp(-talk.log_probability(spoken("the gutter is leaking at the corner")) / 7) < 200


def test_counts_are_read_as_they_are_written():
    assert from_lines(["the\t4\n", "the fir\t3\n"]).probability("fir", ("the",)) > 0.5
