"""Keys do not depend on when something was said."""

from hypothesis import given
from hypothesis import strategies as st

from memo2list.listing.keys import base_key, numbered


def test_a_key_depends_on_what_the_item_is_about():
    assert base_key("r", "fascia", "rot", "back") != base_key("r", "fascia", "rot", "front")


@given(st.lists(st.sampled_from("abc")))
def test_numbered_keys_are_all_different(keys):
    assert len(set(numbered(keys))) == len(keys)
