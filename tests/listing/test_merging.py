"""What is one item and what is two: things that have nothing to do with each other stay apart."""

import pytest

from memo2list.listing import list_items
from memo2list.listing.merging import ALIKE, strangers
from memo2list.reading import read

APART = dict.fromkeys(ALIKE, 0.0) | {"passages_apart": 1.0, "first_problem": 1.0, "second_problem": 1.0, "same_claim": 0.0}


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (("handrail", "The handrail is loose, tighten it."), ("gutter", "The gutter leaks at the corner.")),
        (("fascia", "The fascia is rotten, replace it."), ("window", "The window is cracked.")),
        (("tread", "The tread is split, replace it."), ("fence", "The fence leans over.")),
    ],
)
def test_two_plain_faults_of_two_things_are_two_items(said, lexicon, first, second):
    listed = list_items([read(said(f"A: {first[1]}", f"A: {second[1]}"), lexicon)], lexicon)
    assert {i.element for i in listed.items} == {first[0], second[0]}


def test_strangers_are_told_in_two_passages():
    assert strangers(APART)
    assert not strangers(APART | {"passages_apart": 0.0, "second_problem": 0.0})


def test_strangers_in_one_passage_have_a_problem_each():
    assert strangers(APART | {"passages_apart": 0.0})
    assert not strangers(APART | {"passages_apart": 0.0, "same_claim": 1.0})


@pytest.mark.parametrize("name", ALIKE)
def test_whatever_is_alike_may_be_one_item(name):
    assert not strangers(APART | {name: 1.0})
