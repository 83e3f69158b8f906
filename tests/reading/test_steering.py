"""What the speaker says to the list is never read as talk about the house, and steers how the talk is read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.reading import read
from memo2list.reading.deep.lines import lines
from memo2list.reading.passages import split
from memo2list.reading.scene import look
from memo2list.reading.steering import Steering, steer, told_apart, told_places
from memo2list.records import Assertion, Finding, Mention, Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan
from memo2list.vocabulary.spoken import cues_in

ALL_CUES = (
    "this is the job at Alder Lane", "next item", "we're now in the kitchen", "note to self bring the gate key",
    "take a picture here", "strike the last one", "that's the customer's wish", "question for the office who painted the ceiling",
    "that's the end of the walk",
)  # fmt: skip


def heard(*stretches):
    """As heard from sound: one turn, no full stops, a pause between the stretches."""
    words, now = [], 0
    for stretch in stretches:
        for text in stretch.split():
            words.append(Word(text, TimeSpan(now, now + 250)))
            now += 280
        now += 800
    return Transcript(Recording("walk.wav", "0" * 64, now, "test"), tuple(words), (Turn(WordRange(0, len(words))),))


def places(lexicon, *stretches):
    """Places of what is said in the last stretch."""
    talk = heard(*stretches)
    last = len(talk.words) - len(stretches[-1].split())
    found = [f for f in read(talk, lexicon).findings if f.assertion.listed and f.words.first >= last]
    return [f.place.name if f.place else None for f in found]


@pytest.mark.parametrize(
    "cue",
    [
        "note to self the hinge is loose",
        "take a picture here",
        "strike the last one",
        "question for the office who painted the ceiling",
    ],
)
def test_words_that_would_be_read_as_talk_are_not_when_they_are_said_to_the_list(lexicon, cue):
    """Each of them, read as talk, makes a finding of its own or takes the gutter back."""
    found = read(heard("the gutter leaks", cue, "the fence post leans"), lexicon).findings
    told = [(f.element.entry, [m.entry for m in (*f.problems, *f.actions)], f.assertion.status) for f in found if f.element]
    assert told == [("gutter", ["leak"], "stated"), ("fence post", ["leaning"], "stated")]


@pytest.mark.parametrize("cue", ALL_CUES)
def test_a_reader_hears_nothing_of_a_cue_but_the_job_or_place_it_names(cue):
    left = {"this is the job at Alder Lane": "Alder Lane", "we're now in the kitchen": "the kitchen"}.get(cue, "")
    said = steer(heard("the gutter leaks", cue, "the fence post leans")).heard.words
    assert " ".join(w.text for w in said if w.text) == " ".join(f"the gutter leaks. . {left} the fence post leans".split())


def test_a_reading_keeps_the_words_as_they_were_said(lexicon):
    talk = heard("the gutter leaks", "next item", "the gate sticks")
    assert read(talk, lexicon).transcript is talk


def test_talk_without_cues_is_read_as_it_is():
    talk = heard("the gutter leaks", "the gate sticks")
    assert steer(talk).heard is talk


@given(st.lists(st.sampled_from([*ALL_CUES, "the gutter leaks", "the gate sticks", "it is cracked"]), min_size=1, max_size=8))
def test_blanking_keeps_the_number_and_times_of_the_words(stretches):
    talk = heard(*stretches)
    masked = steer(talk).heard
    assert [w.span for w in masked.words] == [w.span for w in talk.words]
    blank = {n for cue in cues_in(talk) for n in cue.words}
    assert [n for n, w in enumerate(masked.words) if n in blank and w.text.strip(".")] == []
    named = {n for cue in cues_in(talk) for n in cue.about}
    kept = [n for n in range(len(talk.words)) if n not in blank | named]
    assert [masked.words[n].text.rstrip(".") for n in kept] == [talk.words[n].text for n in kept]


def test_it_does_not_reach_back_over_next_item(lexicon):
    """ "The gutter leaks. Next item. It's cracked.": whatever is cracked, it is not the gutter."""
    found = read(heard("the gutter leaks", "next item", "it's cracked"), lexicon).findings
    assert [m.entry for f in found if f.element for m in f.problems] == ["leak"]


@pytest.mark.parametrize(
    ("announced", "place"),
    [
        ("moving into the back bedroom", "back bedroom"),
        ("we're now in the scullery", "scullery"),
        ("new room pantry", "pantry"),
        ("heading over to the boat house", "boat house"),
        ("change of place the side porch", "side porch"),
    ],
)
def test_a_change_of_place_holds_for_what_follows(lexicon, announced, place):
    assert places(lexicon, "we're now in the kitchen", announced, "the faucet is dripping") == [place]


def test_a_place_and_a_fault_in_one_breath(lexicon):
    assert places(lexicon, "next room is the utility room the sink is cracked") == ["utility room"]


def test_a_thing_that_is_gone_to_is_in_the_room(lexicon):
    assert places(lexicon, "we're now in the kitchen", "moving over to the sink", "the faucet is dripping") == ["sink, kitchen"]


def test_another_place_named_in_the_same_breath_is_not_lost(lexicon):
    assert places(lexicon, "moving into the kitchen by the hallway the sink is cracked") == ["hallway, kitchen"]


def test_a_finding_whose_words_lie_on_both_sides_of_next_item_is_flagged():
    gutter, leak = Mention("element", "gutter", WordRange(1, 2)), Mention("problem", "leak", WordRange(5, 6))
    finding = Finding(0, WordRange(1, 6), gutter, (leak,), (), Assertion("stated"))
    steering = Steering(heard("the gutter", "next item", "it leaks"), nexts=(4,))
    assert [f.code for f in told_apart(finding, steering).flags] == ["next-between"]
    assert told_apart(finding, Steering(steering.heard, nexts=(6,))).flags == ()


@pytest.mark.parametrize(
    "line",
    ["we're now in trouble", "we're now at the point of no return", "new room needs paint", "heading over to lunch"],
)
def test_what_is_no_place_does_not_come_into_force(lexicon, line):
    assert places(lexicon, line, "the beam is rotten") == [None]


def test_places_of_a_long_walk_are_found_without_looking_through_all_of_it(lexicon):
    """A day's talk with a hundred changes of place: some steps for each, not one for every passage before it."""
    talk = heard(*("the gutter leaks", "moving into the back bedroom", "the sink is cracked") * 100)
    steering = steer(talk)
    stages = Counted(look(steering.heard, passage, lexicon) for passage in split(steering.heard))
    told = told_places(stages, steering.places)
    assert len(told) == 100
    assert 0 < stages.looked_at < 100 * 12  # bisecting 200 to 300 passages takes 8 or 9 looks


class Counted(tuple):
    """Counts how often one of its members is looked at."""

    looked_at = 0

    def __getitem__(self, number):
        self.looked_at += 1
        return super().__getitem__(number)

    def __iter__(self):
        for one in super().__iter__():
            self.looked_at += 1
            yield one


def test_the_deep_reader_is_not_shown_what_was_said_to_the_list():
    shown = " ".join(line.text for line in lines(steer(heard("the gutter leaks", "note to self buy a gate", "it is old")).heard))
    assert shown == "the gutter leaks. it is old"
