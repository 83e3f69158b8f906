"""Every place a talk names, also elements that may stand for one. Sentences here are in no walkthrough."""

import pytest

from memo2list.reading.reader import read


@pytest.fixture
def places(said, lexicon):
    return lambda *lines: {p.said: p for p in read(said(*lines), lexicon).places}


def test_a_room_that_is_entered_is_a_place(places):
    found = places("A: Okay, in the laundry room.", "A: The tap drips.")
    assert found["laundry room"].enters
    assert found["laundry room"].indoors


def test_an_element_led_by_a_preposition_may_be_a_place(places):
    assert places("A: There's a crack in the ceiling next to the skylight.")["skylight"].level >= 5


def test_an_element_that_opens_a_statement_may_be_a_place(places):
    assert "chimney" in places("A: Chimney, the flashing has lifted and it wants new lead all the way round it.")


def test_an_element_in_the_middle_of_a_statement_is_no_place(places):
    assert "gutter" not in places("A: I would clean that whole long gutter twice a year.")


def test_each_place_tells_what_leads_to_it(places):
    assert "led beside" in places("A: The wall is cracked beside the boiler.")["boiler"].facts


def test_places_come_in_the_order_of_their_words(said, lexicon):
    found = read(said("A: Okay, garage.", "A: The door sticks.", "A: Right, into the kitchen, by the sink."), lexicon).places
    assert [p.words.first for p in found] == sorted(p.words.first for p in found)
