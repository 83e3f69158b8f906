"""Sums: units never mixed, exact and approximate apart, each sum with its items."""

from hypothesis import given
from hypothesis import strategies as st

from memo2list.exports.sums import sums
from memo2list.records import Quantity, WordRange
from tests.exports.samples import item


def measured(value, unit="ft", approximate=False, kind="length"):
    return Quantity(value, unit, kind, "said", WordRange(0, 1), approximate)


def items(*quantities, **given):
    return [item(n, quantities=(q,), **given) for n, q in enumerate(quantities, 1)]


def test_exact_feet_are_added_and_the_sum_lists_its_items():
    (total,) = sums(items(measured(4), measured(6.5)))
    assert (total.low, total.high, total.unit, total.items) == (10.5, 10.5, "ft", (1, 2))


def test_approximate_is_kept_apart_from_exact():
    assert [(t.low, t.approximate) for t in sums(items(measured(4), measured(6, approximate=True)))] == [(4, False), (6, True)]


def test_units_are_never_mixed():
    assert {(t.unit, t.low) for t in sums(items(measured(4), measured(2, "yd")))} == {("ft", 4), ("yd", 2)}


def test_a_range_adds_to_both_ends():
    (total,) = sums(items(measured((2, 3)), measured(1)))
    assert (total.low, total.high) == (3, 4)


def test_uncertain_work_is_kept_apart_from_certain():
    both = [*items(measured(4)), item(2, quantities=(measured(5),), certainty="possible")]
    assert [(t.firm, t.low) for t in sums(both)] == [(True, 4), (False, 5)]


def test_sizes_done_work_and_things_to_verify_are_not_summed():
    assert sums(items(measured(0.5, "in", kind="size"))) == ()
    assert sums(items(measured(4), state="done")) == ()
    assert sums(items(measured(4), kind="verify")) == ()


@given(st.lists(st.tuples(st.integers(0, 99), st.sampled_from(["ft", "ea", "sq ft"]), st.booleans()), max_size=20))
def test_nothing_is_lost_or_counted_twice(parts):
    listed = items(*(measured(v, u, a) for v, u, a in parts))
    assert sum(t.low for t in sums(listed)) == sum(v for v, _, _ in parts)
    assert sorted(n for t in sums(listed) for n in t.items) == [i.number for i in listed]
