"""A recogniser's spelling: figures for numbers, no apostrophes, no hyphens, other stops, and the same for the same seed."""

import random

import pytest

from tests.training import spelling
from tests.training.spelling import Spelling, american, hundreds, leading_number


@pytest.fixture
def always(monkeypatch):
    """All that may happen happens, but for what would change the words themselves."""
    for name in ("DIGITS", "SMALL_DIGITS", "POSSESSIVE", "HYPHEN"):
        monkeypatch.setattr(spelling, name, 1.1)
    for name in ("FULL_STOP", "COMMA", "SAME_SOUND", "DROPPED"):
        monkeypatch.setattr(spelling, name, 0.0)


def written(text, alike=None, seed=1):
    return " ".join(Spelling(alike or {}).written(text.split(), random.Random(seed)))


def test_numbers_come_as_figures(always):
    assert written("Call it twenty-two feet, twelve-inch boards.") == "Call it 22 feet, 12 inch boards."


def test_a_possessive_loses_its_apostrophe_and_a_short_is_keeps_it(always):
    assert written("The sink's loose and it's dripping.") == "The sinks loose and it's dripping."


@pytest.mark.parametrize(
    ("word", "found"),
    [("forty-one", (41, "")), ("ten-foot", (10, "-foot")), ("nine", (9, "")), ("door-stop", (None, "door-stop"))],
)
def test_the_number_a_word_begins_with(word, found):
    assert leading_number(word) == found


def test_hundreds_multiply_figures_only():
    assert hundreds("18 hundred, two hundred 3 thousand".split()) == ["1800,", "two", "hundred", "3000"]


def test_british_spelling_turns_american_and_ordinary_words_do_not():
    assert [american(w) for w in ("metres", "grey", "colour", "mould", "four", "hours", "flour")] == [
        *("meters", "gray", "color", "mold", "four", "hours", "flour")
    ]


def test_a_word_may_come_as_another_that_sounds_the_same(monkeypatch):
    monkeypatch.setattr(spelling, "SAME_SOUND", 1.1)
    monkeypatch.setattr(spelling, "DROPPED", 0.0)
    found = spelling.spelling([{"turns": [{"text": "write right"}]}])
    assert {written("right", found.alike, seed) for seed in range(20)} == {"right", "write"}


def test_words_stay_mostly_as_they_are_and_the_same_seed_gives_the_same():
    said = "The fascia is soft along the whole back and we should replace it before the rain comes in again"
    assert written(said, seed=4) == written(said, seed=4)
    assert sum(written(said, seed=s) == said for s in range(40)) > 20


def test_stops_move_and_nothing_else_is_added():
    assert {spelling.stops(".", random.Random(s)) for s in range(60)} == {".", ","}
    assert {spelling.stops(",", random.Random(s)) for s in range(60)} == {",", "", "."}
    assert {spelling.stops("!", random.Random(s)) for s in range(60)} == {"!"}
