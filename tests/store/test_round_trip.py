"""Whatever goes into the store comes out the same."""

import tempfile

from hypothesis import given, settings
from hypothesis import strategies as st

from memo2list.records import Flag, Item, Part, PunchList, Quantity, Quote, Recording, SetAside, WordRange
from memo2list.store import open_store
from memo2list.store.records_json import dumps, loads
from memo2list.timing import TimeSpan

text = st.text(st.characters(exclude_categories=("Cs",)), max_size=12)
ranges = st.tuples(st.integers(0, 99), st.integers(0, 99)).map(lambda p: WordRange(min(p), max(p)))
spans = st.tuples(st.integers(0, 10**7), st.integers(0, 10**7)).map(lambda p: TimeSpan(min(p), max(p)))
numbers = st.floats(0, 1e6, allow_nan=False)
quantities = st.builds(
    Quantity, st.one_of(numbers, st.tuples(numbers, numbers)), text, st.just("length"), text, ranges, st.booleans()
)
quotes = st.builds(Quote, st.just("a" * 64), ranges, spans, text, st.lists(ranges, max_size=2).map(tuple))
texts = st.lists(text, max_size=2).map(tuple)
items = st.builds(
    Item,
    number=st.integers(1, 999),
    key=st.uuids().map(str),
    kind=st.sampled_from(["problem", "work", "verify"]),
    title=text,
    element=text,
    heard=texts,
    issues=texts,
    actions=texts,
    location=st.one_of(st.none(), text),
    quantities=st.lists(quantities, max_size=2).map(tuple),
    materials=texts,
    certainty=st.sampled_from(["stated", "possible", "conditional"]),
    safety=st.booleans(),
    by=text,
    quotes=st.lists(quotes, max_size=2).map(tuple),
    questions=texts,
    flags=st.lists(st.builds(Flag, text, text), max_size=2).map(tuple),
    confidence=st.floats(0, 1),
    parts=st.lists(st.builds(Part, st.just("place"), st.floats(0, 1), text), max_size=1).map(tuple),
    steps=texts,
    review=st.just("unreviewed"),
    state=st.just("open"),
    note=text,
)
lists = st.builds(
    PunchList,
    st.just((Recording("walk.wav", "a" * 64, 1000, "", "video"),)),
    st.lists(items, max_size=3, unique_by=lambda i: i.key).map(
        lambda found: tuple(Item(**{n: getattr(i, n) for n in Item.__slots__} | {"number": k}) for k, i in enumerate(found, 1))
    ),
    st.lists(st.builds(SetAside, text, text, texts, texts, st.lists(quotes, max_size=1).map(tuple)), max_size=2).map(tuple),
)


@given(items)
def test_an_item_comes_back_from_json_equal(item):
    assert loads(Item, dumps(item)) == item


@settings(max_examples=15)
@given(lists)
def test_a_list_comes_back_from_the_store_equal(punch_list):
    with tempfile.TemporaryDirectory() as folder, open_store(folder) as store:
        store.add_job("job")
        store.save_list("job", punch_list)
        assert store.punch_list("job") == punch_list
