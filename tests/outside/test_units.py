"""Spoken measures against pint, the reference library for units: what is read equals what pint converts it to."""

import pint
import pytest

from memo2list.reading.quantities import read_quantities

UNITS = {"in": "inch", "ft": "foot", "yd": "yard", "m": "metre", "mm": "millimetre", "cm": "centimetre", "gal": "gallon"}
SPOKEN = [
    ("a foot and a half", "1.5 foot"),
    ("six foot four", "76 inch"),
    ("three-eighths of an inch", "0.375 inch"),
    ("two and a quarter inches", "2.25 inch"),
    ("twelve feet", "4 yard"),
    ("two metres", "2000 millimetre"),
    ("five gallons", "20 quart"),
]


@pytest.mark.parametrize(("said", "same"), SPOKEN)
def test_a_spoken_measure_is_what_pint_says_it_is(said, same):
    registry = pint.UnitRegistry()
    found, _ = read_quantities(said.split())
    assert len(found) == 1, found
    measure = registry.Quantity(found[0].value, UNITS[found[0].unit])
    expected = registry.Quantity(same)
    assert measure.to(expected.units).magnitude == pytest.approx(expected.magnitude)
