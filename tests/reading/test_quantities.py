"""Quantities as people say them. Sentences here are in no walkthrough."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.reading.quantities import read_quantities


def read(sentence):
    return [(q.value, q.unit, q.kind) for q in read_quantities(sentence.split())[0]]


@pytest.mark.parametrize(
    ("sentence", "expected"),
    [
        ("run nine feet of pipe", [(9, "ft", "length")]),
        ("a foot and a half of trim", [(1.5, "ft", "length")]),
        ("half an inch out", [(0.5, "in", "length")]),
        ("three-eighths proud", [(0.375, "in", "length")]),
        ("two and three quarter inches thick", [(2.75, "in", "length")]),
        ("five foot four wide", [(64, "in", "length")]),
        ("ten to fourteen feet of coping", [((10, 14), "ft", "length")]),
        ("a room of eleven by thirteen", [(11, "ft", "length"), (13, "ft", "length")]),
        ("ninety square feet of tile", [(90, "sq ft", "area")]),
        ("five gallons of stain", [(5, "gal", "volume")]),
        ("six of them are loose", [(6, "ea", "count")]),
        ("a couple of brackets", [(2, "ea", "count")]),
        ("half a dozen slates", [(6, "ea", "count")]),
        ("a quarter inch gap there", [(0.25, "in", "clearance")]),
        ("120 mm of insulation", [(120, "mm", "length")]),
        ("three point two metres of coping", [(3.2, "m", "length")]),
        ("point nine metres off the wall", [(0.9, "m", "length")]),
        ("a batten of one-eighty mil", [(180, "mm", "length")]),
        ("two forty mil of it", [(240, "mm", "length")]),
        ("hundred and twenty mil of render", [(120, "mm", "length")]),
        ("a metre eighty of rail", [(1.8, "m", "length")]),
        ("two metres four high", [(2.4, "m", "length")]),
        ("an opening of one point nine by eight hundred", [(1.9, "m", "length"), (800, "mm", "length")]),
        ("450mm of duct and 3m of hose", [(450, "mm", "length"), (3, "m", "length")]),
        ("a run of 9'4\" there", [(112, "in", "length")]),
        ("it is inch and three-eighths high", [(1.375, "in", "length")]),
        ("call it two hundred square", [(200, "sq ft", "area")]),
        ("the slab is 8x9, all of it", [(8, "ft", "length"), (9, "ft", "length")]),  # the comma closes the second figure only
        ("an opening of 2,5m", [(2.5, "m", "length")]),
        ("a couple of dozen staples", [(24, "ea", "count")]),
    ],
)
def test_a_quantity_is_read_as_said(sentence, expected):
    assert read(sentence) == expected


@pytest.mark.parametrize(
    ("sentence", "expected"),
    [
        ("two twelve-foot lengths", [(12, "ft", "length")]),  # not two hundred and twelve
        ("that point one of them is loose", []),  # no decimal
        ("a metre of rail, three brackets", [(1, "m", "length"), (3, "ea", "count")]),  # not 1.3 m
    ],
)
def test_numbers_that_only_stand_next_to_each_other_are_kept_apart(sentence, expected):
    assert read(sentence) == expected


@pytest.mark.parametrize(
    "sentence",
    [
        "that's four hundred dollars",
        "back in twenty minutes",
        "the third step",
        "built in nineteen twenty",
        "I put a foot through it",
    ],
)
def test_money_time_order_and_years_are_no_quantities(sentence):
    assert read(sentence) == []


def test_a_trade_size_is_a_material_and_no_quantity():
    quantities, sizes = read_quantities("a new two-by-eight joist".split())
    assert (quantities, sizes[0].value, sizes[0].kind) == ((), (2, 8), "size")


def test_a_size_with_a_unit_is_measured():
    assert read("a patch two by six feet") == [(2, "ft", "length"), (6, "ft", "length")]


def test_about_makes_a_quantity_approximate():
    assert read_quantities("about nine feet".split())[0][0].approximate


def test_a_corrected_figure_replaces_the_first():
    assert read("fifty, call it forty-five feet") == [(45, "ft", "length")]


@given(st.text(max_size=80))
def test_any_words_can_be_read(text):
    for quantity in (q for group in read_quantities(text.split()) for q in group):
        assert len(quantity.words) > 0


@given(st.integers(2, 399))
def test_figures_before_feet_are_read_as_they_stand(number):
    assert read(f"run {number} feet") == [(number, "ft", "length")]
