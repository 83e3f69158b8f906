"""What is said to the list happens to it."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from memo2list.listing import list_items
from memo2list.listing.told import as_told
from memo2list.pipeline import list_transcripts
from memo2list.reading import read
from memo2list.vocabulary.spoken import spoken_rules
from tests.reading.test_steering import heard

GUTTER, GATE, SASH = "the gutter is leaking", "the fence post is leaning", "the window sash is rotten replace it"


@pytest.fixture
def listed(lexicon):
    return lambda *stretches: list_transcripts([heard(*stretches)], lexicon, "quick")


def elements(found):
    return [i.element for i in found.items]


def asides(found, why):
    return [s.quotes[0].text for s in found.set_aside if s.why == why]


def test_the_last_one_is_taken_back_and_the_one_before_stays(listed):
    found = listed(SASH, "next item", GUTTER, "strike the last one")
    assert elements(found) == ["sash"]
    assert [(s.element, s.because) for s in found.set_aside if s.why == "taken back"] == [("gutter", "strike the last one")]


def test_what_follows_is_not_part_of_what_was_taken_back(listed):
    assert elements(listed(SASH, "strike the last one", "the window sash is cracked")) == ["sash"]


def test_taking_back_reaches_no_further_than_next_item(listed):
    """What was said last is not on the list, so nothing is taken back, and the list says so."""
    found = listed(SASH, "next item", "what a lovely morning this is", "strike the last one")
    assert elements(found) == ["sash"]
    assert [f.code for f in found.flags] == ["strike-unclear"]


def test_taking_back_with_nothing_since_next_item_means_the_one_before(listed):
    assert elements(listed(SASH, "next item", "strike the last one")) == []


def test_a_question_can_be_taken_back_too(listed):
    found = listed(SASH, "question for the office who made it", "strike the last one")
    assert (elements(found), found.questions) == (["sash"], ())


def test_a_note_to_self_is_put_aside_with_its_words(listed):
    found = listed(SASH, "note to self the gutter brackets are in the van", GUTTER)
    assert elements(found) == ["sash", "gutter"]
    assert asides(found, "note to self") == ["note to self the gutter brackets are in the van"]


def test_a_question_for_the_office_is_open_on_the_list(listed):
    found = listed(SASH, "question for the office who made the sash", GUTTER)
    assert [q.text for q in found.questions] == ["Who made the sash"]
    assert elements(found) == ["sash", "gutter"]


def test_what_the_office_is_to_ask_keeps_its_verb(listed):
    assert [q.text for q in listed("ask the office what we charged").questions] == ["What we charged"]
    assert [q.text for q in listed("leave that for the office to call them").questions] == [
        "Leave that for the office to call them"
    ]


def test_a_question_that_was_not_heard_is_told(listed):
    assert [f.code for f in listed(SASH, "question for the office").flags] == ["question-missing"]


def test_a_picture_is_wanted_of_the_item_being_talked_about(listed):
    found = listed(SASH, "take a picture here", "next item", GUTTER)
    assert [len(i.wanted_pictures) for i in found.items] == [1, 0]
    assert found.items[0].wanted_pictures[0].at_ms > found.items[0].quotes[0].span.end_ms


def test_a_picture_of_nothing_listed_is_told(listed):
    assert [f.code for f in listed("take a picture here").flags] == ["picture-wanted"]


def test_the_customers_wish_is_noted_at_the_last_item(listed):
    found = listed(GUTTER, "next item", SASH, "that's the customer's wish")
    assert [[f.code for f in i.flags if f.code == "customers-wish"] for i in found.items] == [[], ["customers-wish"]]


def test_a_wish_with_words_of_its_own_is_about_those(listed):
    found = listed(GUTTER, "that's her wish to paint the porch floor grey")
    assert [(i.element, any(f.code == "customers-wish" for f in i.flags)) for i in found.items] == [
        ("gutter", False),
        ("porch floor", True),
    ]


def test_a_wish_reaches_no_further_than_next_item(listed):
    found = listed(SASH, "next item", "what a lovely morning this is", "that's the customer's wish")
    assert [f.code for i in found.items for f in i.flags if f.code == "customers-wish"] == []
    assert [f.code for f in found.flags] == ["wish-unclear"]


def test_nothing_after_the_end_of_the_walk_is_listed_and_nothing_is_lost(listed):
    found = listed(SASH, "that's the end of the walk", GUTTER)
    assert elements(found) == ["sash"]
    assert asides(found, "after the end") == [GUTTER]
    assert [f.code for f in found.flags] == ["after-the-end"]


def test_a_second_job_in_one_recording_opens_the_list_again(listed):
    found = listed(SASH, "that's the end of the walk", "this is the job at Alder Lane", GUTTER)
    assert elements(found) == ["sash", "gutter"]


def test_items_are_numbered_without_gaps(listed):
    found = listed(SASH, "next item", GUTTER, "strike the last one", "next item", GATE)
    assert [i.number for i in found.items] == [1, 2]


NEAR = [(rule.meaning, line) for rule in spoken_rules() for line in rule.near]


@pytest.mark.parametrize(("meaning", "line"), NEAR)
def test_everyday_talk_with_the_same_words_changes_nothing(listed, monkeypatch, meaning, line):
    """As heard, without full stops; the list is the one that reading without any cues gives."""
    stretches = (GUTTER, line.lower().strip(".?!"), GATE)
    found = listed(*stretches)
    monkeypatch.setattr("memo2list.reading.steering.cues_in", lambda talk: ())
    monkeypatch.setattr("memo2list.listing.told.cues_in", lambda talk: ())
    assert found == listed(*stretches)
    assert found.items


SAID = (
    GUTTER, GATE, SASH, "next item", "strike the last one", "that's the customer's wish", "note to self buy paint",
    "question for the office who made it", "take a picture here", "that's the end of the walk", "this is the job at Alder Lane",
)  # fmt: skip


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(SAID), min_size=1, max_size=10))
def test_whatever_is_said_to_the_list_nothing_read_is_lost(lexicon, stretches):
    """Every item that was read is on the list or set aside with a reason, with the words it rests on."""
    talk = heard(*stretches)
    before = list_items([read(talk, lexicon)], lexicon)
    after = as_told(before, [talk])
    rest = {(s.element, s.quotes) for s in after.set_aside} | {(i.element, i.quotes) for i in after.items}
    assert {(i.element, i.quotes) for i in before.items} <= rest
    assert {(s.element, s.quotes) for s in before.set_aside} <= rest
    assert [i.number for i in after.items] == list(range(1, len(after.items) + 1))
    assert len({i.key for i in after.items}) == len(after.items)
