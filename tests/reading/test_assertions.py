"""Cues reach a mention only in their direction, near enough, and in the same statement."""

import pytest

from memo2list.reading.assertions import PlacedCue, cues_on, decide
from memo2list.records import Cue, WordRange
from memo2list.vocabulary.entries import CuePhrase


def placed(category, first, direction="forward", reach=5):
    words = WordRange(first, first + 1)
    return PlacedCue(Cue(category, category, words), CuePhrase(category, category, direction, reach))


@pytest.fixture
def ten(said):
    return said("A: one two three four five six seven eight nine ten")


def test_a_forward_cue_reaches_what_follows(ten):
    assert cues_on(ten, [placed("negation", 1)], WordRange(4, 5))


def test_a_forward_cue_does_not_reach_back(ten):
    assert not cues_on(ten, [placed("negation", 5)], WordRange(2, 3))


def test_a_backward_cue_reaches_what_came_before(ten):
    assert cues_on(ten, [placed("done", 5, "backward")], WordRange(2, 3))


def test_a_cue_reaches_no_further_than_its_reach(ten):
    assert not cues_on(ten, [placed("negation", 0, reach=3)], WordRange(8, 9))


def test_but_stops_a_cue(said):
    talk = said("A: no rot but cracks")
    assert not cues_on(talk, [placed("negation", 0)], WordRange(3, 4))


def test_a_sentence_end_stops_a_cue(said):
    talk = said("A: no rot. cracks though")
    assert not cues_on(talk, [placed("negation", 0)], WordRange(2, 3))


def test_the_strongest_reason_decides():
    assert decide([placed("hedge", 0), placed("taken-back", 3)]).status == "taken back"


def test_a_status_names_its_cue():
    assert decide([placed("negation", 2)]).because[0].words == WordRange(2, 3)
