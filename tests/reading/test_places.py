"""Places stay in force until the next one is named."""

import pytest

from memo2list.reading.reader import look_over, read


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


@pytest.fixture
def place_of_claim(said, lexicon):
    """The place of the first finding about a problem."""

    def place(problem, *lines):
        found = read(said(*lines), lexicon).findings
        return next((f.place.name if f.place else "" for f in found if any(m.entry == problem for m in f.problems)), None)

    return place


def test_a_place_in_an_elements_name_says_where_it_is(place_of_claim):
    assert "garage" in place_of_claim("rot", "A: The garage door frame is rotten.")


def test_an_element_led_by_a_preposition_says_where_another_is(place_of_claim):
    assert "boiler" in place_of_claim("cracked", "A: The wall is cracked beside the boiler.")


def test_a_toilet_stands_in_a_bathroom_where_no_room_is_named(place_of_claim):
    assert place_of_claim("cracked", "A: The toilet is cracked.") == "bathroom"


def test_a_room_in_force_comes_before_the_usual_one(place_of_claim):
    assert "bathroom" not in place_of_claim("cracked", "A: Okay, in the laundry room.", "A: The toilet is cracked.")


def test_units_without_a_number_do_not_end_the_room(in_force):
    assert "kitchen" in in_force("A: Okay, in the kitchen.", "A: The units in here want new doors.")[-1]
