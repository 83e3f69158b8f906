"""Every measure a talk may tell, numbers without a unit too. Sentences here are in no walkthrough."""

import pytest

from memo2list.reading.reader import read


@pytest.fixture
def told(said, lexicon):
    """The values and units that may be meant, by how they are told."""

    def measures(*lines):
        found = read(said(*lines), lexicon).measures
        return {(m.quantity.value, m.quantity.unit, m.how) for m in found}

    return measures


def test_a_measure_with_its_unit_is_said(told):
    assert (11, "ft", "said") in told("A: The gutter leaks, eleven feet of it.")


def test_a_bare_number_in_an_answer_may_have_the_unit_asked_about(told):
    found = told("A: How many square feet is that?", "B: Two hundred and ten.")
    assert (210, "sq ft", "inherited") in found


def test_a_bare_number_may_have_the_unit_said_just_before(told):
    assert (19, "ft", "inherited") in told("A: The fascia is rotten, about seventeen feet.", "B: Nineteen.")


def test_a_bare_height_may_be_inches(told):
    assert (34, "in", "guessed") in told("A: A new guard, thirty-four high.")


def test_a_number_that_counts_something_is_no_length(told):
    assert {unit for _, unit, _ in told("A: Three brackets are loose.")} == {"ea"}


def test_one_counts_a_thing_but_not_when_it_points(told):
    assert (1, "ea", "one") in told("A: One bracket, screw it back.")
    assert not told("A: This one is loose.")


def test_numbers_next_to_each_other_may_be_hundreds(told):
    assert (350, "mm", "hundreds") in told("A: The pane is cracked, six hundred by three fifty.")


def test_two_counts_in_a_row_may_be_a_range(told):
    assert ((7, 8), "ea", "or") in told("A: Seven, eight of them are cracked.")


def test_the_sides_of_a_size_belong_together(said, lexicon):
    found = read(said("A: Patch it, nine by eleven feet, with two nails."), lexicon).measures
    assert {m.quantity.value for m in found if m.side} == {9, 11}


def test_measures_around_are_counted(said, lexicon):
    found = read(said("A: About fifteen feet of fence.", "B: More like sixteen feet.", "A: Sixteen feet."), lexicon).measures
    first = next(m for m in found if m.quantity.value == 15)
    last = [m for m in found if m.quantity.value == 16 and m.how == "said"][-1]
    assert (first.same, first.before, first.after) == (0, 0, 2)
    assert (last.same, last.before, last.after) == (1, 1, 0)
