"""Places stay in force until the next one is named."""

import pytest

from memo2list.reading.reader import look_over


@pytest.fixture
def in_force(said, lexicon):
    return lambda *lines: [notes.after.name for notes in look_over(said(*lines), lexicon).places]


def test_a_place_stays_in_force(in_force):
    assert in_force("A: Okay, in the kitchen.", "A: The tap drips.")[-1] == "kitchen"


def test_the_next_room_ends_the_first(in_force):
    assert in_force("A: Okay, in the kitchen.", "A: Right, into the dining room.")[-1] == "dining room"


def test_a_place_inside_an_element_is_not_entered(in_force):
    assert in_force("A: The kitchen tap drips.") == [""]


def test_an_announced_element_is_a_place(in_force):
    assert "steps" in in_force("A: Okay, front steps.")[-1]


def test_part_of_a_hyphened_word_is_no_place(in_force):
    assert in_force("A: It's all back-pitched.") == [""]
