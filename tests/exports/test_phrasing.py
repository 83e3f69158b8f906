"""Numbers, measures and dates as people write them."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memo2list.exports.phrasing import date, number, quantity
from memo2list.records import Quantity, WordRange
from memo2list.settings import PageStyle


def measured(value, unit, approximate=False):
    return Quantity(value, unit, "length", "", WordRange(0, 0), approximate)


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        (measured(3, "ea"), "3"),
        (measured(0.5, "in"), "½ in"),
        (measured((1.25, 1.5), "in"), "1¼–1½ in"),
        (measured(2.4, "m", True), "about 2.4 m"),
        (measured(0.0625, "in"), "1/16 in"),
        (measured(1 / 3, "yd"), "⅓ yd"),
    ],
)
def test_a_measure_is_written_as_a_tradesperson_would(given, expected):
    assert quantity(given) == expected


@given(st.integers(0, 10**6))
def test_a_whole_number_is_written_whole(value):
    assert number(float(value)) == str(value)


@given(st.floats(0, 1e5), st.sampled_from(["m", "ft", "in"]))
def test_no_number_is_written_longer_than_three_decimals(value, unit):
    assert len(number(value, unit).partition(".")[2]) <= 3


@pytest.mark.parametrize(
    ("style", "expected"), [("day-month", "7 March 2026"), ("month-day", "March 7, 2026"), ("iso", "2026-03-07")]
)
def test_a_date_is_written_in_the_style_asked_for(style, expected):
    assert date(datetime.date(2026, 3, 7), PageStyle(dates=style)) == expected
