"""What the speaker says to the list is never read as talk about the house, and steers how the talk is read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.reading import read
from memo2list.reading.deep.lines import lines
from memo2list.reading.passages import split
from memo2list.reading.scene import look
from memo2list.reading.steering import steer, told_places
from memo2list.records import Recording, Transcript, Turn, Word, WordRange
from memo2list.timing import TimeSpan

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


@pytest.mark.parametrize("cue", ALL_CUES)
def test_words_of_a_cue_are_no_element_problem_or_action(lexicon, cue):
    talk = heard("the gutter leaks", cue, "the fence post leans")
    inside = {n for n, w in enumerate(talk.words) if n >= 3 and n < 3 + len(cue.split())}
    claims = [m.words for f in read(talk, lexicon).findings for m in (f.element, *f.problems, *f.actions) if m]
    assert claims
    assert not [w for w in claims if set(w) & inside and cue.split()[-1] not in ("Lane", "kitchen")]


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
    assert masked.turns == talk.turns


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


@pytest.mark.parametrize("line", ["we're now in trouble", "we're now at the point of no return", "new room needs paint"])
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
