"""Spoken cues are understood, and everyday talk with the same words is not taken for them."""

import pytest

from memo2list.vocabulary.patterns import compile_pattern
from memo2list.vocabulary.spoken import spoken_cues, spoken_rules

NEAR = [(rule.meaning, line) for rule in spoken_rules() for line in rule.near]
SAID = [
    ("This is the job at 14 Alder Lane.", "job", "14 Alder Lane."),
    ("Okay, so walkthrough for the Becker house.", "job", "the Becker house."),
    ("Right, next item.", "next", ""),
    ("Moving into the back bedroom.", "place", "the back bedroom."),
    ("Note to self, bring the long ladder.", "note", "bring the long ladder."),
    ("Take a picture here please.", "picture", ""),
    ("Photo of this.", "picture", ""),
    ("No strike that.", None, ""),
    ("Strike the last one.", "strike", ""),
    ("Scrub that last one.", "strike", ""),
    ("That's the customer's wish.", "wish", ""),
    ("Question for the office, who supplied the tiles?", "office", "who supplied the tiles?"),
    ("Alright, that's the end of the walk.", "end", ""),
    ("Survey finished.", "end", ""),
]


@pytest.mark.parametrize(("line", "meaning", "about"), SAID)
def test_a_cue_is_understood_with_what_it_is_about(said, line, meaning, about):
    talk = said(line)
    found = [(c.meaning, talk.quote(c.about)) for c in spoken_cues(talk.words)]
    assert found == ([(meaning, about)] if meaning else [])


@pytest.mark.parametrize(("meaning", "line"), NEAR)
def test_everyday_talk_with_the_same_words_is_no_cue(said, meaning, line):
    assert spoken_cues(said(line).words) == ()


@pytest.mark.parametrize("rule", spoken_rules(), ids=lambda r: r.meaning)
def test_every_meaning_has_several_phrases_and_near_misses(rule):
    assert len(rule.patterns) >= 3
    assert len(rule.near) >= 4


def test_a_cue_that_stands_alone_counts_only_between_pauses(said):
    assert [c.meaning for c in spoken_cues(said("the gutter leaks.", "next item.", "the gate sticks.").words)] == ["next"]
    assert not spoken_cues(said("the next item leaks").words)


def test_phrases_are_patterns():
    assert compile_pattern("take a (photo|picture)", {}).steps
