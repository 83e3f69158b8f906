"""Spoken cues as recognisers write them: pauses without full stops, commas, subjects in the next sentence, no marks at all."""

import pytest

from memo2list.records import Word
from memo2list.timing import TimeSpan
from memo2list.vocabulary.spoken import spoken_cues, spoken_rules

LONG, BREATH, SHORT = 900, 400, 150  # ms of silence


def heard(*stretches, pause=LONG):
    """Words without capitals and marks, with a pause between the stretches."""
    words, now = [], 0
    for stretch in stretches:
        for text in stretch.split():
            words.append(Word(text, TimeSpan(now, now + 250)))
            now += 280
        now += pause
    return words


def meanings(words):
    return [cue.meaning for cue in spoken_cues(words)]


def subjects(words):
    return [" ".join(w.text for w in words[c.about.first : c.about.stop]) for c in spoken_cues(words)]


def test_a_pause_sets_a_cue_apart_where_there_are_no_full_stops():
    assert meanings(heard("the gutter leaks", "next item", "the gate sticks", "strike the last one")) == ["next", "strike"]


def test_a_breath_is_enough_for_a_cue():
    assert meanings(heard("the gutter leaks", "next item", "the gate sticks", pause=BREATH)) == ["next"]


def test_without_a_breath_a_cue_that_stands_alone_is_none():
    assert meanings(heard("the gutter leaks next item the gate sticks")) == []


def test_a_comma_with_a_short_pause_sets_a_cue_apart():
    assert meanings(heard("replace it,", "take a picture here,", "the gate sticks", pause=SHORT)) == ["picture"]


def test_what_a_cue_is_about_may_come_as_the_next_statement():
    assert subjects(heard("note to self", "bring the ladder", "the gutter leaks")) == ["bring the ladder"]
    assert subjects(heard("Question for the office.", "Who made the sash?", "It sticks.")) == ["Who made the sash?"]


def test_what_a_cue_is_about_is_not_taken_from_long_after():
    assert subjects(heard("note to self", "the gutter leaks", pause=4000)) == [""]


def test_another_speakers_words_are_not_what_a_cue_is_about():
    words = heard("note to self", "the gutter leaks")
    assert [len(c.about) for c in spoken_cues(words, [2])] == [0]


def test_what_a_cue_is_about_ends_where_the_next_cue_begins():
    words = heard("note to self bring the ladder", "heading down to the cellar", pause=BREATH)
    assert subjects(words) == ["bring the ladder", "the cellar"]


def test_a_note_without_an_end_takes_only_so_many_words():
    assert len(spoken_cues(heard("note to self " + "bring a very long ladder and " * 20))[0].about) == 30


def test_two_cues_in_one_breath_are_two():
    assert meanings(heard("the gutter leaks", "strike the last one next item", "the gate sticks")) == ["strike", "next"]


@pytest.mark.parametrize(
    ("meaning", "line"),
    [
        ("note", "the tap drips note to self order washers"),
        ("office", "the sash is rotten question for the office who made it"),
        ("picture", "the tap drips take a picture of this it is the hot one"),
        ("next", "the shelf has come off on to the next thing the door sticks"),
        ("strike", "the gate leans strike the last one the fence is fine"),
        ("end", "the door sticks that's the end of the survey did you lock the gate"),
    ],
)
def test_a_phrase_that_everyday_talk_does_not_have_counts_in_the_midst_of_it(meaning, line):
    assert meanings(heard(line)) == [meaning]


@pytest.mark.parametrize("rule", spoken_rules(), ids=lambda r: r.meaning)
def test_everyday_talk_run_together_is_no_cue(rule):
    """All near misses of a meaning in one breath, without marks: nothing may stand for a cue in the midst of it."""
    plain = " ".join(line.lower().translate(str.maketrans("", "", ".,?!")) for line in rule.near)
    assert meanings(heard("the roof is fine and " + plain)) == []


def test_a_cue_grown_into_the_next_word_keeps_that_word():
    assert subjects(heard("reminder to self-order more screws")) == ["self-order more screws"]
