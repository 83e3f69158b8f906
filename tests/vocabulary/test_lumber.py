"""Sizes as they are spoken."""

import pytest

from memo2list.vocabulary.lumber import dressed_size, nominal


@pytest.mark.parametrize("text", ["2x6", "two by six", "two-by-six", "Two by Six", "2 by 6"])
def test_a_size_is_read_however_it_is_written(text):
    assert nominal(text) == ("2", "6")


@pytest.mark.parametrize("text", ["six feet", "two by", "ten by forty", "2x", ""])
def test_what_is_no_lumber_size_gives_none(text):
    assert dressed_size(text) is None


@pytest.mark.parametrize(
    ("nominal", "expected"),
    [("2x4", (1.5, 3.5)), ("1x6", (0.75, 5.5)), ("2x10", (1.5, 9.25)), ("4x4", (3.5, 3.5))],
)
def test_dressed_sizes_are_those_of_the_softwood_lumber_standard(nominal, expected):
    """American Softwood Lumber Standard PS 20-20, table 3 (dry): from memory, checked against common practice."""
    assert dressed_size(nominal) == expected
