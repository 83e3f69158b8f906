"""Forms that packs need not list."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.vocabulary.inflect import action_variants, any_forms, plural, problem_variants, respelled, verb_forms


@pytest.mark.parametrize(
    ("one", "many"),
    [
        ("gutter", "gutters"),
        ("sash", "sashes"),
        ("shelf", "shelves"),
        ("eaves", "eaves"),
        ("balcony", "balconies"),
        ("truss", "trusses"),
    ],
)
def test_plurals_follow_english(one, many):
    assert plural(one) == many


@pytest.mark.parametrize(
    ("verb", "forms"),
    [
        ("trim", {"trim", "trims", "trimmed", "trimming"}),
        ("repair", {"repair", "repairs", "repaired", "repairing"}),
        ("rehang", {"rehang", "rehangs", "rehung", "rehanging"}),
        ("cut", {"cut", "cuts", "cutting"}),
        ("dry", {"dry", "dries", "dried", "drying"}),
        ("unclog", {"unclog", "unclogs", "unclogged", "unclogging"}),
    ],
)
def test_verbs_take_their_forms(verb, forms):
    assert set(verb_forms(verb)) == forms


def test_only_the_first_word_of_an_action_changes():
    assert ("cutting", "back") in action_variants(("cut", "back"))


def test_an_adjective_stays_as_it_is():
    assert problem_variants(("loose",)) == [("loose",)]


def test_us_and_uk_spellings_stand_for_each_other():
    assert respelled(("wrong", "colour"))[1] == ("wrong", "color")


@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=12))
def test_any_word_is_among_its_own_forms(word):
    assert word in any_forms(word)
