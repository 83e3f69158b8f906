"""Lists as a whole: what belongs together is one item, and each item can be defended."""

import pytest

from memo2list.listing import list_items
from memo2list.reading import read


@pytest.fixture
def listed(said, lexicon):
    return lambda *lines: list_items([read(said(*lines), lexicon)], lexicon)


@pytest.fixture
def fascia(listed):
    return listed(
        "A: Okay, back of the house.",
        "A: The fascia board here is rotten, about six feet of it.",
        "B: Oh no.",
        "A: I'll replace that with primed pine.",
    )


def test_a_problem_and_its_remedy_are_one_item(fascia):
    assert [(i.element, i.issues[0], i.actions[0]) for i in fascia.items] == [("fascia", "rot", "replace")]


def test_an_item_keeps_the_words_heard_for_its_element(fascia):
    assert "fascia board" in fascia.items[0].heard


def test_an_item_has_its_measure_and_place(fascia):
    item = fascia.items[0]
    assert [(q.value, q.unit) for q in item.quantities] == [(6, "ft")]
    assert "back" in item.location


def test_an_item_is_titled_by_element_problem_and_remedy(fascia):
    assert fascia.items[0].title == "Fascia: rot — replace"


def test_every_quote_is_the_words_of_the_talk(fascia):
    for quote in fascia.items[0].quotes:
        assert quote.text
        assert quote.span.duration_ms <= 60_000


def test_every_item_tells_its_steps_and_parts(fascia):
    item = fascia.items[0]
    assert item.steps
    assert {"hearing", "match", "judgement", "agreement"} <= {p.name for p in item.parts}


def test_what_is_negated_is_set_aside_with_the_reason(listed):
    punch_list = listed("A: No rot in the soffit, that's all sound.")
    assert not any(i.element == "soffit" and "rot" in i.issues for i in punch_list.items)
    assert any(s.element == "soffit" and s.why == "negated" for s in punch_list.set_aside)


def test_the_same_talk_gives_the_same_keys(listed):
    talk = ("A: The gutter over the porch leaks at the joint.", "A: I'd replace that section.")
    assert [i.key for i in listed(*talk).items] == [i.key for i in listed(*talk).items]


def test_two_recordings_number_their_items_through(said, lexicon):
    one = read(said("A: The gutter over the porch leaks, so replace it."), lexicon)
    punch_list = list_items([one, one], lexicon)
    assert [i.number for i in punch_list.items] == list(range(1, len(punch_list.items) + 1))
    assert len({i.key for i in punch_list.items}) == len(punch_list.items)


def test_nothing_said_gives_an_empty_list_and_a_flag(listed):
    punch_list = listed()
    assert (punch_list.items, [f.code for f in punch_list.flags]) == ((), ["no-words"])
