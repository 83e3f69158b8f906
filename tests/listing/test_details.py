"""Place and measures of an item, chosen among all that are said. Sentences here are in no walkthrough."""

import pytest

from memo2list.listing import list_items, weighing
from memo2list.listing.amounts import chosen_amounts
from memo2list.listing.anchors import Anchors, neighbours, words_between
from memo2list.listing.weighing import Option
from memo2list.listing.whereabouts import FURTHEST, chosen_places, place_options
from memo2list.reading import read
from memo2list.records import Measured, PlaceSaid, Quantity, WordRange


@pytest.fixture
def item_about(said, lexicon):
    """The first item about an element."""

    def find(element, *lines):
        items = list_items([read(said(*lines), lexicon)], lexicon).items
        return next(i for i in items if element in (i.element, *i.heard))

    return find


def amounts(item):
    return {(q.value, q.unit) for q in item.quantities}


def test_a_measure_told_in_an_answer_belongs_to_what_was_asked_about(item_about):
    item = item_about(
        "gutter",
        "A: The gutter here is rusted through, I'd replace it.",
        "B: How long is that?",
        "A: About twenty-six feet.",
    )
    assert amounts(item) == {(26, "ft")}


def test_a_measure_of_another_item_is_not_taken(item_about):
    lines = (
        "A: The fascia is rotten, replace about nine feet.",
        "A: And the garage door is dented, it wants a new panel.",
    )
    assert amounts(item_about("fascia", *lines)) == {(9, "ft")}
    assert amounts(item_about("garage door", *lines)) == set()


def test_both_sides_of_a_size_are_taken(item_about):
    item = item_about("ceiling", "A: The ceiling is stained, cut out a patch of about five feet by seven feet and skim it.")
    assert amounts(item) == {(5, "ft"), (7, "ft")}


def test_an_item_is_in_the_room_that_was_entered(item_about):
    item = item_about(
        "window",
        "A: Okay, next the laundry room.",
        "A: Floor's fine in here.",
        "A: The window is cracked, new pane.",
    )
    assert "laundry room" in item.location


def test_a_word_of_chat_is_no_place(item_about):
    item = item_about(
        "ceiling", "A: Right, into the kitchen.", "B: Goodness.", "A: The ceiling is cracked, fill it and paint it."
    )
    assert "kitchen" in item.location
    assert "goodness" not in item.location


def test_the_steps_tell_what_was_weighed(item_about):
    steps = item_about("gutter", "A: Okay, in the back yard.", "A: The gutter leaks, about six feet of it.").steps
    assert any(s.startswith("place weighed: ") and "back yard" in s for s in steps)
    assert any(s.startswith("measure weighed: ") and "six feet" in s for s in steps)


def test_without_fitted_weights_an_item_keeps_what_its_findings_were_given(item_about, monkeypatch, tmp_path):
    monkeypatch.setattr(weighing, "DETAILS", tmp_path / "none.json")
    item = item_about("gutter", "A: Okay, in the kitchen.", "A: The gutter leaks, about six feet of it.")
    assert amounts(item) == {(6, "ft")}
    assert item.location == "kitchen"


def measure(value, unit, words, how="said", side=False):
    return Option(Measured(Quantity(value, unit, "length", str(value), WordRange(*words)), 0, how, side, ()), {}, ())


def test_of_several_readings_of_one_number_the_likeliest_is_taken():
    options = [measure(8, "ft", (3, 4), "guessed"), measure(8, "in", (3, 4), "guessed")]
    assert [q.unit for q in chosen_amounts(options, [0.5, 0.8])] == ["in"]


def test_the_sides_of_a_size_share_their_chance():
    options = [measure(4, "ft", (3, 4), side=True), measure(6, "ft", (5, 6), side=True)]
    assert [q.value for q in chosen_amounts(options, [0.3, 0.8])] == [4, 6]


def test_two_measures_in_one_word_are_both_taken_in_the_order_said():
    """ "8x9" is one word."""
    options = [measure(8, "ft", (3, 4), "said"), measure(9, "ft", (3, 4), "said")]
    assert [q.value for q in chosen_amounts(options, [0.6, 0.8])] == [8, 9]


def place(said, level):
    return Option(PlaceSaid(WordRange(1, 2), said, 0, level, True, False, False, ()), {}, ())


def test_the_likeliest_place_is_told_with_others_that_are_likely_too_inner_ones_first():
    options = [place("kitchen", 3), place("window", 5), place("yard", 3)]
    assert [p.said for p in chosen_places(options, [0.8, 0.6, 0.1])] == ["window", "kitchen"]


def test_of_several_likely_rooms_and_sides_the_likeliest_comes_last_where_lines_are_gathered_under_it():
    options = [place("left side", 2), place("kitchen", 3), place("sink", 5)]
    assert [p.said for p in chosen_places(options, [0.75, 0.9, 0.95])] == ["sink", "left side", "kitchen"]
    rooms = [place("hall bathroom", 3), place("kitchen", 3)]
    assert [p.said for p in chosen_places(rooms, [0.9, 0.7])] == ["kitchen", "hall bathroom"]


def test_a_place_that_says_no_more_is_not_told_twice():
    options = [place("back bedroom", 3), place("bedroom", 3)]
    assert [p.said for p in chosen_places(options, [0.8, 0.7])] == ["back bedroom"]


def test_the_fuller_of_two_names_of_one_place_is_told_whichever_is_likelier():
    options = [place("bedroom", 3), place("back bedroom", 3)]
    assert [p.said for p in chosen_places(options, [0.9, 0.8])] == ["back bedroom"]


def test_a_second_room_must_be_likelier_than_a_second_spot():
    options = [place("kitchen", 3), place("pantry", 3), place("window", 5)]
    assert [p.said for p in chosen_places(options, [0.9, 0.6, 0.6])] == ["window", "kitchen"]


def test_neighbours_are_the_items_told_near():
    items = [Anchors((WordRange(n, n + 1),), frozenset({n})) for n in (0, 5, 90)]
    assert neighbours(items) == [[items[1]], [items[0]], []]


def test_words_that_touch_have_none_between():
    assert len(words_between(WordRange(2, 5), WordRange(5, 7))) == 0
    assert words_between(WordRange(9, 12), WordRange(2, 5)) == WordRange(5, 9)


def test_a_room_is_not_looked_for_any_further_than_it_could_matter(said, lexicon):
    """So that the work grows in a straight line with the talk."""
    reading = read(
        said("A: Okay, in the kitchen.", *["A: Fine, fine."] * FURTHEST, "A: The gutter leaks, replace the gutter."), lexicon
    )
    gutter = [f for f in reading.findings if f.element and f.element.entry == "gutter"]
    (options,) = place_options(reading, [gutter], lexicon)
    assert "kitchen" in {p.said for p in reading.places}
    assert "kitchen" not in {o.what.said for o in options}
