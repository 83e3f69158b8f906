"""How words sound."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.vocabulary.sounds import likeness, sound_key


@pytest.mark.parametrize(
    ("heard", "term"),
    [
        ("hype", "ipe"),
        ("soft fit", "soffit"),
        ("bluster", "baluster"),
        ("wayne's coat", "wainscot"),
        ("new well", "newel"),
        ("hose bid", "hose bib"),
    ],
)
def test_a_mishearing_sounds_like_its_term(heard, term):
    assert likeness(heard, term) >= 0.7


@pytest.mark.parametrize(("a", "b"), [("gutter", "window"), ("fascia", "door"), ("newel", "shingle"), ("soffit", "driveway")])
def test_different_terms_do_not_sound_alike(a, b):
    assert likeness(a, b) < 0.7


def test_where_the_words_are_parted_makes_no_difference():
    assert sound_key("hand rail") == sound_key("handrail")


@given(st.text(max_size=12), st.text(max_size=12))
def test_likeness_is_between_nothing_and_one_and_the_same_both_ways(a, b):
    assert 0 <= likeness(a, b) <= 1
    assert likeness(a, b) == pytest.approx(likeness(b, a))


@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyz ", min_size=1, max_size=14))
def test_a_wording_sounds_like_itself(text):
    assert likeness(text, text) == (1.0 if sound_key(text) else 0.0)
