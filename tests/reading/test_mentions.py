"""Mentions: the longest wins, things are told from deeds, missing parts are problems."""

import pytest

from memo2list.reading.mentions import find_mentions
from memo2list.records import WordRange


@pytest.fixture
def found(said, lexicon):
    def find(sentence, *kinds):
        transcript = said(f"A: {sentence}")
        known = find_mentions(transcript, WordRange(0, len(transcript.words)), lexicon)
        return [(k.kind, k.name) for k in known if k.kind in (kinds or ("element", "problem", "action"))]

    return find


def test_the_longest_element_wins(found):
    assert found("the porch ceiling sags", "element") == [("element", "porch ceiling")]


def test_a_word_after_an_article_is_a_thing(found):
    assert ("action", "paint") not in found("the paint came off in sheets")


def test_a_word_before_an_object_is_a_deed(found):
    assert ("action", "paint") in found("we'll paint the shed")


def test_a_missing_part_is_work_although_it_is_said_with_no(found):
    assert ("problem", "missing") in found("there is no handrail down here", "problem")


def test_a_new_part_is_a_replacement(found):
    assert ("action", "replace") in found("so a new threshold for the shed", "action")


def test_a_denied_verb_is_a_fault_although_no_entry_names_it(found):
    assert [name for kind, name in found("the hopper doesn't swivel", "problem")] == ["doesn't swivel"]


def test_what_the_speaker_does_not_do_is_no_fault(found):
    assert found("I don't swivel", "problem") == []


def test_a_noun_outside_the_lexicon_is_told_by_its_setting(found):
    assert ("element", "zoetrope bracket") in found("the zoetrope bracket is bent", "element")


def test_a_new_thing_without_a_name_in_the_lexicon_is_a_replacement(said, lexicon):
    talk = said("A: New grommets on this one.")
    known = find_mentions(talk, WordRange(0, len(talk.words)), lexicon)
    assert [(k.name, k.mention.said) for k in known if k.kind == "action"] == [("replace", "new grommets")]


def test_a_new_lot_of_something_is_a_replacement(said, lexicon):
    talk = said("A: New pair of grommets here.")
    known = find_mentions(talk, WordRange(0, len(talk.words)), lexicon)
    assert ("replace", "new pair of grommets") in [(k.name, k.mention.said) for k in known]


def test_new_at_the_end_of_a_clause_replaces_nothing(said, lexicon):
    talk = said("A: The siding is new, Martha said.")
    assert not [k for k in find_mentions(talk, WordRange(0, len(talk.words)), lexicon) if k.kind == "action"]
