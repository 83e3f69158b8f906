"""Sizes as they are spoken."""

import pytest

from memo2list.vocabulary.lumber import dressed_size, nominal


@pytest.mark.parametrize("text", ["2x6", "two by six", "two-by-six", "Two by Six", "2 by 6"])
def test_a_size_is_read_however_it_is_written(text):
    assert nominal(text) == ("2", "6")


@pytest.mark.parametrize("text", ["six feet", "two by", "ten by forty", "2x", ""])
def test_what_is_no_lumber_size_gives_none(text):
    assert dressed_size(text) is None
