"""Which items are a matter of safety: what is named and said decides, and the deep reader's own mark stands."""

from dataclasses import replace

import pytest

from memo2list import judging
from memo2list.listing import list_items
from memo2list.listing.hazards import danger_facts, hazards
from memo2list.reading import read
from memo2list.records import Assertion, Finding, Mention, WordRange


@pytest.mark.parametrize(
    ("line", "dangerous"),
    [
        ("A: The balcony railing is loose, somebody could fall.", True),
        ("A: There are bare wires hanging out of the ceiling box.", True),
        ("A: The fence boards are faded, stain them.", False),
        ("A: The kitchen drawer sticks, plane it.", False),
    ],
)
def test_danger_is_told_from_what_is_named_and_said(said, lexicon, line, dangerous):
    items = list_items([read(said(line), lexicon)], lexicon).items
    assert items
    assert any(item.safety for item in items) is dangerous


def finding(**more):
    element = Mention("element", "handrail", WordRange(1, 2), said="handrail")
    problem = Mention("problem", "loose", WordRange(3, 4), said="loose")
    return replace(Finding(0, WordRange(3, 4), element, (problem,), (), Assertion("stated")), **more)


def test_facts_name_the_part_the_fault_and_the_words(lexicon):
    facts = danger_facts([finding()], ["somebody", "the", "fall"], lexicon)
    assert {"element handrail", "problem loose", "handrail with loose", "said fall"} <= set(facts)
    assert "said the" not in facts


def test_weights_decide_for_the_quick_reader(lexicon, monkeypatch):
    monkeypatch.setattr("memo2list.listing.hazards.load_weights", lambda name: judging.Weights(-5.0, {"said fall": 9.0}))
    assert hazards([([finding()], ["fall"]), ([finding()], ["wobble"])], lexicon) == [True, False]


def test_the_deep_reader_marks_danger_itself(lexicon, monkeypatch):
    monkeypatch.setattr("memo2list.listing.hazards.load_weights", lambda name: judging.Weights(5.0, {}))
    assert hazards([([finding(reader="deep")], ["fall"])], lexicon) == [False]


def test_without_fitted_weights_the_readers_word_counts(lexicon, monkeypatch):
    monkeypatch.setattr("memo2list.listing.hazards.load_weights", lambda name: None)
    assert hazards([([finding(safety=True)], []), ([finding()], [])], lexicon) == [True, False]
