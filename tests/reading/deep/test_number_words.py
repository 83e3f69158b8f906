"""Numbers said in words: each number is found in its own words, and not in those of another."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.reading.deep.number_words import number_said, words_of


@given(st.integers(0, 999_999))
def test_a_number_is_said_by_its_own_words(number):
    assert number_said(number, words_of(number))


@given(st.integers(0, 999_999))
def test_a_number_is_said_by_its_digits(number):
    assert number_said(number, frozenset({str(number)}))


@given(st.integers(0, 99), st.integers(0, 99))
def test_below_a_hundred_other_numbers_words_do_not_say_it(number, other):
    if not words_of(number) <= words_of(other):
        assert not number_said(number, words_of(other))


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (2, "a couple of them"),
        (12, "a dozen"),
        (1, "that one board"),
        (1.5, "one and a half"),
        (0.5, "half an inch"),
        (0.75, "three quarters"),
        (2.5, "2.5 metres"),
        (100, "a hundred feet"),
        (1000, "a thousand square feet"),
        (150, "a hundred and fifty"),
        (1200, "twelve hundred square feet"),
        (2450, "twenty four hundred fifty"),
    ],
)
def test_ways_to_say_a_number(value, words):
    assert number_said(value, frozenset(words.split()))


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (7, "six feet"),
        (0, "the gutter leaks"),
        (2.5, "two feet"),
        (44, "four inches"),
        (200, "a hundred"),
        (1300, "twelve hundred"),
    ],
)
def test_what_does_not_say_it(value, words):
    assert not number_said(value, frozenset(words.split()))
