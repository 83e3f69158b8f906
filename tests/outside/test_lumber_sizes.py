"""Dressed sizes of softwood lumber.

Source: NIST Voluntary Product Standard PS 20, American Softwood Lumber Standard, dressed dry sizes of boards, dimension and
timbers; each row says whether a published copy was read ("yes") or the figure is from memory.
"""

from fractions import Fraction

import pytest

from memo2list.vocabulary.lumber import dressed_size
from tests.outside.data import rows


def inches(text: str) -> Fraction:
    """ "5-1/2" → 11/2."""
    return sum((Fraction(part) for part in text.split("-")), Fraction(0))


@pytest.mark.parametrize("row", rows("ps20_dressed_sizes.csv"), ids=lambda row: row["nominal"])
def test_a_size_dresses_to_what_the_standard_says(row):
    assert dressed_size(row["nominal"]) == (inches(row["thickness"]), inches(row["width"]))


@pytest.mark.parametrize("row", rows("ps20_dressed_sizes.csv"), ids=lambda row: row["spoken"])
def test_the_spoken_size_is_the_same(row):
    assert dressed_size(row["spoken"]) == dressed_size(row["nominal"])
