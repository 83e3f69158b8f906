"""What recurs over all jobs."""

import pytest

from memo2list.store import open_store
from memo2list.store.history import BY
from tests.store.conftest import item, punch_list
from tests.store.test_search import SmallLexicon


@pytest.fixture
def store(tmp_path):
    with open_store(tmp_path, SmallLexicon()) as opened:
        opened.add_job("One", address="4 Mill Lane")
        opened.save_list("One", punch_list(item(1, "gutter", "leak"), item(2, "fascia", "rot")))
        opened.add_job("Two", address="4 Mill Lane")
        opened.save_list("Two", punch_list(item(1, "gutter", "leak"), item(2, "gutter", "rot", state="done")))
        yield opened


def test_elements_are_counted_with_their_jobs_the_most_frequent_first(store):
    first, second = store.history("element")
    assert (first.name, first.times, first.jobs, first.done) == ("gutter", 3, 2, 1)
    assert second.name == "fascia"


def test_a_pair_is_an_element_with_its_problem(store):
    assert [(r.name, r.times) for r in store.history("pair", least=2)] == [("gutter: leak", 2)]


def test_a_property_is_known_by_its_address(store):
    assert [(r.name, r.times, r.jobs) for r in store.history("property")] == [("4 Mill Lane", 4, 2)]


def test_dropped_items_do_not_count(store):
    store.drop("One", "k2")
    assert "fascia" not in [r.name for r in store.history("element")]


@pytest.mark.parametrize("by", BY)
def test_every_way_of_counting_counts_each_item_at_most_once(store, by):
    assert sum(r.times for r in store.history(by)) <= 4
