"""Search: in other words, with mis-spellings, with filters; any text gives results or none."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from memo2list.store import open_store
from memo2list.store.query import Vocabulary, understand
from memo2list.store.search import Filters
from memo2list.vocabulary.entries import Entry, Match
from tests.store.conftest import item, punch_list, said

ENTRIES = (
    Entry("fascia", "element", "t", forms=("fascia board",), kind_of="trim"),
    Entry("trim", "element", "t"),
    Entry("baseboard", "element", "t", uk=("skirting board", "skirting"), kind_of="trim"),
    Entry("gutter", "element", "t", uk=("rainwater gutter",)),
    Entry("rot", "problem", "t", forms=("decay", "rotten", "punky")),
    Entry("leak", "problem", "t", forms=("dripping",)),
    Entry("front porch", "place", "t", forms=("porch",)),
    Entry("oak", "material", "t"),
)


class SmallLexicon:
    """A lexicon of a few entries, found by whole forms."""

    entries = ENTRIES

    def find(self, words, probabilities=None):
        text = [w.lower() for w in words]
        found = []
        for entry in ENTRIES:
            for form in (entry.name, *entry.forms, *entry.uk):
                wanted = form.split()
                for at in range(len(text) - len(wanted) + 1):
                    if text[at : at + len(wanted)] == wanted:
                        found.append(Match(at, at + len(wanted), entry, "exact", form))
        return found


JOBS = {
    "Mill Lane": (
        item(1, "fascia", "rot", materials=("oak",)),
        item(2, "gutter", "leak", location="rear", quotes=(said("it is dripping at the joint", 5000),)),
    ),
    "Dale": (
        item(1, "baseboard", "rot", location="hall", certainty="possible"),
        item(2, "gutter", "rot", state="done", quotes=(said("that gutter has gone punky", 9000),)),
    ),
}


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    with open_store(tmp_path_factory.mktemp("search"), SmallLexicon()) as opened:
        for name, items in JOBS.items():
            opened.add_job(name)
            opened.save_list(name, punch_list(*items))
        yield opened


def found(results):
    return [f"{f.job}:{f.number}" for f in results.found]


def test_the_words_said_find_the_item(store):
    assert found(store.search("punky"))[0] == "Dale:2"


def test_other_words_for_the_same_thing_find_it(store):
    assert found(store.search("decay of the fascia board"))[0] == "Mill Lane:1"
    assert found(store.search("rotten skirting"))[0] == "Dale:1"


def test_a_wider_name_finds_its_kinds(store):
    """Fascia and baseboard are kinds of trim; nobody said trim."""
    assert set(found(store.search("rotten trim"))[:2]) == {"Mill Lane:1", "Dale:1"}


def test_a_mis_spelt_word_is_forgiven_and_said_so(store):
    results = store.search("guttre")
    assert results.corrected == (("guttre", "gutter"),)
    assert set(found(results)) == {"Mill Lane:2", "Dale:2"}


def test_the_quote_comes_with_its_time_and_what_to_mark(store):
    (first, *_) = store.search("leaking gutter dripping").found
    assert (first.quote, first.start_ms) == ("it is dripping at the joint", 5000)
    assert [first.quote[a:b] for a, b in first.marked] == ["dripping"]


@pytest.mark.parametrize(
    ("filters", "expected"),
    [
        (Filters(job="dale"), {"Dale:1", "Dale:2"}),
        (Filters(element="rainwater gutter"), {"Mill Lane:2", "Dale:2"}),
        (Filters(problem="decay"), {"Mill Lane:1", "Dale:1", "Dale:2"}),
        (Filters(material="oak"), {"Mill Lane:1"}),
        (Filters(place="porch"), {"Mill Lane:1", "Dale:2"}),
        (Filters(state="done"), {"Dale:2"}),
        (Filters(certainty="possible"), {"Dale:1"}),
        (Filters(since="2999-01-01"), set()),
        (Filters(until="1999-01-01"), set()),
        (Filters(element="gutter", state="open"), {"Mill Lane:2"}),
    ],
)
def test_filters_alone_list_what_they_leave(store, filters, expected):
    assert set(found(store.search("", filters))) == expected


def test_filters_narrow_what_words_find(store):
    assert found(store.search("rot", Filters(job="Mill Lane"))) == ["Mill Lane:1"]


def test_pages_follow_each_other_without_gap_or_repeat(store):
    every = found(store.search("rot"))
    assert [n for page in range(len(every)) for n in found(store.search("rot", limit=1, offset=page))] == every


def test_counts_by_element_and_problem(store):
    results = store.search("rot")
    assert dict(results.by_problem)["rot"] == 3
    assert dict(results.by_element)["fascia"] == 1


def test_similar_items_are_about_the_same_and_the_item_itself_is_not_among_them(store):
    assert found(store.similar("Mill Lane", "k1"))[0] in ("Dale:1", "Dale:2")
    assert "Mill Lane:1" not in found(store.similar("Mill Lane", "k1", limit=10))


def test_seen_before_looks_in_other_jobs_only(store):
    assert {f.job for f in store.similar("Mill Lane", "k1", limit=10, other_jobs=True).found} == {"Dale"}


def test_dropped_merged_and_removed_items_never_come_back(tmp_path):
    with open_store(tmp_path, SmallLexicon()) as store:
        for name, items in JOBS.items():
            store.add_job(name)
            store.save_list(name, punch_list(*items))
        store.drop("Mill Lane", "k1")
        assert "Mill Lane:1" not in found(store.search("fascia rot"))
        store.undrop("Mill Lane", "k1")
        assert "Mill Lane:1" in found(store.search("fascia rot"))
        store.merge("Dale", "k1", ["k2"])
        assert "Dale:2" not in found(store.search("gutter"))
        store.remove_job("Mill Lane")
        assert {f.job for f in store.search("rot gutter fascia leak").found} == {"Dale"}


def test_a_changed_item_is_found_by_its_new_words_only(tmp_path):
    with open_store(tmp_path, SmallLexicon()) as store:
        store.add_job("J")
        store.save_list("J", punch_list(replace(item(1, "fascia"), quotes=())))
        store.edit("J", "k1", "element", "fascia", "gutter")
        store.edit("J", "k1", "note", "", "behind the wisteria")
        assert found(store.search("wisteria")) == ["J:1"]
        assert store.search("wisteria").found[0].title.startswith("Gutter")


TYPED = st.one_of(
    st.text(max_size=80),
    st.sampled_from(
        ['"', '""', "'", "*", "a* OR b", "NEAR(a b)", "title: rot", "-rot", "^rot", "(", "rot)", "AND", "NOT", "a AND",
         "{a b}: c", "'; DROP TABLE items; --", "🙂🙂", "\0", "%_", "rot " * 2500, "x" * 10_000, "é́́", "ǅ", "-- /*", "\ud800"]
    ),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(TYPED, TYPED)
def test_any_text_gives_results_or_none(store, text, filtered):
    store.search(text)
    store.search(text, how="plain")
    store.search(text, Filters(element=filtered, job=filtered, place=filtered, since=filtered))


@given(st.text(max_size=200))
def test_understanding_any_text_keeps_every_telling_word(text):
    query = understand(text, Vocabulary(SmallLexicon()))
    assert all(term.words for term in query.terms)
